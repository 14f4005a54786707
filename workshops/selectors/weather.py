"""Questions about the weather of a workshop's day: its places, their fallbacks, the snapshots."""

from dataclasses import dataclass

from workshops.models import Forecast, Location, WeatherCall, Workshop


@dataclass(frozen=True)
class PlaceSnapshots:
    """A place with the forecasts of the day's hours, the newest first."""

    location: Location
    snapshots: list[Forecast]


@dataclass(frozen=True)
class DayPlace:
    """A place of the day, and where one goes instead."""

    place: PlaceSnapshots
    fallback: PlaceSnapshots | None


def call_of(workshop: Workshop) -> WeatherCall | None:
    """Return what was agreed on the weather decision, None while nothing is."""
    rows = WeatherCall.objects.select_related("decided_by", "workshop")
    return rows.filter(workshop=workshop).first()


def day_places(workshop: Workshop) -> list[DayPlace]:
    """Return the places of a workshop with their forecasts, in a fixed number of queries."""
    rows = workshop.places.select_related("location__fallback").order_by("position", "pk")
    places = [row.location for row in rows]
    wanted = {place.pk for place in places} | {place.fallback_id for place in places}
    found = Forecast.objects.filter(
        location__in=[pk for pk in wanted if pk],
        valid_from__lt=workshop.end_at,
        valid_to__gt=workshop.start_at,
    ).order_by("-taken_at", "-pk")
    by_place: dict[int, list[Forecast]] = {}
    for one in found:
        by_place.setdefault(one.location_id, []).append(one)

    def of(place: Location) -> PlaceSnapshots:
        return PlaceSnapshots(place, by_place.get(place.pk, []))

    return [DayPlace(of(place), of(place.fallback) if place.fallback else None) for place in places]
