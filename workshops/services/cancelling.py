"""Bookings called off, by who booked or by the house."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit, refunds
from workshops.errors import Refused
from workshops.models import Booking, User, Workshop
from workshops.models.closed import check_not_closed
from workshops.selectors.money import share_back
from workshops.services import messages
from workshops.services.again import again
from workshops.services.leaving import forget
from workshops.services.waitlist import locked, move_on, waiting_booking

State = Booking.State
CalledOffBy = Booking.CalledOffBy


@again
@transaction.atomic
def cancel_booking(
    *,
    by: User | None,
    booking: Booking,
    now: datetime,
    called_off_by: str = CalledOffBy.ATTENDEE,
    reason: str = "",
) -> Booking:
    """Return the booking, cancelled; its seat is offered to the next on the waitlist.

    Raises Refused for a second time, and for somebody noted as attended or absent.
    """
    workshop = locked(booking.workshop_id)
    booking = _cancelled(
        booking, workshop, by=by, now=now, called_off_by=called_off_by, reason=reason
    )
    move_on(by=by, workshop=workshop, now=now)
    return booking


def cancel_all(*, by: User | None, workshop: Workshop, reason: str, now: datetime) -> list[Booking]:
    """Return every booking of a workshop that is called off by the house, cancelled.

    Call with the workshop locked and its status set. Raises Refused where somebody is noted as
    attended or absent.
    """
    return [
        _cancelled(one, workshop, by=by, now=now, called_off_by=CalledOffBy.HOUSE, reason=reason)
        for one in workshop.bookings.exclude(state=State.CANCELLED)
    ]


def _cancelled(
    booking: Booking,
    workshop: Workshop,
    *,
    by: User | None,
    now: datetime,
    called_off_by: str,
    reason: str,
) -> Booking:
    booking = Booking.objects.select_for_update().get(pk=booking.pk)
    booking.workshop = workshop
    check_not_closed(workshop.pk)
    told = {"booking": booking, "state": booking.get_state_display()}
    if booking.state == State.CANCELLED:
        raise Refused(_("%(booking)s is cancelled already.") % told)
    if booking.state in (State.ATTENDED, State.ABSENT):
        raise Refused(_("%(booking)s: %(state)s. Take that back before you cancel.") % told)
    booking.refund_share = share_refunded(booking, called_off_by=called_off_by, now=now)
    booking.state = State.CANCELLED
    booking.seat = booking.offer_expires_at = None
    booking.cancelled_at = now
    booking.cancelled_by, booking.cancelled_reason = called_off_by, reason
    audit.write(booking, by=by)
    forget(by=by, booking=booking, now=now)
    messages.cancellation(by=by, booking=booking, now=now)
    return booking


@again
@transaction.atomic
def decline_offer(*, by: User | None, booking: Booking, now: datetime) -> Booking:
    """Return a booking off the waitlist: its person does not want the seat offered.

    Raises Refused where no offer stands, so that a seat accepted before is not lost by it.
    """
    booking = waiting_booking(booking)
    if not booking.is_offered(now):
        raise Refused(_("This offer has run out: the seat has gone to the next on the list."))
    reason = _("offer declined")
    return cancel_booking(by=by, booking=booking, now=now, reason=reason)


def share_refunded(booking: Booking, *, called_off_by: str, now: datetime) -> float:
    """Return the share of the price not kept if the booking is called off now.

    All of it by the house, and for whoever never had a seat; else by the workshop's terms.
    """
    if booking.state == State.WAITLISTED:
        return refunds.BY_THE_HOUSE
    return share_back(booking, now, by_house=called_off_by == CalledOffBy.HOUSE)
