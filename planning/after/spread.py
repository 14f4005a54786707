"""The middle of some figures and how far they lie apart; of none there is nothing to say."""

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median, quantiles

FEW = 4  # of fewer no middle half is told: it would be hardly more than the figures themselves


@dataclass(frozen=True)
class Spread:
    """So many figures: the middle one, the middle half of them, and the ends."""

    count: int
    median: float
    low: float  # a quarter lie below; of a few, the least
    high: float  # a quarter lie above; of a few, the most
    least: float
    most: float

    @property
    def few(self) -> bool:
        """Whether ``low`` and ``high`` are the ends themselves."""
        return self.count < FEW


def spread(values: Iterable[float]) -> Spread | None:
    """Return the spread of the values, None where there are none.

    Quarters by the inclusive method: the values are all there are, not a sample.
    Source: Hyndman and Fan 1996, "Sample quantiles in statistical packages", definition 7.
    """
    rows = sorted(values)
    if not rows:
        return None
    low, high = rows[0], rows[-1]
    if len(rows) >= FEW:
        low, _middle, high = quantiles(rows, n=4, method="inclusive")
    return Spread(len(rows), median(rows), low, high, rows[0], rows[-1])
