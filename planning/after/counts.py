"""Flashes counted now and then, powers locked in between -> each count at its power. Pure."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

# Of flashes counted together this share may be another power's than by the minutes: common
# practice, no source.
EVEN_WITHIN_SHARE = 0.2


@dataclass(frozen=True)
class Count:
    """Flashes of a head since its last count, at the power that was locked then."""

    at: datetime
    flashes: int
    power: float | None
    power_stops: float = 0.0  # standard deviation, where the power was changed meanwhile


def counts_of(
    counted: Iterable[tuple[datetime, int]],
    locked: Sequence[tuple[datetime, float]],
    planned: float | None = None,
) -> list[Count]:
    """Return the counts of a lamp, each at the powers locked since the one before.

    ``counted`` and ``locked`` come by time. What nobody locked flashed as ``planned``.
    """
    counts, since = [], None
    for at, flashes in counted:
        power, off_stops = power_over(locked, since, at)
        counts.append(Count(at, flashes, power or planned, off_stops))
        since = at
    return counts


def power_over(
    locked: Sequence[tuple[datetime, float]], since: datetime | None, at: datetime
) -> tuple[float | None, float]:
    """Return the mean power of what flashed up to ``at``, and how many stops it may be off.

    ``locked`` are powers by the time they were locked, ``since`` the count before. Where the power
    was changed meanwhile each counts by its minutes, since nobody noted how many flashes were
    whose. Locked late, the first counts for what flashed before: somebody metered it by then.
    (None, 0) without any.
    """
    rows = [(max(when, since or when), power) for when, power in locked if when <= at]
    if not rows:
        return (locked[0][1] if locked else None), 0.0
    ends = [*(when for when, _power in rows[1:]), at]
    lasted = [
        (power, (end - when).total_seconds())
        for (when, power), end in zip(rows, ends, strict=True)
        if end > when
    ]
    if not lasted:
        return rows[-1][1], 0.0
    powers = [power for power, _s in lasted]
    whole_s = math.fsum(lasted_s for _power, lasted_s in lasted)
    mean = math.fsum(power * lasted_s for power, lasted_s in lasted) / whole_s
    rest_share = 1.0 - max(lasted_s for _power, lasted_s in lasted) / whole_s
    off_share = min(EVEN_WITHIN_SHARE, rest_share)
    return mean, off_share * (max(powers) - min(powers)) / mean / math.log(2.0)
