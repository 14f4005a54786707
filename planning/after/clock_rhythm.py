"""Moments of photographing slid along turns: the score of every offset of a clock at once."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from planning.after.frames import TurnSpan

MOMENT_S = 10.0  # frames nearer than this are one moment: a burst is one witness

Stretch = tuple[datetime, datetime]
OwnTurns = dict[int, list[TurnSpan]]


@dataclass(frozen=True)
class FitShot:
    """A frame on its camera's clock, and whose it is."""

    clock_at: datetime
    booking_id: int


@dataclass(frozen=True)
class Step:
    """A stretch of offsets with one score."""

    from_s: float
    to_s: float
    score: float

    @property
    def middle_s(self) -> float:
        return (self.from_s + self.to_s) / 2


@dataclass(frozen=True)
class Weights:
    """What a moment counts: ``within`` the stretches, ``outside``, and ``own`` more in its turn."""

    stretches: list[Stretch]
    within: float = 1.0
    outside: float = 0.0
    own: float = 1.0


def moments_of(shots: Iterable[FitShot]) -> list[FitShot]:
    """Return the frames in order, of a burst the first."""
    kept: list[FitShot] = []
    for one in sorted(shots, key=lambda shot: shot.clock_at):
        if not kept or (one.clock_at - kept[-1].clock_at).total_seconds() >= MOMENT_S:
            kept.append(one)
    return kept


def steps_of(
    moments: Sequence[FitShot],
    turns: OwnTurns,
    weights: Weights,
) -> list[Step]:
    """Return the score of every offset, a stretch for each change of it, in order."""
    changes: dict[float, float] = {}

    def over(begins_at: datetime, ends_at: datetime, clock_at: datetime, weight: float) -> None:
        first, last = (round((end - clock_at).total_seconds(), 3) for end in (begins_at, ends_at))
        changes[first] = changes.get(first, 0.0) + weight
        changes[last] = changes.get(last, 0.0) - weight

    own = {owner: joined_turns(some) for owner, some in turns.items()}
    for one in moments:
        for begins_at, ends_at in weights.stretches:
            over(begins_at, ends_at, one.clock_at, weights.within - weights.outside)
        for begins_at, ends_at in own[one.booking_id]:
            over(begins_at, ends_at, one.clock_at, weights.own)
    score, steps, places = weights.outside * len(moments), [], sorted(changes)
    for first, after in pairwise(places):
        score += changes[first]
        steps.append(Step(first, after, score))
    return steps


def joined(stretches: Iterable[Stretch]) -> list[Stretch]:
    """Return the stretches without overlaps: no moment counts twice."""
    joined: list[Stretch] = []
    for begins_at, ends_at in sorted(stretches):
        if joined and begins_at <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], ends_at))
        else:
            joined.append((begins_at, ends_at))
    return joined


def hits_of(moments: Sequence[FitShot], turns: OwnTurns, add_s: float) -> Counter[TurnSpan]:
    """Return how many moments fall into each turn of their owner."""
    add, hits = timedelta(seconds=add_s), Counter()
    for one in moments:
        at = one.clock_at + add
        for turn in turns[one.booking_id]:
            if turn.begins_at <= at <= turn.ends_at:
                hits[turn] += 1
                break
    return hits


def joined_turns(own: Iterable[TurnSpan]) -> list[Stretch]:
    """Return turns as stretches without overlaps."""
    return joined([(turn.begins_at, turn.ends_at) for turn in own])


def lasts_s(stretches: Iterable[Stretch]) -> float:
    """Return how long stretches last together."""
    return sum((last - first).total_seconds() for first, last in stretches)
