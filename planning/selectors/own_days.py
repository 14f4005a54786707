"""What the house's own earlier days say of a set: minutes of a turn, frames each, daylight."""

from collections.abc import Iterator
from datetime import datetime

from planning.models import PlannedSet
from planning.models.planned_set import USUAL_FRAMES, USUAL_TURN_MIN
from planning.plan.ambient import SKIES
from planning.plan.inputs import DaylightInputs, LearnedInputs
from planning.selectors.lesson import noted_from
from planning.selectors.own import Own, daylight_bias, frames_each, turn_minutes


def own_days(planned: PlannedSet, own: Own) -> dict[str, object]:
    """Return the fields of SetInputs that earlier days say: entered, learned, or the usual ones.

    Only earlier days count: a plan must not move while its own turns are given.
    """
    day: datetime = noted_from(planned)
    found: dict[str, object] = {}
    if planned.turn_min is not None:
        found["turn_min"] = planned.turn_min
    else:
        figure = turn_minutes(own, day)
        found["turn_min"] = USUAL_TURN_MIN
        if figure.witnesses:
            found["turn_min"] = round(2.0**figure.middle, 1)  # as a person would enter it
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
