"""Save and erase one record as its form left it."""

from datetime import datetime

from django.db import models, transaction
from django.db.models.deletion import ProtectedError
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import NotFound, Refused, Stale
from workshops.models import User
from workshops.models.base import Record


@transaction.atomic
def save_record(*, by: User | None, record: Record, seen: datetime | None = None) -> Record:
    """Return the record, saved with its audit entry.

    Raises Stale when it changed after ``seen``, NotFound when it is gone, Refused for a broken
    rule; then nothing has changed.
    """
    if record.pk and not record._state.adding:
        check_seen(record, seen)
    return audit.write(record, by=by)


def check_seen(record: Record, seen: datetime | None) -> None:
    """Lock a record and refuse unless it is as it was when last ``seen``.

    Raises Stale or NotFound. Call inside a transaction.
    """
    rows = type(record)._base_manager.select_for_update().order_by("pk")
    now = rows.filter(pk=record.pk).values_list("changed_at", flat=True).first()
    if now is None:
        raise NotFound(_("%(record)s has been deleted meanwhile.") % {"record": record})
    if seen is not None and now != seen:
        raise Stale(_("%(record)s has been changed meanwhile.") % {"record": record})


@transaction.atomic
def erase_record(*, by: User | None, record: Record) -> None:
    """Delete a record and what hangs on it. Raises Refused where another one needs it."""
    try:
        audit.erase(record, by=by)
    except ProtectedError as fault:
        users = sorted({_called(one) for one in fault.protected_objects})
        raise Refused(
            _("%(record)s is used by %(users)s: change or delete that first.")
            % {"record": record, "users": ", ".join(users[:5])}
        ) from None


def _called(record: models.Model) -> str:
    return f"{record._meta.verbose_name} {record}"
