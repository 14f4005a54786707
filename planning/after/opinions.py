"""What those who were there said of the days: how many said what, and the average of marks."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import fmean

MARKS = (1, 2, 3, 4, 5)


@dataclass(frozen=True)
class Marks:
    """Marks from 1 to 5: how many there are, their average, how often each was given."""

    count: int
    average: float
    each: tuple[int, ...]  # of MARKS


def marks(values: Iterable[int | None]) -> Marks | None:
    """Return the marks given; None where nobody gave any. No answer is no mark."""
    given = [value for value in values if value is not None]
    if not given:
        return None
    told = Counter(given)
    return Marks(len(given), fmean(given), tuple(told[mark] for mark in MARKS))
