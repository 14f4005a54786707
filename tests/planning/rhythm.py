"""Workshop days made up from a seed: turns as they are noted, frames as people take them.

Everything is drawn from ``random.Random(seed)``: the same seed is the same day for ever.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from random import Random

from planning.after.clock_rhythm import FitShot
from planning.after.frames import SetSpan
from planning.after.spans import TurnEnd, turns_from_ends

MORNING = datetime(2027, 5, 8, 8, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Habit:
    """How somebody photographs."""

    a_turn: tuple[int, int] = (10, 40)  # frames in the own turn
    over_a_set: tuple[int, int] = (0, 12)  # over others' shoulders
    demo: tuple[int, int] = (0, 8)  # of the instructor at work
    between: tuple[int, int] = (0, 10)  # a whole day's strays


@dataclass(frozen=True)
class Day:
    spans: tuple[SetSpan, ...]
    shots: tuple[FitShot, ...]  # of booking 1, by a clock that is wrong by ``-add_s``
    add_s: float


def day(
    seed: int,
    *,
    people: int,
    sets: int,
    add_s: float,
    habit: Habit = Habit(),
    rotates: bool = True,
    forgotten: float = 0.05,
    lag_s: tuple[float, float] = (-15, 75),
    turn_min: float = 5.0,
) -> Day:
    draw = Random(seed)
    at, spans, taken = MORNING + timedelta(minutes=draw.uniform(30, 90)), [], []
    for number in range(sets):
        first = number % people if rotates else 0
        order = [(first + place) % people + 1 for place in range(people)]
        span, end_at = _set(draw, number + 1, at, order, habit, taken, forgotten, lag_s, turn_min)
        spans.append(span)
        at = end_at + timedelta(minutes=draw.uniform(10, 45))
    whole = (at - MORNING).total_seconds()
    for _ in range(draw.randint(*habit.between)):
        taken.append(MORNING + timedelta(seconds=draw.uniform(0, whole)))
    shots = tuple(
        # A camera writes whole seconds begun.
        FitShot((one - timedelta(seconds=add_s)).replace(microsecond=0), 1)
        for one in sorted(taken)
    )
    return Day(tuple(spans), shots, add_s)


def _set(draw, number, at, order, habit, taken, forgotten, lag_s, turn_min):
    """One set: rig and brief, demonstration, turns, talk; what booking 1 takes in it."""
    begins_at = at
    at += timedelta(minutes=draw.uniform(8, 18))
    demo_end = at + timedelta(minutes=draw.uniform(5, 14))
    taken += _spread(draw, at, demo_end, draw.randint(*habit.demo))
    at, ends = demo_end, []
    for booking in order:
        start = at + timedelta(minutes=draw.uniform(0.2, 2.0))
        end = start + timedelta(minutes=turn_min * draw.uniform(0.6, 1.5))
        if booking == 1:
            # Nobody begins at once, and the last words take a while.
            first = start + timedelta(seconds=draw.uniform(5, 60))
            last = max(first, end - timedelta(seconds=draw.uniform(0, 40)))
            taken += _bursts(draw, first, last, draw.randint(*habit.a_turn))
        if draw.random() >= forgotten:
            noted = end + timedelta(seconds=draw.uniform(*lag_s))
            ends.append(TurnEnd(booking, noted))
        at = end
    taken += _spread(draw, demo_end, at, draw.randint(*habit.over_a_set))
    end_at = at + timedelta(minutes=draw.uniform(5, 15))
    turns = turns_from_ends(ends, timedelta(minutes=turn_min))
    return SetSpan(number, begins_at, end_at, turns), end_at


def _spread(draw, start, end, count):
    span = (end - start).total_seconds()
    return [start + timedelta(seconds=draw.uniform(0, span)) for _ in range(count)]


def _bursts(draw, start, end, count):
    """Frames in bursts of one to four, as somebody who looks at the screen in between."""
    out = []
    while len(out) < count:
        at = start + timedelta(seconds=draw.uniform(0, (end - start).total_seconds()))
        for step in range(min(draw.randint(1, 4), count - len(out))):
            out.append(at + timedelta(seconds=0.8 * step))
    return out
