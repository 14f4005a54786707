"""``python -m tests.benchmarks.frames``: what many frames cost beside few, placed and fitted.

Ten times as many frames may take ``MOST`` times as long; exits with 1 where they take longer. Both
sizes are timed in the same run.
"""

import sys
from time import process_time

from planning.after.clock_fit import fit
from planning.after.frames import Setting, Shot, frames_by_set
from tests.planning.rhythm import Habit, day

FEW, MANY, MOST = 1_000, 10_000, 15.0
SETS, PEOPLE = 6, 8
SETTING = Setting(2.0**-7, 16.0, 100.0)


def placed_s(count: int) -> float:
    """Return how long it takes to place so many frames, even over a day of eight people."""
    spans = day(7, people=PEOPLE, sets=SETS, add_s=-3600.0).spans
    first_at = spans[0].begins_at
    step = (spans[-1].ends_at - first_at) / count
    shots = [Shot(n, first_at + n * step, 1 + n % PEOPLE, SETTING) for n in range(count)]
    return _best_s(lambda: frames_by_set(shots, spans))


def fitted_s(count: int) -> float:
    """Return how long the clock of a body with so many frames takes, half of them in own turns."""
    each = count // (2 * SETS)
    habit = Habit(a_turn=(each, each), over_a_set=(each, each))
    made = day(7, people=PEOPLE, sets=SETS, add_s=-3600.0, habit=habit)
    return _best_s(lambda: fit(made.shots, made.spans, 3600.0))


def _best_s(work) -> float:
    times = []
    for _run in range(3):
        before = process_time()
        work()
        times.append(process_time() - before)
    return min(times)


def main() -> int:
    """Print both jobs at both sizes, and how much longer the larger takes."""
    ratios = []
    for name, took_s in (("placed", placed_s), ("fitted", fitted_s)):
        few_s, many_s = took_s(FEW), took_s(MANY)
        ratios.append(many_s / few_s)
        print(
            f"{name}: {FEW} frames in {few_s:.3f} s, {MANY} in {many_s:.3f} s, "
            f"{ratios[-1]:.1f} times as long"
        )
    return 1 if max(ratios) > MOST else 0


if __name__ == "__main__":
    sys.exit(main())
