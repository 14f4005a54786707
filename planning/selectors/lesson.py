"""What a set teaches, its stations, and the turns given so far, as inputs of its plan."""

from dataclasses import fields

from planning.models import PlannedSet, TallyEvent
from planning.plan.inputs import GivenTurnInputs, PointInputs
from planning.selectors.people import printed_names
from workshops.models import Workshop
from workshops.models.base import in_zone


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


def given_turns(planned: PlannedSet, workshop: Workshop) -> tuple[GivenTurnInputs, ...]:
    """Return the turns given and missed so far, without those taken back."""
    if planned.pk is None:
        return ()
    events = list(planned.events.all())
    undone = {event.takes_back_id for event in events}
    names = printed_names(workshop)
    kinds = (TallyEvent.Kind.TURN_GIVEN, TallyEvent.Kind.TURN_MISSED)
    return tuple(
        GivenTurnInputs(
            attendee=names[event.booking_id],
            at=in_zone(event.at, planned.location.timezone_name),
            round=event.round or 1,
            station=event.station,
            missed=event.kind == TallyEvent.Kind.TURN_MISSED,
        )
        for event in events
        if event.kind in kinds
        and event.takes_back_id is None
        and event.pk not in undone
        and event.booking_id in names
    )
