"""``python -m tests.benchmarks.day``: how long the best order of a day takes to find.

Small days are tried out whole beside it, in the same run; of eight sets the best is found alone.
Exits with 1 where trying out is not ``LEAST`` times slower.
"""

import sys
from datetime import datetime, timedelta
from time import process_time

from planning.lesson.day import best_day
from planning.lesson.day_inputs import Day, DayBreak, DayPlace, DaySet, Span, Way
from tests.lesson.every_day import best_by_trying, some_day

LEAST = 20
BEGIN = datetime.fromisoformat("2027-06-18T06:00:00+01:00")
PARTS = {"rig_min": 12, "brief_min": 3, "demo_min": 10, "turns_min": 36}
PARTS |= {"critique_min": 8, "strike_min": 8}


def full_day(sets: int, breaks: int, hours: float) -> Day:
    """Sets at four places that all want a light of their own, some of them the same."""
    minute = timedelta(minutes=1)

    def light(number: int) -> tuple[Span, ...]:
        begin = BEGIN + (60 + number * 137 % 800) * minute
        return (Span(begin, begin + 100 * minute),)

    return Day(
        BEGIN,
        BEGIN + timedelta(hours=hours),
        tuple(
            DaySet(n, f"Set {n}", n % 4, BEGIN + 90 * n * minute, light=light(n), **PARTS)
            for n in range(sets)
        ),
        tuple(DayPlace(key, f"Place {key}", 8) for key in range(4)),
        tuple(
            DayBreak(f"Break {n}", begin, begin + 120 * minute, 40)
            for n in range(breaks)
            for begin in [BEGIN + (180 + 180 * n) * minute]
        ),
        (Way(0, 1, 15), Way(1, 2, 10)),
        intro_min=30,
        closing_min=30,
    )


def took_s(work, one: Day) -> float:
    began = process_time()
    work(one)
    return process_time() - began


def main() -> int:
    ratios = []
    for seed, sets, slack_min in ((2, 3, 30), (4, 4, 20), (2, 5, 5)):
        one = some_day(seed * 10 + sets, sets, slack_min=slack_min, on_steps=False)
        tried_s, found_s = took_s(best_by_trying, one), took_s(best_day, one)
        ratios.append(tried_s / found_s)
        print(
            f"{sets} sets: tried out {tried_s:.2f} s, found {found_s:.3f} s, {ratios[-1]:.0f} times"
        )
    for sets, breaks, hours in (
        (4, 1, 12),
        (6, 2, 14),
        (8, 0, 16),
        (8, 2, 18),
        (8, 3, 20),
        (8, 2, 9),
    ):
        one = full_day(sets, breaks, hours)
        fits = "fits" if best_day(one).fits else "does not fit"
        print(f"{sets} sets, {breaks} breaks, {hours} h, {fits}: {took_s(best_day, one):.2f} s")
    return 0 if ratios[-1] >= LEAST else 1


if __name__ == "__main__":
    sys.exit(main())
