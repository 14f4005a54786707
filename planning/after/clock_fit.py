"""A body's clock from its owner's rhythm: the offset at which frames fall into the owner's turns.

People photograph in their own turn, a little over others' shoulders, seldom between sets. Of all
offsets that bring any frame into a turn, each is scored by moments in own turns less moments
elsewhere. The best one counts only if it stands clear of every other (``clock_doubts``); else the
answer is that it is not known.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import timedelta

from planning.after.clock_doubts import (
    FLAT_SHARE,
    LEAST_A_TURN,
    LEAST_TURNS,
    LEAST_WITHIN_S,
    MOST_WITHIN_S,
    NOWHERE,
    REACH_S,
    Case,
    Fit,
    doubt_of,
)
from planning.after.clock_rhythm import (
    FitShot,
    OwnTurns,
    Step,
    hits_of,
    moments_of,
    steps_of,
)
from planning.after.frames import SetSpan

SHORT_TURN = timedelta(seconds=75)  # ends noted closer together were noted all at once


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
    case = Case(moments, turns, all_turns, spans, place_offset_s)
    steps = steps_of(moments, turns, case.weights)
    if not steps:
        return None
    found, sharp = _best(case, steps)
    doubt = doubt_of(found, case, sharp=sharp)
    return replace(found, doubt=doubt, sure=not doubt)


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


def _best(case: Case, steps: Sequence[Step]) -> tuple[Fit, bool]:
    """The middle of the offsets that fit best with what speaks for it, and whether it is sharp."""
    best = max(steps, key=lambda step: step.score)
    most = sum(hits_of(case.moments, case.turns, best.middle_s).values())
    near = [step for step in steps if step.score >= best.score - FLAT_SHARE * most]
    low_s, high_s = min(step.from_s for step in near), max(step.to_s for step in near)
    rivals = [
        step for step in steps if step.to_s < low_s - REACH_S or step.from_s > high_s + REACH_S
    ]
    second = max(rivals, key=lambda step: step.score, default=None)
    # Where others far off are as good, the best stretch alone is what is shown.
    sharp = high_s - low_s <= 2 * MOST_WITHIN_S
    add_s = (low_s + high_s) / 2 if sharp else best.middle_s
    hits = hits_of(case.moments, case.turns, add_s)
    turns_hit = sum(count >= LEAST_A_TURN for count in hits.values())
    least_within_s = LEAST_WITHIN_S if turns_hit > LEAST_TURNS else MOST_WITHIN_S
    found = Fit(
        add_s=add_s,
        within_s=max(least_within_s, (high_s - low_s) / 2),
        sure=False,
        doubt="",
        moments=len(case.moments),
        in_turns=sum(hits.values()),
        turns_hit=turns_hit,
        turns=sum(len(own) for own in case.turns.values()),
        score=best.score,
        second_score=second.score if second else NOWHERE * len(case.moments),
        second_add_s=second.middle_s if second else None,
    )
    return found, sharp
