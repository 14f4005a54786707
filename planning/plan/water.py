"""When the way out floods, when the stands do, and when striking must begin."""

from datetime import datetime, timedelta

from planning.physics.water import clear_by_at, table_around, tide_height_m
from planning.plan.ambient import local
from planning.plan.inputs import SetInputs
from planning.plan.result import WaterPlan


def out_of_there(inputs: SetInputs) -> timedelta:
    """How long striking and the walk past the low point take."""
    return timedelta(minutes=inputs.location.walk_min + inputs.strike_min)


def water_plan(inputs: SetInputs) -> WaterPlan | None:
    """Return the tide's part of the plan, by the path's low point, not the stand's.

    None where there is no tidal water, no low point, or no table for the whole set and the
    way out. Raises OutOfRange, naming the row, for a table that is none.
    """
    location = inputs.location
    if location.water != "tidal" or location.path_low_point_m is None:
        return None
    margin = timedelta(minutes=inputs.house.tide_margin_min)
    last = inputs.end_at + out_of_there(inputs) + margin
    table = table_around(inputs.tide, inputs.start_at, last)
    if table is None:
        return None
    clear_by = clear_by_at(table, location.path_low_point_m, inputs.start_at, margin)
    start_m = tide_height_m(inputs.start_at, table)
    end_m = tide_height_m(inputs.end_at, table)
    flood = None
    if location.stand_height_m is not None:
        flood = clear_by_at(table, location.stand_height_m, inputs.start_at, timedelta(0))
    return WaterPlan(
        clear_by_at=_local(inputs, clear_by),
        strike_from_at=_local(inputs, clear_by - out_of_there(inputs) if clear_by else None),
        height_at_start_m=start_m,
        height_at_end_m=end_m,
        rising=end_m > start_m,
        stands_flood_at=_local(inputs, flood),
    )


def _local(inputs: SetInputs, at: datetime | None) -> datetime | None:
    return local(inputs, at) if at else None
