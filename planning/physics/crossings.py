"""When a value that swings slowly through a day passes a level: cut at its turns, then close in."""

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime, timedelta
from itertools import pairwise

_SCAN_STEP = timedelta(minutes=15)
_ROOT_WIDTH = timedelta(milliseconds=50)

_ROOT_WIDTH_S = 0.01
_MOST_STEPS = 200
_HALVE_EACH = 6  # steps of Newton's that have not settled by then creep

Piece = tuple[datetime, datetime]
Sloped = Callable[[float], tuple[float, float]]  # seconds -> value and its change in a second


def monotone_pieces(
    value: Callable[[datetime], float], start: datetime, end: datetime
) -> list[Piece]:
    """Return the span cut where ``value`` turns, so that even a grazing crossing is bracketed.

    Pieces follow each other from ``start`` to ``end``; none when the span is empty. Turns must
    lie more than a quarter of an hour apart. ``value`` is also asked a step outside the span,
    which finds a turn right at its end.
    """
    steps = (end - start) // _SCAN_STEP + 3
    marks = [start + index * _SCAN_STEP for index in range(-1, steps)]
    heights = [value(mark) for mark in marks]
    cuts = {start, end}
    for index in range(1, len(marks) - 1):
        before, here, after = heights[index - 1 : index + 2]
        if (here - before) * (after - here) <= 0:
            turn = _turn(value, marks[index - 1], marks[index + 1], upward=here >= before)
            cuts.add(min(end, max(start, turn)))
    return list(pairwise(sorted(cuts)))


def first_crossing(
    value: Callable[[datetime], float], pieces: list[Piece], level: float, *, rising: bool
) -> datetime | None:
    """Return the first instant at which ``value`` passes ``level`` in the wanted direction.

    ``pieces`` come from ``monotone_pieces``; None when none of them holds such a crossing.
    The instant is just past the crossing, by less than 0.05 s.
    """
    for early, late in pieces:
        starts_below = value(early) < level
        if starts_below == rising and (value(late) < level) != starts_below:
            while late - early > _ROOT_WIDTH:
                middle = early + (late - early) / 2
                if (value(middle) < level) == starts_below:
                    early = middle
                else:
                    late = middle
            return late
    return None


def _turn(
    value: Callable[[datetime], float], early: datetime, late: datetime, *, upward: bool
) -> datetime:
    while late - early > _ROOT_WIDTH:
        third = (late - early) / 3
        if (value(early + third) < value(late - third)) == upward:
            early += third
        else:
            late -= third
    return early + (late - early) / 2


def zero_crossings(
    value: Sloped, marks: Iterable[tuple[float, float]], reach: float
) -> Iterator[float]:
    """Yield the seconds at which a value passes 0, each to a hundredth of a second.

    ``marks`` are (seconds, value) in order of time, so dense that the value turns once at most
    between neighbours, and by less than ``reach`` beyond the nearer of the two: only then is the
    turn looked for, and with it the pair of crossings round it.
    """
    marks = iter(marks)
    early_s, early = next(marks)
    for late_s, late in marks:
        if (early < 0) != (late < 0):
            yield _crossing(value, early_s, late_s, rising=early < 0)
        elif min(abs(early), abs(late)) <= reach:
            beyond_s = _beyond(value, early_s, late_s, below=early < 0)
            if beyond_s is not None:
                yield _crossing(value, early_s, beyond_s, rising=early < 0)
                yield _crossing(value, beyond_s, late_s, rising=early >= 0)
        early_s, early = late_s, late


def _crossing(value: Sloped, early_s: float, late_s: float, *, rising: bool) -> float:
    """Return the one crossing between two instants: Newton's steps, halving where they stray."""
    at_s = (early_s + late_s) / 2
    for step in range(_MOST_STEPS):
        here, slope = value(at_s)
        if (here < 0) == rising:
            early_s = at_s
        else:
            late_s = at_s
        next_s = at_s - here / slope if slope and (step + 1) % _HALVE_EACH else early_s
        if not early_s < next_s < late_s:
            next_s = (early_s + late_s) / 2
        if late_s - early_s < _ROOT_WIDTH_S or abs(next_s - at_s) < _ROOT_WIDTH_S:
            return next_s
        at_s = next_s
    return at_s


def _beyond(value: Sloped, early_s: float, late_s: float, *, below: bool) -> float | None:
    """Return an instant between two on the same side of 0 at which the value is on the other.

    None if it does not turn between them, or turns before it gets there.
    """
    toward = 1 if below else -1
    if value(early_s)[1] * toward <= 0 or value(late_s)[1] * toward >= 0:
        return None
    while late_s - early_s > _ROOT_WIDTH_S:
        middle_s = (early_s + late_s) / 2
        here, slope = value(middle_s)
        if (here < 0) != below:
            return middle_s
        if slope * toward > 0:
            early_s = middle_s
        else:
            late_s = middle_s
    return None
