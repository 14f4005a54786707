"""What comes along to a workshop."""

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import Refused
from workshops.models import KitUnit, User, Workshop
from workshops.services.records import check_seen
from workshops.services.reservations import reserve


@transaction.atomic
def set_kit(
    *,
    by: User | None,
    workshop: Workshop,
    units: Iterable[KitUnit],
    seen: datetime | None = None,
) -> Workshop:
    """Return a workshop whose list holds exactly these units; only what differs is written.

    Raises Stale when the workshop changed after ``seen``, NotFound when it is gone, Refused for
    a unit newly put on the list that is not fit for use; then nothing has changed.
    """
    check_seen(workshop, seen)
    wanted = {unit.pk: unit for unit in units}
    known = {row.unit_id: row for row in workshop.kit.select_related("unit__kind")}
    new = [unit for pk, unit in wanted.items() if pk not in known]
    if unfit := sorted(unit.tag for unit in new if unit.state not in KitUnit.USABLE):
        sentence = _("Not fit for use: %(tags)s. Leave them out, or set their state to ready.")
        raise Refused({"units": sentence % {"tags": ", ".join(unfit)}})
    for unit_id in known.keys() - wanted.keys():
        audit.erase(known[unit_id], by=by)
    reserve(by=by, workshop=workshop, units=new)
    if new:
        # A form that knows nothing of the new units must not take them off again.
        audit.touch(workshop)
    return workshop
