"""Full-power flashes a charge, from what packs showed before and after and what was counted."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from planning.after.results import HeadUse


@dataclass(frozen=True)
class Drawdown:
    """One pack in one head over one set. Idle draw is in it, as it is on the day."""

    at: datetime  # on the clock of the place
    unit_id: int
    tag: str
    strobe: str
    workshop: str
    set_title: str
    full_power_flashes: float
    used_share: float
    within_share: float  # of one reading of the charge
    nominal: float | None  # full-power flashes a charge of a new pack in this head
    nominal_source: str  # "own": counted; "estimate": from the watt-hours

    @property
    def a_charge(self) -> float:
        return self.full_power_flashes / self.used_share

    @property
    def low(self) -> float:
        return self.full_power_flashes / (self.used_share + self._off_share)

    @property
    def high(self) -> float:
        return self.full_power_flashes / (self.used_share - self._off_share)

    @property
    def _off_share(self) -> float:
        return off_share(self.within_share)


def off_share(within_share: float) -> float:
    """Return how near the difference of two readings is, each ``within_share`` for itself.

    Source: JCGM 100:2008 (GUM) 5.1.2, uncorrelated readings: the squares add up.
    """
    return math.sqrt(2.0) * within_share


@dataclass(frozen=True)
class Told:
    """What a head's use tells of its pack; ``why_not`` where it tells nothing."""

    full_power_flashes: float = 0.0
    used_share: float = 0.0
    why_not: str = ""  # "unread", "uncounted", "several packs", "hardly used"


def told_by(head: HeadUse) -> Told:
    """Return flashes and share of the only pack that was in a head, or why that is not known."""
    if len({pack.unit_id for pack in head.packs}) > 1:
        return Told(why_not="several packs")
    used = [pack.used_share for pack in head.packs]
    if not used or None in used:
        return Told(why_not="unread")
    if not head.full_power_flashes:
        return Told(why_not="uncounted")
    # Of several stays each has two readings of its own: their errors add up like the two.
    within = max(pack.within_share for pack in head.packs) * math.sqrt(len(used))
    if sum(used) <= off_share(within):
        return Told(why_not="hardly used")
    return Told(head.full_power_flashes, sum(used))


def left_out(told: Iterable[Told]) -> dict[str, int]:
    """Return how many uses of packs tell nothing, by the reason."""
    found: dict[str, int] = {}
    for one in told:
        if one.why_not:
            found[one.why_not] = found.get(one.why_not, 0) + 1
    return found
