"""Which sets there are."""

from dataclasses import dataclass
from datetime import datetime

from planning.models import PlannedSet
from workshops.models.base import in_zone


@dataclass(frozen=True)
class SetLine:
    """One line of the list of sets."""

    id: int
    position: int
    title: str
    workshop_id: int
    workshop: str
    location: str
    start_at: datetime  # on the clock of the place


def set_list() -> list[SetLine]:
    """Return every set, by workshop and number in the day."""
    rows = PlannedSet.objects.select_related("workshop", "location").order_by(
        "workshop__start_at", "workshop_id", "position", "pk"
    )
    return [
        SetLine(
            id=row.pk,
            position=row.position,
            title=row.title,
            workshop_id=row.workshop_id,
            workshop=row.workshop.title,
            location=row.location.name,
            start_at=in_zone(row.start_at, row.location.timezone_name),
        )
        for row in rows
    ]


def sets_of(workshop_id: int) -> list[int]:
    """Return the ids of a workshop's sets in the order of the day."""
    rows = PlannedSet.objects.filter(workshop=workshop_id).order_by("position", "pk")
    return list(rows.values_list("pk", flat=True))
