"""A body's clock from its owner's rhythm: the offset at which frames fall into the owner's turns.

People photograph in their own turn, a little over others' shoulders, seldom between sets. Of all
offsets that bring any frame into a turn, each is scored by moments in own turns less moments
elsewhere. The best one counts only if it stands clear of every other; else the answer is that it
is not known. Notes alone can make it sure: planned turns run late all together, and a late day
looks like a wrong clock.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from planning.after.clock_rhythm import (
    MOMENT_S,
    FitShot,
    OwnTurns,
    Step,
    Weights,
    hits_of,
    joined,
    joined_turns,
    lasts_s,
    moments_of,
    steps_of,
)
from planning.after.clocks import LEAST_ZONE_S, MOST_ZONE_S, QUARTER_S
from planning.after.frames import SetSpan

ELSEWHERE = -0.25  # a moment in a set outside the own turn
NOWHERE = -0.5  # a moment in no set
# From here on chosen so that simulated days (tests/planning/test_clock_fit.py) are found or
# refused, never wrong. Shares are of the moments in own turns.
LEAST_MOMENTS, LEAST_TURNS, LEAST_A_TURN = 10, 2, 3
LEAST_HIT_SHARE = 0.6  # of the own turns noted
LEAST_CONTRAST = 3.0  # moments a minute in own turns, against those in the sets outside them
LEAST_MARGIN = 0.5  # best score less the best one elsewhere
ODD_MORE = 0.15  # more margin, and a turn more, for an offset that no zone explains
PAIR_MORE = 0.15  # more margin where two turns are all there is: one distance fits by chance
HOUR_SLACK_S, QUARTER_SLACK_S = 300.0, 120.0  # a clock drifts by minutes in a year
FLAT_SHARE = 0.12  # scores this near the best cannot be told from it
REACH_S = 300.0  # so far round the best it is the same hill, not another offset
LEAST_WITHIN_S, MOST_WITHIN_S = 180.0, 240.0  # the end of a turn is noted a minute or two late
WATCHED_FOR = timedelta(minutes=12)  # a demonstration: common practice, no source
WATCHED_SHARE, WATCHED_A_TURN = 1.0, 2
SHORT_TURN = timedelta(seconds=75)  # ends noted closer together were noted all at once


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


NO_TURNS, FEW_FRAMES, PLANNED_ONLY, FEW_TURNS, NOT_SHARP, AMBIGUOUS, SCATTERED = DOUBTS = (
    "no turns",
    "few frames",
    "planned only",
    "few turns",
    "not sharp",
    "ambiguous",
    "scattered",
)


def fit(shots: Iterable[FitShot], spans: Sequence[SetSpan], place_offset_s: float) -> Fit | None:
    """Return the offset that fits best, sure or with its doubt; None where nothing can be fitted.

    ``spans`` hold every turn noted, or planned where none was. None without turns of these
    owners, or without frames that have a time.
    """
    all_turns = own_turns(spans)
    moments = moments_of([one for one in shots if one.booking_id in all_turns])
    if not moments:
        return None
    turns = {owner: all_turns[owner] for owner in {one.booking_id for one in moments}}
    sets = joined([(span.begins_at, span.ends_at) for span in spans])
    steps = steps_of(moments, turns, Weights(sets, ELSEWHERE, NOWHERE, own=1.0 - ELSEWHERE))
    if not steps:
        return None
    best = max(steps, key=lambda step: step.score)
    return _judged(best, steps, moments, turns, spans, place_offset_s)


def own_turns(spans: Sequence[SetSpan]) -> OwnTurns:
    """Return the turns of each owner: those noted, else those planned.

    Of turns noted all at once none tells a time.
    """
    turns: OwnTurns = {}
    for span in spans:
        for turn in span.turns:
            if not turn.noted or turn.ends_at - turn.begins_at >= SHORT_TURN:
                turns.setdefault(turn.booking_id, []).append(turn)
    return {owner: [one for one in own if one.noted] or own for owner, own in turns.items()}


def _judged(
    best: Step,
    steps: Sequence[Step],
    moments: Sequence[FitShot],
    turns: OwnTurns,
    spans: Sequence[SetSpan],
    place_offset_s: float,
) -> Fit:
    in_turns_at_best = hits_of(moments, turns, (best.from_s + best.to_s) / 2)
    most = sum(in_turns_at_best.values())
    near = [step for step in steps if step.score >= best.score - FLAT_SHARE * most]
    low_s, high_s = min(step.from_s for step in near), max(step.to_s for step in near)
    rivals = [
        step for step in steps if step.to_s < low_s - REACH_S or step.from_s > high_s + REACH_S
    ]
    second = max(rivals, key=lambda step: step.score, default=None)
    # Where others are as good, the best stretch is what is shown.
    sharp = high_s - low_s <= 2 * MOST_WITHIN_S
    add_s = (low_s + high_s if sharp else best.from_s + best.to_s) / 2
    hits = hits_of(moments, turns, add_s)
    turns_hit = sum(count >= LEAST_A_TURN for count in hits.values())
    least_within_s = LEAST_WITHIN_S if turns_hit > LEAST_TURNS else MOST_WITHIN_S
    found = Fit(
        add_s=add_s,
        within_s=max(least_within_s, (high_s - low_s) / 2),
        sure=False,
        doubt="",
        moments=len(moments),
        in_turns=sum(hits.values()),
        turns_hit=turns_hit,
        turns=sum(len(own) for own in turns.values()),
        score=best.score,
        second_score=second.score if second else NOWHERE * len(moments),
        second_add_s=(second.from_s + second.to_s) / 2 if second else None,
    )
    noted = all(turn.noted for own in turns.values() for turn in own)
    doubt = _doubt(found, sharp=sharp, noted=noted, plain=_plain(add_s, place_offset_s))
    if not doubt and _contrast(moments, turns, spans, found) < LEAST_CONTRAST:
        doubt = SCATTERED
    if not doubt and _watched_instead(moments, turns, spans, found):
        doubt = AMBIGUOUS
    return replace(found, doubt=doubt, sure=not doubt)


def _doubt(found: Fit, *, sharp: bool, noted: bool, plain: bool) -> str:
    """Return why the best offset may not be believed; empty when it may."""
    more = 0.0 if plain else ODD_MORE
    if not noted:
        return PLANNED_ONLY
    if found.in_turns < LEAST_MOMENTS:
        return FEW_FRAMES
    least = max(LEAST_TURNS + (0 if plain else 1), LEAST_HIT_SHARE * found.turns)
    if found.turns_hit < least:
        return FEW_TURNS
    if found.turns_hit == LEAST_TURNS:
        more += PAIR_MORE
    if found.score - found.second_score < (LEAST_MARGIN + more) * found.in_turns:
        return AMBIGUOUS
    if not sharp:
        return NOT_SHARP
    return ""


def _plain(add_s: float, place_offset_s: float) -> bool:
    """Whether a zone, summer time or half a day explains the offset but for some drift."""
    if not -MOST_ZONE_S - HOUR_SLACK_S <= add_s <= -LEAST_ZONE_S + HOUR_SLACK_S:
        return False
    off_hour_s = abs(math.remainder(add_s + place_offset_s, 3600.0))
    return off_hour_s <= HOUR_SLACK_S or abs(math.remainder(add_s, QUARTER_S)) <= QUARTER_SLACK_S


def _contrast(
    moments: Sequence[FitShot],
    turns: OwnTurns,
    spans: Sequence[SetSpan],
    found: Fit,
) -> float:
    """Return how much thicker moments lie in own turns than in the rest of the sets."""
    own_s = sum(lasts_s(joined_turns(own)) for own in turns.values()) / len(turns)
    sets = joined([(span.begins_at, span.ends_at) for span in spans])
    inside = sum(
        any(
            begins_at <= one.clock_at + timedelta(seconds=found.add_s) <= ends_at
            for begins_at, ends_at in sets
        )
        for one in moments
    )
    rest = max(inside - found.in_turns, 1) / max(lasts_s(sets) - own_s, own_s)
    return found.in_turns / own_s / rest


def _watched_instead(
    moments: Sequence[FitShot],
    turns: OwnTurns,
    spans: Sequence[SetSpan],
    found: Fit,
) -> bool:
    """Whether somebody who mostly watched explains the frames as well, at another offset.

    The demonstration comes in every set some minutes before the turns: whoever photographs it
    more than in the own turn keeps nearly the same rhythm, shifted.
    """
    firsts = [min(turn.begins_at for turn in span.turns) for span in spans if span.turns]
    demos = joined((first - WATCHED_FOR, first) for first in firsts)
    steps = steps_of(moments, turns, Weights(demos))
    here = max(step.score for step in steps if step.from_s <= found.add_s <= step.to_s)
    tried: dict[int, bool] = {}
    for step in steps:
        add_s = (step.from_s + step.to_s) / 2
        if step.score < WATCHED_SHARE * here or abs(add_s - found.add_s) < found.within_s:
            continue
        slot = round(add_s / MOMENT_S)
        if slot not in tried:
            hits = hits_of(moments, turns, add_s)
            hit = sum(count >= WATCHED_A_TURN for count in hits.values())
            tried[slot] = hit >= LEAST_HIT_SHARE * found.turns
        if tried[slot]:
            return True
    return False
