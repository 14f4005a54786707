"""The camera's line and the key's mark in another light than the plan's."""

import math

from planning.physics.exposure import f_mark, nearest_f_number, nearest_shutter_s, shutter_mark
from planning.physics.flash import power_mark
from planning.plan.ambient import Levels
from planning.plan.exposure import SERIES_TOLERANCE, Settled, base_ev100, settle
from planning.plan.inputs import SetInputs
from planning.plan.lights import (
    guide_number_spread_stops,
    key_lamp,
    needed_power,
    set_power,
    solve,
    verdict,
)
from planning.plan.options import camera_refusal
from planning.plan.result_sky import Line


def line_in(
    inputs: SetInputs,
    planned: Settled,
    levels: Levels,
    *,
    dimmest_ev100: float,
    spread: tuple[float, float],
    source: str,
) -> Line:
    """Return what the same set takes in this light; ``planned`` is the plan's own line.

    The group, its sync and the distances stay; aperture, shutter, ISO and power follow.
    """
    settled = settle(inputs, levels, planned.group, dimmest_ev100=dimmest_ev100)
    mark, verdict_word = _key(inputs, settled)
    low_stops, high_stops = spread
    moved_stops = base_ev100(inputs, levels) - base_ev100(inputs, planned.levels)
    return Line(
        base_moved_stops=moved_stops,
        low_stops=low_stops,
        high_stops=high_stops,
        source=source,
        method=settled.method,
        base_mark=f_mark(nearest_f_number(settled.base_f_number)),
        working_mark=f_mark(settled.working_f_number),
        shutter_s=settled.start_s,
        shutter_mark=shutter_mark(settled.start_s),
        iso=settled.iso,
        hand_held=settled.start_s <= inputs.slowest_hand_held_s * (1 + SERIES_TOLERANCE),
        power_mark=mark,
        power_verdict=verdict_word,
        camera_fits=camera_refusal(inputs, settled),
        shutter_alone_mark=_shutter_alone(inputs, planned, moved_stops),
    )


def _key(inputs: SetInputs, settled: Settled) -> tuple[str, str]:
    key = key_lamp(solve(inputs, settled))
    if key is None:
        return "", ""
    light = key.given
    power = needed_power(light, key.reading_f_number, settled.iso)
    margin_stops = -math.log2(power) if power else math.inf
    told = verdict(light, power, margin_stops - guide_number_spread_stops(light))
    if not power:
        return "off", told
    return power_mark(set_power(settled, key), light.power_step_stops, light.power_scale), told


def _shutter_alone(inputs: SetInputs, settled: Settled, moved_stops: float) -> str:
    """The shutter that holds the base with aperture and flash left alone; empty where none does.

    Not faster than the group's sync, not slower than hands hold.
    """
    shutter_s = nearest_shutter_s(settled.start_s * 2.0**-moved_stops)
    fastest_s = settled.group.sync_s * (1 - SERIES_TOLERANCE)
    if not fastest_s <= shutter_s <= inputs.slowest_hand_held_s * (1 + SERIES_TOLERANCE):
        return ""
    return shutter_mark(shutter_s)
