"""When a value that swings slowly through a day passes a level: cut at its turns, then halve."""

from collections.abc import Callable
from datetime import datetime, timedelta
from itertools import pairwise

_SCAN_STEP = timedelta(minutes=15)
_ROOT_WIDTH = timedelta(milliseconds=50)

Piece = tuple[datetime, datetime]


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
