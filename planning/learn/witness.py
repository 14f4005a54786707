"""What goes into an own figure, and what comes out of it."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from planning.physics.errors import OutOfRange
from planning.physics.ranges import require_finite, require_positive


@dataclass(frozen=True)
class Prior:
    """What was held before anything was measured: right within so much, nine times in ten."""

    middle: float
    within: float


@dataclass(frozen=True)
class Witness:
    """One measurement of a figure, on the scale it is learned on (stops: a doubling is 1).

    Witnesses of one ``day`` share what was odd about that day, those of one ``meter`` its
    calibration, those of one ``mark`` (a head's power setting; empty at full) what that mark is
    off by. ``noise_ratio`` says how many times noisier than a plain reading it is.
    """

    key: str
    day: str
    value: float
    meter: str = ""
    mark: str = ""
    noise_ratio: float = 1.0


@dataclass(frozen=True)
class Habits:
    """How readings of a kind err, before this house's own are seen. All in standard deviations."""

    noise: float  # of one reading, the middle of what is usual
    noise_factor: float  # the usual noise lies within this factor of it, two times in three
    day: float  # shared by the readings of one day
    prior_least: float  # right within so much: no prior is believed closer, however sure it was
    meter: float = 0.0  # shared by all readings of one meter; does not average out
    mark: float = 0.0  # shared by all readings at one power mark
    blunder_share: float = 0.04  # of readings that are simply wrong
    blunder: float = 1.5  # and by about how much


@dataclass(frozen=True)
class Learned:
    """A figure with what it rests on. ``within`` holds the truth nine times in ten."""

    middle: float
    within: float
    witnesses: int = 0
    days: int = 0
    noise: float | None = None  # of one reading, as these readings had it
    weights: tuple[tuple[str, float], ...] = ()  # (key, share); with the prior's they make 1
    doubts: tuple[tuple[str, float], ...] = ()  # (key, probability that it is a blunder)

    @property
    def prior_share(self) -> float:
        """What the prior still counts for, 1 without witnesses."""
        return max(0.0, 1.0 - sum(share for _key, share in self.weights))


def checked(prior: Prior, witnesses: Iterable[Witness]) -> list[Witness]:
    """Return the witnesses in an order of their own, whatever order they came in.

    Raises OutOfRange for a prior without a spread, a value that is no number, a noise ratio
    not above 0, or a key given twice.
    """
    require_finite(middle=prior.middle)
    require_positive(within=prior.within)
    found = sorted(witnesses, key=lambda one: (one.day, one.meter, one.mark, one.value, one.key))
    for one in found:
        require_finite(value=one.value)
        require_positive(noise_ratio=one.noise_ratio)
    keys = {one.key for one in found}
    if len(keys) < len(found):
        raise OutOfRange("key must name one witness only: one measurement counts once")
    return found


def normal_share(z: float) -> float:
    """Return the share of a standard normal below ``z``."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))
