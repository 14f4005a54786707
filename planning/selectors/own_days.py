"""What the house's own earlier days say of a set: minutes of a turn, frames each, daylight."""

from collections.abc import Iterator, Sequence
from datetime import datetime

from planning.learn.witness import Learned
from planning.models import PlannedSet
from planning.models.planned_set import USUAL_FRAMES, USUAL_TURN_MIN
from planning.plan.ambient import SKIES
from planning.plan.inputs import DaylightInputs, LearnedInputs
from planning.selectors.lesson import noted_from
from planning.selectors.own import (
    Own,
    daylight_bias,
    frames_each,
    own_of_days,
    turn_minutes,
)
from planning.selectors.seen import Choices


def turn_minutes_of(sets: Sequence[PlannedSet]) -> dict[int, float]:
    """Return the minutes of a turn of each set as its plan takes them, in three questions."""
    asked = any(one.turn_min is None for one in sets)
    own = own_of_days() if asked else Own({}, Choices())
    return {one.pk: own_turn(one, own)[0] for one in sets}


def own_turn(planned: PlannedSet, own: Own) -> tuple[float, Learned | None]:
    """Return the minutes of a turn and, where they were learned, what they rest on."""
    if planned.turn_min is not None:
        return planned.turn_min, None
    figure = turn_minutes(own, noted_from(planned))
    if not figure.witnesses:
        return USUAL_TURN_MIN, None
    return round(2.0**figure.middle, 1), figure  # as a person would enter it


def own_days(planned: PlannedSet, own: Own) -> dict[str, object]:
    """Return the fields of SetInputs that earlier days say: entered, learned, or the usual ones.

    Only earlier days count: a plan must not move while its own turns are given.
    """
    day: datetime = noted_from(planned)
    found: dict[str, object] = {}
    found["turn_min"], figure = own_turn(planned, own)
    if figure:
        found["turn_own"] = LearnedInputs(figure.within, figure.witnesses, figure.days)
    if planned.frames_per_attendee is not None:
        found["frames_per_attendee"] = planned.frames_per_attendee
    else:
        figure = frames_each(own, day)
        found["frames_per_attendee"] = USUAL_FRAMES
        if figure.witnesses:
            found["frames_per_attendee"] = max(round(2.0**figure.middle), 1)
            found["frames_own"] = LearnedInputs(figure.within, figure.witnesses, figure.days)
    found["daylight"] = tuple(_daylight(own, day))
    return found


def _daylight(own: Own, day: datetime) -> Iterator[DaylightInputs]:
    for sky in SKIES:
        figure = daylight_bias(sky, own, day)
        if figure.witnesses:
            rest = LearnedInputs(figure.within, figure.witnesses, figure.days)
            yield DaylightInputs(sky, figure.middle, rest)
