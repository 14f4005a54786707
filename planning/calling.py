"""A set's plan and its events -> who shoots now, who comes next, what is noted."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from planning.models import PlannedSet, TallyEvent
from planning.plan.result import SetPlan, Turn
from planning.plan.rota import pace
from planning.selectors.lesson import called_by, noted_from, standing
from planning.selectors.people import printed_names
from planning.showing import Planned


@dataclass(frozen=True)
class Row:
    """One turn to come, and the booking whose turn it is."""

    turn: Turn
    booking_id: int
    ends_at: datetime


@dataclass(frozen=True)
class Note:
    """Something noted, as it can be taken back."""

    event: TallyEvent
    name: str


@dataclass(frozen=True)
class Calling:
    """What the page of a set's turns shows at one instant."""

    is_early: bool  # before the day of the set: nothing can be noted yet
    now: tuple[Row, ...]  # side by side at the stations, or one
    later: tuple[Row, ...]
    noted: tuple[Note, ...]  # the newest first
    meter_at: datetime | None  # when the base is metered next; None: the light stands still
    talk_at: datetime  # turns end here
    left_min: float  # until then; below 0: over
    slots: int  # turns to come, those side by side counted once
    over_min: float  # by which they end after the talk, begun now; 0 or less: they fit
    fit_min: float  # what each may last so that all fit
    turn_left_min: float  # of whoever shoots now, until it ends
    turn_begins_min: float  # until it begins; 0 or less: it has


def calling(planned_set: PlannedSet, found: Planned, now: datetime) -> Calling:
    """Return the turns of a set as they stand: what is noted, who is called, who is to come."""
    names = called_by(planned_set.workshop)
    printed = printed_names(planned_set.workshop)
    rows = _rows(found.plan, {name: pk for pk, name in printed.items()})
    first = [row for row in rows if row.turn.start_at == rows[0].turn.start_at]
    prompts = [row.turn.start_at for row in rows if row.turn.re_meter]
    clock = pace(found.inputs)
    slots = len({row.turn.start_at for row in rows})
    room = clock.until_at - max([now, *(row.turn.start_at for row in first)])
    return Calling(
        is_early=now < noted_from(planned_set),
        now=tuple(first),
        later=tuple(rows[len(first) :]),
        noted=tuple(
            Note(one, names[one.booking_id]) for one in reversed(standing(planned_set.events.all()))
        ),
        meter_at=prompts[0] if prompts else None,
        talk_at=clock.until_at,
        left_min=_minutes(clock.until_at - now),
        slots=slots,
        over_min=_minutes(slots * clock.step - room),
        fit_min=_minutes(room / slots - clock.changeover) if slots else 0.0,
        turn_left_min=_minutes(first[0].ends_at - now) if first else 0.0,
        turn_begins_min=_minutes(first[0].turn.start_at - now) if first else 0.0,
    )


def _rows(plan: SetPlan, bookings: dict[str, int]) -> list[Row]:
    return [
        Row(turn, bookings[turn.attendee], turn.start_at + timedelta(minutes=turn.minutes))
        for turn in plan.turns
        if not turn.given
    ]


def _minutes(span: timedelta) -> float:
    return span.total_seconds() / 60.0
