"""Fast light: how quickly it goes, and a shutter for every turn while it does."""

import math
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from planning.physics.exposure import nearest_shutter_s, shutter_mark, shutter_s_for
from planning.plan.ambient import Offsets, dark, levels_at, local
from planning.plan.exposure import Settled, base_ev100
from planning.plan.inputs import SetInputs
from planning.plan.result import ScheduleRow, Turn

RATE_SAMPLES = 12
STEADY_STOPS_PER_10_MIN = 0.01  # slower than this nobody can meter
ISO_STEP = 4.0  # when hands give out: ISO x4, and the flash two stops down
HALF_THIRD = 2.0 ** (1 / 6)  # marks nearer than this are the same


@dataclass(frozen=True)
class BaseCurve:
    """Where the base reading stands while a set lasts, from start to end in equal steps."""

    start_at: datetime
    step: timedelta
    ev100: tuple[float, ...]

    @property
    def dimmest_ev100(self) -> float:
        return min(self.ev100)

    @property
    def stops_per_10_min(self) -> float:
        """The steepest change, signed."""
        tens = self.step / timedelta(minutes=10)
        return max(((b - a) / tens for a, b in pairwise(self.ev100)), key=abs)

    def at(self, when: datetime) -> float:
        """Return the base at an instant, straight between samples and on beyond the ends."""
        place = (when - self.start_at) / self.step
        low = min(max(math.floor(place), 0), len(self.ev100) - 2)
        return self.ev100[low] + (place - low) * (self.ev100[low + 1] - self.ev100[low])


def dimmest_between(
    inputs: SetInputs, added: Offsets, start_at: datetime, end_at: datetime
) -> float:
    """Return the lowest the base falls to between two instants, as far as it can be told.

    The start must not be dark; what is too dark later stays out.
    """
    step = (end_at - start_at) / RATE_SAMPLES
    instants = [start_at + step * i for i in range(RATE_SAMPLES + 1)]
    return min(
        base_ev100(inputs, levels_at(inputs, at, added))
        for at in instants
        if not dark(inputs, at, added)
    )


def base_curve(inputs: SetInputs, added: Offsets) -> BaseCurve:
    """Return the base over the set as the plan reads it: estimate plus readings."""
    step = (inputs.end_at - inputs.start_at) / RATE_SAMPLES
    levels = (levels_at(inputs, inputs.start_at + step * i, added) for i in range(RATE_SAMPLES + 1))
    return BaseCurve(inputs.start_at, step, tuple(base_ev100(inputs, one) for one in levels))


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
    starts = {turn.start_at for turn in turns}
    inside = {at for at in starts if inputs.start_at < at < inputs.end_at}
    return sorted({inputs.start_at, *inside, inputs.end_at})
