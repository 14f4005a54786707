"""Full-power flashes a charge, from what packs showed before and after and what was counted."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Drawdown:
    """One stay of one pack in one head: what idling drew and the cold withheld is known apart."""

    at: datetime  # on the clock of the place
    unit_id: int
    tag: str
    strobe: str
    workshop: str
    set_title: str
    full_power_flashes: float
    used_share: float  # of what the pack showed, idling taken off
    within_share: float  # of one reading of the charge
    cold_share: float = 1.0  # what the cold left of the capacity
    nominal: float | None = None  # full-power flashes a charge of a new pack in this head
    nominal_source: str = ""  # "own": counted; "estimate": from the watt-hours

    @property
    def a_charge(self) -> float:
        return self._at_share(self.used_share)

    @property
    def low(self) -> float:
        return self._at_share(self.used_share + off_share(self.within_share))

    @property
    def high(self) -> float:
        return self._at_share(self.used_share - off_share(self.within_share))

    @property
    def tells(self) -> bool:
        """Whether more was used than two readings can be off by."""
        return self.used_share > off_share(self.within_share)

    def _at_share(self, share: float) -> float:
        return self.full_power_flashes / (share * self.cold_share)


def off_share(within_share: float) -> float:
    """Return how near the difference of two readings is, each ``within_share`` for itself.

    Source: JCGM 100:2008 (GUM) 5.1.2, uncorrelated readings: the squares add up.
    """
    return math.sqrt(2.0) * within_share


def counted_reasons(reasons: Iterable[str]) -> dict[str, int]:
    """Return how many stays of packs tell nothing, by the reason, the commonest first."""
    found: dict[str, int] = {}
    for reason in reasons:
        found[reason] = found.get(reason, 0) + 1
    return dict(sorted(found.items(), key=lambda pair: (-pair[1], pair[0])))
