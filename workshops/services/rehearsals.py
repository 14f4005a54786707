"""Keep what the rehearsal found, and settle who shoots with which trigger."""

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import Refused
from workshops.models import Booking, KitUnit, Rehearsal, User, Workshop
from workshops.services.bookings import save_booking

Result = Rehearsal.Result


@transaction.atomic
def record_rehearsal(
    *,
    by: User | None,
    booking: Booking,
    trigger_unit: KitUnit,
    results: Mapping[KitUnit, str],
    measured_sync_s: float | None,
    now: datetime,
) -> list[Rehearsal]:
    """Return the tries of one camera with one trigger, by lamp; a newer try replaces an older.

    ``results`` are Rehearsal.Result by lamp. Raises Refused for none, for a unit of another
    sort, and for a dark band without the shutter that is free of it.
    """
    Workshop.objects.select_for_update().get(pk=booking.workshop_id)
    if not results:
        raise Refused(_("Say of one lamp at least what happened."))
    if trigger_unit.kind.category != "trigger":
        raise Refused({"trigger_unit": _("Trigger: choose a trigger.")})
    if Result.BAND in results.values() and measured_sync_s is None:
        sentence = _("Fastest shutter without a band: find it, one mark slower at a time.")
        raise Refused({"measured_sync_s": sentence})
    if measured_sync_s is not None and set(results.values()) == {Result.NO}:
        sentence = _("Fastest shutter without a band: leave it empty where nothing fires.")
        raise Refused({"measured_sync_s": sentence})
    return [
        audit.write(_try(booking, trigger_unit, lamp, result, measured_sync_s, now), by=by)
        for lamp, result in results.items()
    ]


def _try(booking, trigger_unit, lamp, result, measured_sync_s, now) -> Rehearsal:
    pair = {"booking": booking, "trigger_unit": trigger_unit, "lamp_unit": lamp}
    row = Rehearsal.objects.filter(**pair).first() or Rehearsal(**pair)
    row.result = result
    row.measured_sync_s = None if result == Result.NO else measured_sync_s
    row.tried_at = now
    return row


@transaction.atomic
def settle_triggers(
    *, by: User | None, pairs: Mapping[Booking, KitUnit], now: datetime
) -> list[Booking]:
    """Return the bookings, each with its trigger from now on.

    Raises Refused where somebody else of the workshop shoots with one already.
    """
    settled = []
    for booking, unit in pairs.items():
        booking.trigger_unit = unit
        settled.append(save_booking(by=by, booking=booking, now=now))
    return settled
