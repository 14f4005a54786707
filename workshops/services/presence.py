"""Say on the day who is here, who comes later, who leaves early and who is absent."""

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import Refused
from workshops.models import LIVE, Booking, User, Workshop
from workshops.models.closed import check_not_closed
from workshops.services.again import again
from workshops.services.bookings import ON_THE_DAY, check_state
from workshops.services.records import check_seen
from workshops.services.waitlist import locked


@dataclass(frozen=True)
class Presence:
    """What is said of one booking: ``state`` attended, absent, or empty for not said yet."""

    booking: Booking
    state: str = ""
    arrives_at: datetime | None = None
    leaves_at: datetime | None = None
    seen: datetime | None = None  # when the record last changed, as its reader saw it


@again
@transaction.atomic
def note_presence(
    *, by: User | None, workshop: Workshop, said: list[Presence], now: datetime
) -> list[Booking]:
    """Return the bookings that changed by what is said of them; all of it is kept, or nothing.

    Nothing else of a booking is touched. An empty ``state`` leaves the one there is. Raises
    Stale for a booking that changed after it was seen, Refused for one without a seat here, for
    who came before the day, and for times outside the workshop.
    """
    workshop = locked(workshop.pk)
    check_not_closed(workshop.pk)
    changed = []
    for one in said:
        booking = Booking.objects.select_related("person").get(pk=one.booking.pk)
        booking.workshop = workshop if booking.workshop_id == workshop.pk else booking.workshop
        if not _differs(booking, one):
            continue
        _check(workshop, booking, one, now)
        check_seen(booking, one.seen)
        booking.state = one.state or booking.state
        booking.arrives_at, booking.leaves_at = one.arrives_at, one.leaves_at
        changed.append(audit.write(booking, by=by))
    return changed


def _differs(booking: Booking, one: Presence) -> bool:
    times = (booking.arrives_at, booking.leaves_at)
    return times != (one.arrives_at, one.leaves_at) or one.state not in ("", booking.state)


def _check(workshop: Workshop, booking: Booking, one: Presence, now: datetime) -> None:
    told = {"person": booking.person, "workshop": workshop}
    if booking.workshop_id != workshop.pk or booking.state not in LIVE:
        raise Refused(_("%(person)s has no seat at %(workshop)s.") % told)
    if one.state and one.state not in ON_THE_DAY:
        raise Refused(_("%(person)s: say here or absent.") % told)
    check_state(booking, one.state or booking.state, now=now)
    for name, at in (("arrives_at", one.arrives_at), ("leaves_at", one.leaves_at)):
        if at is not None and not workshop.start_at < at < workshop.end_at:
            raise Refused(
                {name: _("%(person)s: enter a time within the workshop, or leave it empty.") % told}
            )
    if one.arrives_at and one.leaves_at and one.leaves_at <= one.arrives_at:
        raise Refused({"leaves_at": _("%(person)s: leaves at a time after coming.") % told})
