"""When the way out floods, and when striking must begin."""

from datetime import datetime, timedelta

from planning.physics.errors import OutOfRange
from planning.physics.water import clear_by_at, tide_height_m
from planning.plan.ambient import local
from planning.plan.inputs import SetInputs
from planning.plan.result import WaterPlan


def water_plan(inputs: SetInputs) -> WaterPlan | None:
    """Return the tide's part of the plan, by the path's low point, not the stand's.

    None where there is no tidal water, or no table for the day.
    """
    location = inputs.location
    if location.water != "tidal" or not inputs.tide or location.path_low_point_m is None:
        return None
    margin = timedelta(minutes=inputs.house.tide_margin_min)
    try:
        start_m = tide_height_m(inputs.start_at, inputs.tide)
        end_m = tide_height_m(inputs.end_at, inputs.tide)
        clear_by = clear_by_at(inputs.tide, location.path_low_point_m, inputs.start_at, margin)
    except OutOfRange:
        return None
    out = timedelta(minutes=location.walk_min + inputs.strike_min)
    return WaterPlan(
        clear_by_at=_local(inputs, clear_by),
        strike_from_at=_local(inputs, clear_by - out if clear_by else None),
        height_at_start_m=start_m,
        height_at_end_m=end_m,
        rising=end_m > start_m,
    )


def _local(inputs: SetInputs, at: datetime | None) -> datetime | None:
    return local(inputs, at) if at else None
