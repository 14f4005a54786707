"""A location, its weather, its tide and its readings as the plan takes them."""

import math
from collections.abc import Iterable, Sequence

from planning.models import PlannedSet, Reading
from planning.physics.exposure import ev100
from planning.physics.sun import Place
from planning.physics.water import TurningPoint
from planning.plan.inputs import ForecastInputs, Landmark, LocationInputs, ReadingInputs
from planning.selectors.meters import constant_ratio
from planning.selectors.shared import shared
from workshops.models import Forecast, Location
from workshops.models.base import in_zone


def location_inputs(location: Location) -> LocationInputs:
    """Return a place; its coordinates must be recorded."""
    return LocationInputs(
        place=Place(location.latitude_deg, location.longitude_deg),
        timezone=location.timezone_name,
        horizon=tuple((float(azimuth), float(height)) for azimuth, height in location.horizon),
        landmarks=tuple(
            Landmark(mark.name, mark.bearing_deg, mark.distance_m)
            for mark in location.landmarks.all()
        ),
        **shared(location, LocationInputs, without=("horizon",)),
    )


def forecasts_for(sets: Sequence[PlannedSet]) -> list[Forecast]:
    """Return the snapshots that may hold for hours of these sets, the newest first."""
    if not sets:
        return []
    rows = Forecast.objects.filter(
        location__in={planned.location_id for planned in sets},
        valid_from__lt=max(planned.end_at for planned in sets),
        valid_to__gt=min(planned.start_at for planned in sets),
    )
    return list(rows.order_by("-taken_at", "-pk"))


def forecast_of(planned: PlannedSet, forecasts: Iterable[Forecast]) -> Forecast | None:
    """Return the newest snapshot for hours of the set, None where there is none."""
    for one in forecasts:
        holds = one.valid_from < planned.end_at and one.valid_to > planned.start_at
        if holds and one.location_id == planned.location_id:
            return one
    return None


def forecast_inputs(forecast: Forecast | None, timezone_name: str) -> ForecastInputs | None:
    if forecast is None:
        return None
    return ForecastInputs(
        taken_at=in_zone(forecast.taken_at, timezone_name),
        **shared(forecast, ForecastInputs, without=("taken_at",)),
    )


def tide_inputs(location: Location) -> tuple[TurningPoint, ...]:
    """Return the rows of the tide table in order of time, none where the water has no tide."""
    if location.water != Location.Water.TIDAL:
        return ()
    points = sorted(location.tide_points.all(), key=lambda point: point.at)
    return tuple(
        TurningPoint(in_zone(point.at, location.timezone_name), point.height_m) for point in points
    )


def reading_inputs(planned: PlannedSet, readings: Iterable[Reading]) -> tuple[ReadingInputs, ...]:
    """Return daylight readings: those of the set, and those of its spot from earlier days.

    A reading with flash in it says nothing of the daylight and stays out.
    """
    timezone_name = planned.location.timezone_name
    metered = [_reading(one, timezone_name, "metered") for one in _daylight(readings)]
    own = [
        _reading(one, timezone_name, "own")
        for one in _daylight(planned.location.readings.all())
        if not one.spot or one.spot.casefold() == planned.backdrop.casefold()
    ]
    return (*metered, *own)


def _daylight(readings) -> list[Reading]:
    return [reading for reading in readings if not reading.flash_in]


def _reading(reading: Reading, timezone_name: str, source: str) -> ReadingInputs:
    return ReadingInputs(
        kind=reading.kind,
        plane=reading.plane,
        ev100=reading_ev100(reading),
        at=in_zone(reading.at, timezone_name),
        meter=reading.meter.tag if reading.meter else "",
        spread_stops=reading.spread_stops,
        source=source,
        sky=reading.sky,
    )


def reading_ev100(reading: Reading) -> float:
    """Return EV at ISO 100 by the project's constants, C 250 and K 12.5.

    A meter built for another constant shows the same mark for light stronger by their ratio.
    """
    if reading.ev is None:
        shown = ev100(reading.f_number, reading.shutter_s, reading.iso)
    else:
        shown = reading.ev - math.log2(reading.iso / 100)
    incident = reading.kind == Reading.Kind.INCIDENT
    return shown + math.log2(constant_ratio(reading.meter, incident=incident))
