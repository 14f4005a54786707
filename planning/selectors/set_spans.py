"""How long each set and turn of a workshop really lasted, from its events or its plan."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, timedelta

from django.core.exceptions import ValidationError

from planning.after.frames import SetSpan, TurnSpan
from planning.after.spans import SetTimes, TurnEnd, set_span, turns_from_ends
from planning.models import PlannedSet, TallyEvent
from planning.models.planned_set import USUAL_TURN_MIN
from planning.physics.errors import OutOfRange
from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan
from planning.selectors.lesson import ENTERED_LATER, standing
from planning.selectors.plans import evaluated

Kind = TallyEvent.Kind


def plan_of(inputs: SetInputs | ValidationError | None) -> SetPlan | None:
    """Return the set's plan as everybody's turns were planned, not as they came; None: none."""
    if inputs is None or isinstance(inputs, ValidationError):
        return None
    try:
        return evaluated(replace(inputs, given=()))
    except OutOfRange:
        return None  # the page of the set says why


def span_of(row: PlannedSet, plan: SetPlan | None, by_name: Mapping[str, int]) -> SetSpan:
    """Return one set with its turns; ``by_name`` are the bookings by the names a plan has."""
    events = list(row.events.all())
    began = [event.at for event in standing(events, Kind.SET_BEGAN)]
    ended = [event.at for event in standing(events, Kind.SET_ENDED)]
    times = SetTimes(
        row.start_at,
        row.end_at,
        min(began) if began else None,
        max(ended) if ended else None,
    )
    turns = _noted_turns(row, events) or _planned_turns(row, plan, by_name)
    return set_span(row.pk, times, turns, plan.exposure.sync_s if plan else None)


def _noted_turns(row: PlannedSet, events: list[TallyEvent]) -> tuple[TurnSpan, ...]:
    """The turns noted as they ended; what was copied from paper later has the plan's times."""
    ends = [
        TurnEnd(event.booking_id, event.at, event.station)
        for event in standing(events, Kind.TURN_GIVEN)
        if event.changed_at <= max(row.end_at, event.at) + ENTERED_LATER
    ]
    return turns_from_ends(ends, timedelta(minutes=row.turn_min or USUAL_TURN_MIN))


def _planned_turns(
    row: PlannedSet, plan: SetPlan | None, by_name: Mapping[str, int]
) -> tuple[TurnSpan, ...]:
    if plan is None:
        return ()
    return tuple(
        TurnSpan(
            by_name[turn.attendee],
            turn.start_at.astimezone(UTC),
            turn.start_at.astimezone(UTC) + timedelta(minutes=turn.minutes),
            noted=False,
        )
        for turn in plan.turns
        if turn.attendee in by_name
    )
