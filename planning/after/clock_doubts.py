"""What speaks against a clock that was found from turns: any of it, and it is not believed.

Notes alone can make it sure: planned turns run late all together, and a late day looks like a wrong
clock. Everything here was chosen so that simulated days (tests/after/test_clock_fit.py) are found
or refused, never wrong. Shares are of the moments in own turns.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property

from planning.after.clock_rhythm import (
    MOMENT_S,
    FitShot,
    OwnTurns,
    Stretch,
    Weights,
    hits_of,
    joined,
    joined_turns,
    lasts_s,
    steps_of,
)
from planning.after.clocks import LEAST_ZONE_S, MOST_ZONE_S, QUARTER_S
from planning.after.frames import SetSpan

ELSEWHERE = -0.25  # a moment in a set outside the own turn
NOWHERE = -0.5  # a moment in no set
LEAST_MOMENTS, LEAST_TURNS, LEAST_A_TURN = 10, 2, 3
LEAST_HIT_SHARE = 0.6  # of the own turns noted
LEAST_CONTRAST = 3.0  # moments a minute in own turns, against those in the sets outside them
LEAST_MARGIN = 0.5  # best score less the best one elsewhere
ODD_MORE = 0.15  # more of both shares, a turn more, twice the moments: no zone explains it
PAIR_MORE = 0.15  # more margin where two turns are all there is: one distance fits by chance
DAY_S = 86400.0
HOUR_SLACK_S, QUARTER_SLACK_S = 300.0, 120.0  # a clock drifts by minutes in a year
FLAT_SHARE = 0.12  # scores this near the best cannot be told from it
REACH_S = 300.0  # so far round the best it is the same hill, not another offset
LEAST_WITHIN_S, MOST_WITHIN_S = 180.0, 240.0  # the end of a turn is noted a minute or two late
WATCHED_FOR = timedelta(minutes=12)  # a demonstration: common practice, no source
WATCHED_SHARE, WATCHED_A_TURN = 1.0, 2
ELSE_SHARE = 0.15  # somebody else's turns fit about as well where they score less by this at most
ELSE_APART_S, ELSE_ODDER_S = 120.0, 90.0


@dataclass(frozen=True)
class Fit:
    """The best offset, its evidence, and whether it may be believed."""

    add_s: float
    within_s: float
    sure: bool
    doubt: str  # one of DOUBTS, empty when sure
    moments: int
    in_turns: int  # moments in own turns
    turns_hit: int
    turns: int
    score: float
    second_score: float
    second_add_s: float | None


FEW_FRAMES, PLANNED_ONLY, FEW_TURNS, NOT_SHARP, AMBIGUOUS, SCATTERED, SOMEBODY_ELSE = DOUBTS = (
    "few frames",
    "planned only",
    "few turns",
    "not sharp",
    "ambiguous",
    "scattered",
    "somebody else",
)


@dataclass(frozen=True)
class Case:
    """All that a clock is judged by."""

    moments: Sequence[FitShot]
    turns: OwnTurns  # of whoever took these frames
    all_turns: OwnTurns  # of everybody
    spans: Sequence[SetSpan]
    place_offset_s: float

    @cached_property
    def sets(self) -> list[Stretch]:
        return joined((span.begins_at, span.ends_at) for span in self.spans)

    @cached_property
    def weights(self) -> Weights:
        return Weights(self.sets, ELSEWHERE, NOWHERE, own=1.0 - ELSEWHERE)


def doubt_of(found: Fit, case: Case, *, sharp: bool) -> str:
    """Return why the best offset may not be believed, one of DOUBTS; empty when it may."""
    if doubt := _plain_doubt(found, case, sharp=sharp):
        return doubt
    if _contrast(found, case) < LEAST_CONTRAST:
        return SCATTERED
    if _watched_instead(found, case):
        return AMBIGUOUS
    return SOMEBODY_ELSE if _somebody_else(found, case) else ""


def _plain_doubt(found: Fit, case: Case, *, sharp: bool) -> str:
    is_round = off_round_s(found.add_s, case.place_offset_s) <= HOUR_SLACK_S
    more = 0.0 if is_round else ODD_MORE
    if not all(turn.noted for own in case.turns.values() for turn in own):
        return PLANNED_ONLY
    if found.in_turns < (LEAST_MOMENTS if is_round else 2 * LEAST_MOMENTS):
        return FEW_FRAMES
    least = LEAST_TURNS if is_round else LEAST_TURNS + 1
    if found.turns_hit < max(least, (LEAST_HIT_SHARE + more) * found.turns):
        return FEW_TURNS
    if found.turns_hit == LEAST_TURNS:
        more += PAIR_MORE
    if found.score - found.second_score < (LEAST_MARGIN + more) * found.in_turns:
        return AMBIGUOUS
    return "" if sharp else NOT_SHARP


def off_round_s(add_s: float, place_offset_s: float) -> float:
    """Return how much drift an offset leaves beside a zone, summer time, half a day or whole days.

    What no zone has is the hour of the place on a wrong date. Offsets of less than whole hours are
    seldom, so they begin at ``HOUR_SLACK_S - QUARTER_SLACK_S``.
    """
    if not -MOST_ZONE_S - HOUR_SLACK_S <= add_s <= -LEAST_ZONE_S + HOUR_SLACK_S:
        return abs(math.remainder(add_s + place_offset_s, DAY_S))
    hour_s = abs(math.remainder(add_s + place_offset_s, 3600.0))
    quarter_s = abs(math.remainder(add_s, QUARTER_S))
    return min(hour_s, quarter_s + HOUR_SLACK_S - QUARTER_SLACK_S)


def _contrast(found: Fit, case: Case) -> float:
    """Return how much thicker moments lie in own turns than in the rest of the sets."""
    own_s = sum(lasts_s(joined_turns(own)) for own in case.turns.values()) / len(case.turns)
    inside = sum(
        any(
            begins_at <= one.clock_at + timedelta(seconds=found.add_s) <= ends_at
            for begins_at, ends_at in case.sets
        )
        for one in case.moments
    )
    rest = max(inside - found.in_turns, 1) / max(lasts_s(case.sets) - own_s, own_s)
    return found.in_turns / own_s / rest


def _watched_instead(found: Fit, case: Case) -> bool:
    """Whether somebody who mostly watched explains the frames as well, at another offset.

    The demonstration comes in every set some minutes before the turns: whoever photographs it
    more than in the own turn keeps nearly the same rhythm, shifted.
    """
    firsts = [min(turn.begins_at for turn in span.turns) for span in case.spans if span.turns]
    demos = joined((first - WATCHED_FOR, first) for first in firsts)
    steps = steps_of(case.moments, case.turns, Weights(demos))
    here = max(step.score for step in steps if step.from_s <= found.add_s <= step.to_s)
    tried: dict[int, bool] = {}
    for step in steps:
        add_s = step.middle_s
        if step.score < WATCHED_SHARE * here or abs(add_s - found.add_s) < found.within_s:
            continue
        slot = round(add_s / MOMENT_S)
        if slot not in tried:
            hits = hits_of(case.moments, case.turns, add_s)
            hit = sum(count >= WATCHED_A_TURN for count in hits.values())
            tried[slot] = hit >= LEAST_HIT_SHARE * found.turns
        if tried[slot]:
            return True
    return False


def _somebody_else(found: Fit, case: Case) -> bool:
    """Whether the frames fit another attendee's turns better, or about as well and no odder.

    Somebody wrote down the wrong owner, or whoever owns the body photographed a friend's turns
    instead of the own ones: the rhythm is then nearly the same, shifted by some turns.
    """
    if len(case.turns) != 1:
        return False
    (owner,) = case.turns
    least = found.score - ELSE_SHARE * found.in_turns
    own_off_s = off_round_s(found.add_s, case.place_offset_s)
    for other, theirs in case.all_turns.items():
        if other == owner:
            continue
        for step in steps_of(case.moments, {owner: theirs}, case.weights):
            apart_s = abs(step.middle_s - found.add_s)
            if step.score >= least and apart_s > ELSE_APART_S:
                off_s = off_round_s(step.middle_s, case.place_offset_s)
                if step.score > found.score or off_s <= own_off_s + ELSE_ODDER_S:
                    return True
    return False
