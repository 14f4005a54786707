"""Questions about places."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Min, Q, QuerySet

from workshops.models import Forecast, Location, TidePoint, TravelTime, Workshop
from workshops.selectors.needs import COMING
from workshops.selectors.search import search

SOON = timedelta(days=30)  # a permit is renewed before it ends: common practice, no source
PAST = timedelta(days=1)  # forecasts and tides before that are kept, but stand behind a link


@dataclass(frozen=True)
class Permit:
    """How a permit stands on a day."""

    over: bool
    soon: bool


def locations(question: str, now: datetime) -> QuerySet[Location]:
    """Return the places a question finds, by name, the next workshop there as ``next_at``."""
    ahead = Q(workshops__end_at__gte=now, workshops__status__in=COMING)
    rows = Location.objects.annotate(next_at=Min("workshops__start_at", filter=ahead))
    found = search(Location.objects.all(), question, "name", "access", "hazards",
                   "permission_number", "notes")  # fmt: skip
    return rows.filter(pk__in=found.values("pk")).order_by("name", "pk")


def permit_on(location: Location, on: date) -> Permit:
    """Return whether the permit has ended, or ends within a month."""
    until = location.permission_until
    if until is None:
        return Permit(over=False, soon=False)
    return Permit(over=until < on, soon=on <= until <= on + SOON)


def coming_at(location: Location, now: datetime) -> QuerySet[Workshop]:
    """Return the workshops to come at a place, the next first."""
    rows = location.workshops.filter(end_at__gte=now, status__in=COMING)
    return rows.order_by("start_at", "pk")


def ways_of(location: Location) -> list[TravelTime]:
    """Return the ways from a place, and those to it that count back as well; the nearest first."""
    out = list(location.ways_out.select_related("location", "to"))
    told = {way.to_id for way in out}
    back = location.ways_in.exclude(location__in=told).select_related("location", "to")
    return sorted([*out, *back], key=lambda way: (way.minutes, way.pk))


def forecasts_of(location: Location, since: datetime | None) -> QuerySet[Forecast]:
    """Return the forecasts of a place that hold after an instant, or all; the newest first."""
    rows = location.forecasts.order_by("-valid_from", "-taken_at", "-pk")
    return rows.filter(valid_to__gte=since) if since else rows


def tides_of(location: Location, since: datetime | None) -> QuerySet[TidePoint]:
    """Return the rows of a place's tide table after an instant, or all, in order of time."""
    rows = location.tide_points.order_by("at")
    return rows.filter(at__gte=since) if since else rows


def highest(horizon: list[list[float]]) -> tuple[float, float] | None:
    """Return azimuth and elevation where a horizon stands highest; None when it is level."""
    azimuth_deg, elevation_deg = max(horizon, key=lambda pair: pair[1], default=(0, 0))
    return (azimuth_deg, elevation_deg) if elevation_deg > 0 else None
