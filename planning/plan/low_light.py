"""Fast light: how quickly it goes, and a shutter for every turn while it does."""

import math
from bisect import bisect
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from operator import itemgetter

from planning.physics.exposure import nearest_shutter_s, shutter_mark, shutter_s_for
from planning.plan.ambient import Offsets, dark, levels_at, local
from planning.plan.exposure import Settled, base_ev100
from planning.plan.inputs import SetInputs
from planning.plan.result import ScheduleRow, Turn

RATE_SAMPLES = 12
LEAST_STEP = timedelta(minutes=1)  # nobody meters sooner
STRAIGHT_STOPS = 0.02  # a fifth of the tenth that a meter shows
STEADY_STOPS_PER_10_MIN = 0.01  # slower than this nobody can meter
ISO_STEP = 4.0  # when hands give out: ISO x4, and the flash two stops down
HALF_THIRD = 2.0 ** (1 / 6)  # marks nearer than this are the same


@dataclass(frozen=True)
class BaseCurve:
    """Where the base reading stands while a set lasts."""

    marks: tuple[tuple[datetime, float], ...]  # in order of time: instant, EV at ISO 100
    stops_per_10_min: float  # the steepest change over a twelfth of the set, signed

    @property
    def dimmest_ev100(self) -> float:
        return min(ev100 for _at, ev100 in self.marks)

    def at(self, when: datetime) -> float:
        """Return the base at an instant, straight between marks and on beyond the ends."""
        later = bisect(self.marks, when, key=itemgetter(0))
        later = min(max(later, 1), len(self.marks) - 1)
        (early_at, early), (late_at, late) = self.marks[later - 1 : later + 1]
        return early + (when - early_at) / (late_at - early_at) * (late - early)


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
    """Return the base over the set as the plan reads it: estimate plus readings.

    Twelve equal steps, halved where a straight line would be off: when the sun goes behind a
    hill, and at dusk in a long set.
    """

    def mark(at: datetime) -> tuple[datetime, float]:
        return at, base_ev100(inputs, levels_at(inputs, at, added))

    step = (inputs.end_at - inputs.start_at) / RATE_SAMPLES
    marks = [mark(inputs.start_at + step * i) for i in range(RATE_SAMPLES + 1)]
    tens = step / timedelta(minutes=10)
    steepest = max(((b - a) / tens for (_at, a), (_then, b) in pairwise(marks)), key=abs)
    while bent := _bent(marks):
        marks = sorted([*marks, *(mark(at) for at in bent)])
    return BaseCurve(tuple(marks), steepest)


def _bent(marks: list[tuple[datetime, float]]) -> list[datetime]:
    """Return the middles of the steps in which the base may leave the straight line.

    A curve whose slope changes by d from a step of length h to the next is off by about d h / 8.
    """
    steps = list(pairwise(marks))
    slopes = [(b - a) / ((late - early) / LEAST_STEP) for (early, a), (late, b) in steps]
    found = []
    for index, ((early, _a), (late, _b)) in enumerate(steps):
        beside = slopes[max(0, index - 1) : index + 2]
        off = max(abs(slopes[index] - one) for one in beside) * ((late - early) / LEAST_STEP) / 8
        if off > STRAIGHT_STOPS and late - early > LEAST_STEP:
            found.append(early + (late - early) / 2)
    return found


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
