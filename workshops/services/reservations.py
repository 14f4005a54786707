"""Promise units of kit to workshops, and give them free."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db import transaction

from workshops import audit
from workshops.models import KitUnit, Reservation, User, Workshop
from workshops.selectors.house import house


def promised_span(workshop: Workshop) -> tuple[datetime, datetime]:
    """Return the half-open span for which a workshop needs its kit, margins included."""
    rules = house()
    return (
        workshop.start_at - timedelta(hours=rules.preparation_hours),
        workshop.end_at + timedelta(hours=rules.return_hours),
    )


@transaction.atomic
def reserve(*, by: User | None, workshop: Workshop, units: Iterable[KitUnit]) -> list[Reservation]:
    """Return the promises of units to a workshop. Raises Refused for one promised already."""
    start_at, end_at = promised_span(workshop)
    return [
        audit.write(
            Reservation(workshop=workshop, unit=unit, start_at=start_at, end_at=end_at), by=by
        )
        for unit in units
    ]
