"""Links to the handouts of a workshop: one for each attendee, signed, ending, revocable."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from workshops.errors import Refused
from workshops.models import LIVE, Booking, Message, Person, SignedLink, User, Workshop
from workshops.selectors.messages import can_be_mailed
from workshops.services import messages
from workshops.services.links import make_link, revoke_link

HANDOUT = SignedLink.Purpose.HANDOUT
OPEN_FOR = messages.AFTER_THE_DAY[Message.Purpose.HANDOUT]


@dataclass(frozen=True)
class Sent:
    """What a mailing of handouts did."""

    now: int
    before: int
    without_address: list[Person]


def who_gets_one(workshop: Workshop) -> list[Booking]:
    """Return the bookings a handout is for: who holds a seat and was not absent, by name."""
    rows = workshop.bookings.filter(state__in=LIVE).exclude(state=Booking.State.ABSENT)
    return list(rows.select_related("person", "workshop").order_by("person__name", "pk"))


def handout_link(booking: Booking, now: datetime) -> SignedLink | None:
    """Return the link to a booking's handout that is open, the newest; None without one."""
    rows = booking.links.filter(purpose=HANDOUT).order_by("-made_at", "-pk")
    return next((link for link in rows if link.is_open(now)), None)


@transaction.atomic
def make_handout_link(*, by: User | None, booking: Booking, now: datetime) -> SignedLink:
    """Return the open link to a booking's handout, made now if there is none.

    Raises Refused for a booking that was cancelled, or whose person did not come.
    """
    booking = Booking.objects.select_for_update().get(pk=booking.pk)
    if booking.state not in LIVE or booking.state == Booking.State.ABSENT:
        raise Refused(_("Who did not take part gets no handout."))
    return handout_link(booking, now) or make_link(
        by=by, purpose=HANDOUT, now=now, expires_at=now + OPEN_FOR, booking=booking
    )


@transaction.atomic
def revoke_handout_links(*, by: User | None, booking: Booking, now: datetime) -> int:
    """Return how many links to a booking's handout were ended now."""
    open_ones = [
        link for link in booking.links.filter(purpose=HANDOUT).order_by("pk") if link.is_open(now)
    ]
    for link in open_ones:
        revoke_link(by=by, link=link, now=now)
    return len(open_ones)


@transaction.atomic
def send_handouts(
    *,
    by: User | None,
    workshop: Workshop,
    now: datetime,
    bookings: Iterable[Booking] | None = None,
) -> Sent:
    """Write to everybody who took part and has had no link yet; nobody is written to twice.

    ``bookings`` are those of the workshop it goes to, where not to all.

    Raises Refused before the workshop has begun, or when it was called off.
    """
    workshop = Workshop.objects.select_for_update().get(pk=workshop.pk)
    if workshop.status == Workshop.Status.CANCELLED:
        raise Refused(_("This workshop was called off: there is nothing to hand out."))
    if now < workshop.start_at:
        raise Refused(_("Handouts go out after the day: it has not begun yet."))
    written, before, without = 0, 0, []
    for booking in who_gets_one(workshop) if bookings is None else bookings:
        if not can_be_mailed(booking.person):
            without.append(booking.person)
            continue
        link = make_handout_link(by=by, booking=booking, now=now)
        known = Message.objects.filter(
            key=messages.whole_key(Message.Purpose.HANDOUT, link.pk.hex, booking.person)
        ).exists()
        _write(by, booking, link, now)
        written, before = written + (not known), before + known
    return Sent(written, before, without)


def _write(by: User | None, booking: Booking, link: SignedLink, now: datetime) -> None:
    text = messages.after_the_day(Message.Purpose.HANDOUT, booking, until=link.expires_at)
    messages.write_about(
        by, Message.Purpose.HANDOUT, booking, text, now, key=link.pk.hex, link=link
    )
