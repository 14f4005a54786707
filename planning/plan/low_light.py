"""Fast light: how quickly it goes, and a shutter for every turn while it does."""

import math
from datetime import datetime, timedelta
from itertools import pairwise

from planning.physics.exposure import nearest_shutter_s, shutter_mark, shutter_s_for
from planning.plan.ambient import Offsets, levels_at, local
from planning.plan.exposure import Settled, base_ev100
from planning.plan.inputs import SetInputs
from planning.plan.result import ScheduleRow, Turn

RATE_SAMPLES = 12
STEADY_STOPS_PER_10_MIN = 0.01  # slower than this nobody can meter
ISO_STEP = 4.0  # when hands give out: ISO x4, and the flash two stops down
HALF_THIRD = 2.0 ** (1 / 6)  # marks nearer than this are the same


def dimmest_ev100(inputs: SetInputs, added: Offsets) -> float:
    """Return the lowest the base reading falls to during the set."""
    return min(_bases(inputs, added))


def _bases(inputs: SetInputs, added: Offsets) -> list[float]:
    step = (inputs.end_at - inputs.start_at) / RATE_SAMPLES
    return [
        base_ev100(inputs, levels_at(inputs, inputs.start_at + step * i, added))
        for i in range(RATE_SAMPLES + 1)
    ]


def fastest_change(inputs: SetInputs, added: Offsets) -> float:
    """Return the steepest change of the base over the set, stops per 10 minutes, signed."""
    tens = (inputs.end_at - inputs.start_at) / RATE_SAMPLES / timedelta(minutes=10)
    return max(((b - a) / tens for a, b in pairwise(_bases(inputs, added))), key=abs)


def re_meter_min(stops_per_10_min: float) -> float | None:
    """Minutes until the light has moved a third of a stop; None while it is steady."""
    if abs(stops_per_10_min) < STEADY_STOPS_PER_10_MIN:
        return None
    return 10.0 / 3.0 / abs(stops_per_10_min)


def schedule(
    inputs: SetInputs, settled: Settled, added: Offsets, turns: tuple[Turn, ...]
) -> tuple[ScheduleRow, ...]:
    """Return a shutter for the start and every turn, aperture first only.

    The backdrop stays as far under as planned. When hands give out the ISO goes up four
    times and the flash two stops down, as far as the ISO limit allows.
    """
    if settled.method != "aperture first":
        return ()
    rows = []
    slowest_s = inputs.slowest_hand_held_s * HALF_THIRD
    iso, flash_stops = settled.iso, 0.0
    for at in _instants(inputs, turns):
        base_ev = base_ev100(inputs, levels_at(inputs, at, added))
        shutter_s = shutter_s_for(base_ev, settled.base_f_number, iso)
        while shutter_s > slowest_s and iso * HALF_THIRD < inputs.highest_iso:
            step = min(ISO_STEP, inputs.highest_iso / iso)
            iso, shutter_s = iso * step, shutter_s / step
            flash_stops -= math.log2(step)
        shutter_s = max(nearest_shutter_s(shutter_s), settled.group.sync_s)
        rows.append(
            ScheduleRow(
                at=local(inputs, at),
                shutter_s=shutter_s,
                mark=shutter_mark(shutter_s),
                iso=iso,
                flash_stops=flash_stops,
                hand_held=shutter_s <= slowest_s,
            )
        )
    return tuple(rows)


def _instants(inputs: SetInputs, turns: tuple[Turn, ...]) -> list[datetime]:
    inside = {turn.start_at for turn in turns if turn.start_at < inputs.end_at}
    return sorted({inputs.start_at, *inside, inputs.end_at})
