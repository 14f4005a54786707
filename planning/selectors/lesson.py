"""What a set teaches, its stations, and the turns given so far, as inputs of its plan."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import fields
from datetime import datetime, timedelta

from planning.models import PlannedSet, TallyEvent
from planning.plan.inputs import GivenTurnInputs, PointInputs
from planning.selectors.people import in_turn, printed_names
from workshops.models import Workshop
from workshops.models.base import in_zone

TURNS = (TallyEvent.Kind.TURN_GIVEN, TallyEvent.Kind.TURN_MISSED)
ENTERED_LATER = timedelta(hours=2)  # after the end of a set somebody copies from paper


def station_names(planned: PlannedSet) -> tuple[str, ...]:
    """Return the names of the stations, in order, each once; empty where there is one."""
    names = (name.strip() for name in planned.stations.split(","))
    found = tuple(dict.fromkeys(name for name in names if name))
    return found if len(found) > 1 else ()


def point_inputs(planned: PlannedSet) -> tuple[PointInputs, ...]:
    """Return the points a set teaches in the house's own words, the main one first."""
    names = [field.name for field in fields(PointInputs) if field.name != "code"]
    return tuple(
        PointInputs(code=point.code or "", **{name: getattr(point, name) for name in names})
        for point in (planned.main_point, planned.second_point)
        if point is not None
    )


def standing(events: Iterable[TallyEvent], *kinds: str) -> list[TallyEvent]:
    """Return the events of these kinds, turns without any, less those taken back."""
    rows = list(events)
    undone = {row.takes_back_id for row in rows}
    return [
        row
        for row in rows
        if row.kind in (kinds or TURNS) and row.takes_back_id is None and row.pk not in undone
    ]


def noted_from(planned: PlannedSet) -> datetime:
    """Return when the day of a set begins at its place: turns are noted from then on."""
    begins = in_zone(planned.start_at, planned.location.timezone_name)
    return begins.replace(hour=0, minute=0, second=0, microsecond=0)


def given_turns(planned: PlannedSet, workshop: Workshop) -> tuple[GivenTurnInputs, ...]:
    """Return the turns given and missed so far; also of those who are not there any more."""
    if planned.pk is None:
        return ()
    names = called_by(workshop)
    return tuple(
        GivenTurnInputs(
            attendee=names[event.booking_id],
            at=in_zone(event.at, planned.location.timezone_name),
            round=event.round or 1,
            station=event.station,
            missed=event.kind == TallyEvent.Kind.TURN_MISSED,
        )
        for event in standing(planned.events.all())
    )


def called_by(workshop: Workshop) -> dict[int, str]:
    """Return a name for every booking there ever was: as sheets print it where it has a turn.

    Whoever has none any more is told apart by a number from a namesake who has.
    """
    names = printed_names(workshop)
    for booking in workshop.bookings.all():
        name, number = booking.person.name, 1
        while booking.pk not in names and name in names.values():
            number += 1
            name = f"{booking.person.name} {number}"
        names.setdefault(booking.pk, name)
    return names


def earlier_sets(planned: PlannedSet, workshop: Workshop) -> list[PlannedSet]:
    """Return the sets of the workshop that begin before this one."""
    return [
        one
        for one in workshop.sets.all()
        if one.pk != planned.pk and one.start_at < planned.start_at
    ]


def turns_behind(planned: PlannedSet, workshop: Workshop) -> dict[int, int]:
    """Return how many turns fewer than whoever had most somebody had before, by booking.

    A set counts where turns were noted for half of the people at least: one where the noting
    broke off tells of the noting, not of the people.
    """
    people, counts = [booking.pk for booking in in_turn(workshop)], Counter()
    for one in earlier_sets(planned, workshop):
        given = [
            event.booking_id for event in standing(one.events.all(), TallyEvent.Kind.TURN_GIVEN)
        ]
        if 2 * len(set(given)) >= len(people):
            counts.update(given)
    most = max((counts[pk] for pk in people), default=0)
    return {pk: most - counts[pk] for pk in people}
