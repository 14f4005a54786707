"""Sets and breaks that follow their workshop to another date."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import PlannedSet
from planning.selectors.day import days_astray
from workshops import audit
from workshops.errors import Refused
from workshops.models import User, Workshop

TIMES = ("start_at", "end_at", "earliest_at", "latest_at")


@transaction.atomic
def move_along(*, by: User | None, workshop: Workshop) -> int:
    """Return by how many days a workshop's sets and breaks were moved, to lie on its days again.

    Clock times stay as they are, across a change of clocks too; readings and what happened on a set
    keep their own time. Raises Refused where nothing lies on another date, and where turns were
    given already: then that day has been.
    """
    rows = PlannedSet.objects.select_for_update().order_by("pk")
    sets = list(rows.filter(workshop=workshop).select_related("location"))
    days = days_astray(workshop)
    if not days:
        raise Refused(_("The sets lie on the days of the workshop: nothing is to be moved."))
    if any(one.events.exists() for one in sets):
        raise Refused(
            _("Something happened on these sets already: plan new ones for the new date instead.")
        )
    for one in sets:
        _shift(one, days, one.location.timezone_name)
        audit.write(one, by=by)
    for rest in workshop.breaks.select_for_update().order_by("pk"):
        _shift(rest, days, workshop.timezone_name)
        audit.write(rest, by=by)
    return days


def _shift(record, days: int, timezone_name: str) -> None:
    for name in TIMES:
        if at := getattr(record, name, None):
            setattr(record, name, _later(at, days, timezone_name))


def _later(at: datetime, days: int, timezone_name: str) -> datetime:
    """The same clock time so many days later; an hour the clock skips is the one after it."""
    local = at.astimezone(ZoneInfo(timezone_name))
    return local + timedelta(days=days)  # on one clock: the wall time is what is added to
