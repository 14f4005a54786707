"""What comes along to a workshop."""

from collections.abc import Iterable

from django.db import transaction

from workshops import audit
from workshops.models import KitUnit, User, Workshop, WorkshopKit


@transaction.atomic
def set_kit(*, by: User | None, workshop: Workshop, units: Iterable[KitUnit]) -> None:
    """Let a workshop's list hold exactly these units; only what differs is written.

    Raises Refused when a unit breaks a rule; then nothing has changed.
    """
    Workshop.objects.select_for_update().get(pk=workshop.pk)
    wanted = {unit.pk: unit for unit in units}
    known = {row.unit_id: row for row in workshop.kit.all()}
    for unit_id in known.keys() - wanted.keys():
        audit.erase(known[unit_id], by=by)
    for unit_id in wanted.keys() - known.keys():
        audit.write(WorkshopKit(workshop=workshop, unit=wanted[unit_id]), by=by)
    if wanted.keys() - known.keys():
        audit.touch(workshop)
