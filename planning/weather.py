"""The weather of a workshop's day: records in, each place judged against the agreed limits out."""

from dataclasses import dataclass

from planning.plan.go import Ground, Judged, Limits, judge
from planning.plan.snapshots import cover
from planning.selectors.places import forecast_inputs
from workshops.models import Forecast, House, Location, WeatherCall, Workshop
from workshops.selectors.weather import DayPlace, PlaceSnapshots


@dataclass(frozen=True)
class PlaceJudged:
    """A place as the newest forecasts have it."""

    location: Location
    judged: Judged
    newest: Forecast | None


@dataclass(frozen=True)
class DayJudged:
    place: PlaceJudged
    fallback: PlaceJudged | None


def limits_of(call: WeatherCall | None, house: House) -> Limits:
    """Return the limits of the day; where none is agreed, the house's and the record's usual."""
    agreed = call or WeatherCall()
    return Limits(
        # What strikes every stand is never exceeded by what was agreed.
        gust_limit_m_s=min(agreed.gust_limit_m_s or house.gust_limit_m_s, house.gust_limit_m_s),
        rain_limit_mm_h=agreed.rain_limit_mm_h,
        coldest_c=agreed.coldest_c,
        hottest_c=agreed.hottest_c,
    )


def judged_places(
    workshop: Workshop, places: list[DayPlace], limits: Limits, house: House
) -> list[DayJudged]:
    """Return every place and its fallback against the limits, for the hours of the day."""
    return [
        DayJudged(
            _judged(workshop, one.place, limits, house),
            _judged(workshop, one.fallback, limits, house) if one.fallback else None,
        )
        for one in places
    ]


def _judged(workshop: Workshop, found: PlaceSnapshots, limits: Limits, house: House) -> PlaceJudged:
    place = found.location
    now = cover(found.snapshots, workshop.start_at, workshop.end_at)
    sea = place.at_sea
    ground = Ground(
        exposure_factor=max(place.wind_exposure_factor, 1.0),
        gust_over_mean=house.gust_factor_sea if sea else house.gust_factor_inland,
    )
    rows = [forecast_inputs(one.snapshot, place.timezone_name) for one in now.held]
    judged = judge(rows, limits, ground, workshop.start_at, gap=bool(now.open))
    return PlaceJudged(place, judged, found.snapshots[0] if found.snapshots else None)
