"""What did not fire before: by the people and the triggers of a workshop, everywhere so far."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from planning.models import TallyEvent
from planning.selectors.people import in_turn, printed_names
from workshops.models import Workshop
from workshops.models.base import in_zone

MOST = 40  # of one page: the newest


@dataclass(frozen=True)
class SeenMisfire:
    """One lamp that did not fire."""

    at: datetime  # on the clock of the place
    workshop: str
    attendee: str  # empty where it was nobody of this workshop
    trigger: str  # asset tag
    light: str
    cause: str  # as TallyEvent.Cause
    notes: str


def seen_misfires(workshop: Workshop) -> list[SeenMisfire]:
    """Return the misfires of a workshop's people and of its triggers, the newest first.

    Those of earlier workshops are among them. Who it was is told of this workshop's people
    alone.
    """
    names = {
        booking.person_id: printed_names(workshop)[booking.pk] for booking in in_turn(workshop)
    }
    triggers = [row.unit_id for row in workshop.kit.all() if row.unit.kind.category == "trigger"]
    rows = TallyEvent.objects.filter(
        Q(booking__person__in=names) | Q(unit__in=triggers),
        kind=TallyEvent.Kind.MISFIRE,
        takes_back=None,
        taken_back_by=None,
    ).select_related("planned_set__workshop", "planned_set__location", "booking", "unit")
    return [
        SeenMisfire(
            at=in_zone(event.at, event.planned_set.location.timezone_name),
            workshop=event.planned_set.workshop.title,
            attendee=names.get(event.booking.person_id, "") if event.booking else "",
            trigger=event.unit.tag if event.unit else "",
            light=event.light_name,
            cause=event.cause,
            notes=event.notes,
        )
        for event in rows.order_by("-at", "-pk")[:MOST]
    ]
