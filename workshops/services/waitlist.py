"""The waitlist: a freed seat is offered in order, an offer runs out, the next one is asked."""

from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import Q
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import NotBookable, Refused, WorkshopFull
from workshops.models import LIVE, Booking, Seat, SignedLink, User, Workshop
from workshops.selectors.house import house
from workshops.selectors.seats import free_seats, waitlist
from workshops.services import messages
from workshops.services.again import again
from workshops.services.links import make_link, revoke_link

BOOKABLE = (Workshop.Status.OPEN, Workshop.Status.CONFIRMED)


def locked(workshop_id: int) -> Workshop:
    """Return the workshop, nobody else booking it until the transaction ends."""
    # PostgreSQL waits on this row; SQLite has no row locks, and waits because its write
    # transactions begin IMMEDIATE.
    return Workshop.objects.select_for_update().get(pk=workshop_id)


def check_bookable(workshop: Workshop, now: datetime) -> None:
    """Raise NotBookable unless seats of the workshop can be given now."""
    if workshop.status not in BOOKABLE:
        raise NotBookable(
            _("%(workshop)s takes no bookings: its status is %(status)s.")
            % {"workshop": workshop, "status": workshop.get_status_display()}
        )
    if workshop.start_at <= now:
        raise NotBookable(_("%(workshop)s has already started.") % {"workshop": workshop})


def lapse(*, by: User | None, workshop: Workshop, now: datetime) -> list[Booking]:
    """Return those whose offer has run out, their seats free again. Call with seats locked."""
    for late in workshop.bookings.waiting().filter(offer_expires_at__gt=workshop.start_at):
        late.offer_expires_at = workshop.start_at  # the day was moved since
        audit.write(late, by=by)
    gone = list(workshop.bookings.waiting().filter(offer_expires_at__lte=now))
    for booking in gone:
        _end_offer(booking, ended_at=booking.offer_expires_at)
        audit.write(booking, by=by)
        messages.lapsed(by=by, booking=booking, now=now)
    return gone


def move_on(*, by: User | None, workshop: Workshop, now: datetime) -> list[Booking]:
    """Return those who are offered a seat now, once lapsed offers are cleared away.

    Every free seat goes to the next in order whose offer has not lapsed before. Call with seats
    locked.
    """
    lapse(by=by, workshop=workshop, now=now)
    if workshop.status not in BOOKABLE or workshop.start_at <= now:
        return []
    unasked = workshop.bookings.waiting().filter(seat=None, offer_lapsed_at=None)
    pairs = zip(free_seats(workshop).order_by("number"), waitlist(unasked), strict=False)
    return [_offer(booking, seat, by=by, now=now) for seat, booking in pairs]


def _offer(booking: Booking, seat: Seat, *, by: User | None, now: datetime) -> Booking:
    until = now + timedelta(hours=house().offer_hours)
    booking.seat = seat
    booking.offer_expires_at = min(until, booking.workshop.start_at)
    audit.write(booking, by=by)
    link = make_link(
        by=by,
        purpose=SignedLink.Purpose.OFFER,
        now=now,
        expires_at=booking.offer_expires_at,
        booking=booking,
    )
    messages.offer(by=by, booking=booking, link=link, now=now)
    return booking


def _end_offer(booking: Booking, ended_at: datetime) -> None:
    booking.seat = booking.offer_expires_at = None
    booking.offer_lapsed_at = ended_at


def close_links(*, by: User | None, booking: Booking, now: datetime) -> None:
    """Let the links to a booking's offers open nothing from now on."""
    for link in booking.links.filter(purpose=SignedLink.Purpose.OFFER, revoked_at=None):
        revoke_link(by=by, link=link, now=now)


def waiting_booking(booking: Booking) -> Booking:
    """Return a booking of the waitlist as stored, with seats locked. Raises Refused elsewhere."""
    workshop = locked(booking.workshop_id)
    stored = Booking.objects.select_for_update(of=("self",)).select_related("person")
    booking = stored.get(pk=booking.pk)
    booking.workshop = workshop
    if booking.state != Booking.State.WAITLISTED:
        raise Refused(
            _("%(person)s is not on the waitlist: %(state)s.")
            % {"person": booking.person, "state": booking.get_state_display()}
        )
    return booking


def _free_seat(workshop: Workshop) -> Seat:
    seat = free_seats(workshop).order_by("number").first()
    if seat is None:
        raise WorkshopFull(
            _("No seat is free: withdraw an offer in somebody’s favour, or add a seat.")
        )
    return seat


@again
@transaction.atomic
def offer_seat(*, by: User | None, booking: Booking, now: datetime) -> Booking:
    """Return somebody of the waitlist, offered a free seat whatever their place in the order.

    Raises Refused for who has an offer or does not wait, NotBookable, WorkshopFull.
    """
    booking = waiting_booking(booking)
    check_bookable(booking.workshop, now)
    if booking.is_offered(now):
        raise Refused(_("%(person)s has an offer already.") % {"person": booking.person})
    lapse(by=by, workshop=booking.workshop, now=now)
    booking = waiting_booking(booking)
    return _offer(booking, _free_seat(booking.workshop), by=by, now=now)


@again
@transaction.atomic
def withdraw_offer(
    *, by: User | None, booking: Booking, now: datetime, then: Booking | None = None
) -> Booking:
    """Return a booking whose offer is taken back; it keeps its place, but is not asked again.

    The seat is offered to ``then``, or else to the next in order. Raises Refused where no offer
    stands.
    """
    booking = waiting_booking(booking)
    if not booking.is_offered(now):
        raise Refused(_("%(person)s has no offer that stands.") % {"person": booking.person})
    _end_offer(booking, ended_at=now)
    audit.write(booking, by=by)
    close_links(by=by, booking=booking, now=now)
    if then is not None:
        offer_seat(by=by, booking=then, now=now)
    move_on(by=by, workshop=booking.workshop, now=now)
    return booking


@again
@transaction.atomic
def accept_offer(*, by: User | None, booking: Booking, now: datetime) -> Booking:
    """Return a booking that holds the seat it was offered; a repeat changes nothing.

    Raises Refused where no offer stands any more, NotBookable.
    """
    locked(booking.workshop_id)
    stored = Booking.objects.get(pk=booking.pk)
    if stored.state in LIVE:
        return stored
    booking = waiting_booking(booking)
    check_bookable(booking.workshop, now)
    if not booking.is_offered(now):
        raise Refused(_("This offer has run out: the seat has gone to the next on the list."))
    return _seated(booking, booking.seat, by=by, now=now)


@again
@transaction.atomic
def give_seat(*, by: User | None, booking: Booking, now: datetime) -> Booking:
    """Return a booking that holds a seat, given knowingly whatever its place on the waitlist.

    The seat is the one offered, or else a free one. Raises Refused for who does not wait,
    NotBookable, WorkshopFull.
    """
    booking = waiting_booking(booking)
    check_bookable(booking.workshop, now)
    lapse(by=by, workshop=booking.workshop, now=now)
    booking = waiting_booking(booking)
    return _seated(booking, booking.seat or _free_seat(booking.workshop), by=by, now=now)


def _seated(booking: Booking, seat: Seat, *, by: User | None, now: datetime) -> Booking:
    booking.state, booking.seat = Booking.State.HELD, seat
    booking.offer_expires_at = None
    audit.write(booking, by=by)
    move_on(by=by, workshop=booking.workshop, now=now)
    return booking


def lapsed_offers(now: datetime) -> str:
    """Return how many offers ran out and how many were made, in words; empty when none."""
    unasked = Q(seat=None, offer_lapsed_at=None, workshop__status__in=BOOKABLE)
    rows = Booking.objects.waiting().filter(Q(offer_expires_at__lte=now) | unasked)
    lapsed = offered = 0
    for pk in sorted(set(rows.values_list("workshop", flat=True))):
        workshop = locked(pk)
        lapsed += len(lapse(by=None, workshop=workshop, now=now))
        offered += len(move_on(by=None, workshop=workshop, now=now))
    if not lapsed and not offered:
        return ""
    return f"{lapsed} offers of a seat ran out, {offered} were made"
