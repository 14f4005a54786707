"""Take, change and confirm bookings; ``cancelling`` calls them off."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshops import audit
from workshops.errors import AlreadyBooked, NotBookable, Refused, WorkshopFull
from workshops.models import LIVE, Booking, CameraBody, KitUnit, Person, Seat, User, Workshop
from workshops.models.base import in_zone
from workshops.models.closed import check_not_closed
from workshops.selectors.seats import free_seats
from workshops.services import messages
from workshops.services.again import again
from workshops.services.people import add_camera, add_person, change_person
from workshops.services.records import check_seen
from workshops.services.waitlist import BOOKABLE, check_bookable, locked, move_on

State = Booking.State
ON_THE_DAY = (State.ATTENDED, State.ABSENT)  # told from the day on, not before


def check_person(*, workshop: Workshop, person: Person) -> None:
    """Raise NotBookable for a minor without a guardian, AlreadyBooked for who is on the list."""
    on = in_zone(workshop.start_at, workshop.timezone_name).date()
    if person.is_under_age(on) and not (person.guardian_name and person.guardian_phone):
        sentence = _(
            "%(person)s is under 18 on the day: enter name and phone of the guardian who comes "
            "along."
        )
        raise NotBookable({"guardian_name": sentence % {"person": person}})
    if known := workshop.bookings.exclude(state=State.CANCELLED).filter(person=person).first():
        told = {"person": person, "workshop": workshop}
        if known.state == State.WAITLISTED:
            raise AlreadyBooked(_("%(person)s is on the waitlist of %(workshop)s already.") % told)
        raise AlreadyBooked(_("%(person)s already holds a booking of %(workshop)s.") % told)


def takes_who_came(workshop: Workshop, now: datetime) -> bool:
    """Return whether somebody who came unbooked can be booked as attended: until the closing."""
    return workshop.start_at <= now and workshop.status in (*BOOKABLE, Workshop.Status.RUN)


def _check_takes(workshop: Workshop, state: str, now: datetime) -> None:
    """Raise NotBookable unless a booking in that state can be made now."""
    if state in ON_THE_DAY and now < day_begins(workshop):
        raise NotBookable({"state": _("Who came is told from the day of the workshop on.")})
    if not takes_who_came(workshop, now):
        check_bookable(workshop, now)
    elif state != State.ATTENDED:
        sentence = _(
            "%(workshop)s has already started: choose “attended” for somebody who came unbooked."
        )
        raise NotBookable({"state": sentence % {"workshop": workshop}})


def free_seat(
    *, workshop: Workshop, person: Person, now: datetime, past_waitlist: bool = False
) -> Seat:
    """Return the seat a person would get, the workshop locked until the transaction ends.

    Raises NotBookable, AlreadyBooked or WorkshopFull, and WorkshopFull too where people wait whose
    offer has lapsed, unless told to pass them by. Call inside a transaction.
    """
    check_bookable(locked(workshop.pk), now)
    seat, refusal = _seat_or_refusal(workshop, person, now, past_waitlist, State.HELD)
    if refusal:
        raise refusal
    return seat


def _seat_or_refusal(
    workshop: Workshop, person: Person, now: datetime, past_waitlist: bool, state: str
) -> tuple[Seat | None, WorkshopFull | None]:
    workshop = locked(workshop.pk)
    _check_takes(workshop, state, now)
    check_person(workshop=workshop, person=person)
    move_on(by=None, workshop=workshop, now=now)
    seat = free_seats(workshop).order_by("number").first()
    if seat is None:
        return None, WorkshopFull(_full(workshop, now))
    waiting = workshop.bookings.waiting().filter(seat=None).count()
    # On the day whoever stands there comes before whoever waits at home.
    if not waiting or past_waitlist or takes_who_came(workshop, now):
        return seat, None
    words = ngettext(
        "%(n)d person waits whose offer lapsed: give them the seat from the list, or say below "
        "that this booking may pass them by.",
        "%(n)d people wait whose offers lapsed: give one of them the seat from the list, or say "
        "below that this booking may pass them by.",
        waiting,
    )
    return None, WorkshopFull({"past_waitlist": words % {"n": waiting}})


def _full(workshop: Workshop, now: datetime) -> str:
    offered = sum(one.is_offered(now) for one in workshop.bookings.waiting())
    told = {"workshop": workshop, "seats": workshop.seats.count(), "offered": offered}
    if offered:
        return (
            _("%(workshop)s is full: all %(seats)d seats are held, %(offered)d of them offered.")
            % told
        )
    return _("%(workshop)s is full: all %(seats)d seats are held.") % told


@again
@transaction.atomic
def book_person(
    *,
    by: User | None,
    workshop: Workshop,
    person: Person,
    now: datetime,
    camera: CameraBody | None = None,
    trigger_unit: KitUnit | None = None,
    state: str = State.HELD,
    notes: str = "",
    waitlist: bool = False,
    past_waitlist: bool = False,
    request_key: UUID | None = None,
) -> Booking:
    """Return a booking that holds the lowest free seat; without ``camera`` the person's first.

    Where no seat is free it stands on the waitlist, if that was asked for. Its price is agreed now.
    Once the workshop has begun only who came is booked, as attended, until it is closed.

    Raises NotBookable, AlreadyBooked or WorkshopFull, and Refused for a trigger somebody else
    shoots with; on any of them nothing has changed.
    """
    seat, refusal = _seat_or_refusal(workshop, person, now, past_waitlist, state)
    if refusal and (not waitlist or takes_who_came(workshop, now)):
        raise refusal
    if refusal:
        state, trigger_unit = State.WAITLISTED, None
    booking = Booking(
        workshop=workshop,
        person=person,
        seat=seat,
        state=state,
        booked_at=now,
        camera=camera or person.cameras.order_by("pk").first(),
        trigger_unit=trigger_unit,
        price=Workshop.objects.values_list("price", flat=True).get(pk=workshop.pk),
        request_key=request_key,
        notes=notes,
    )
    check_trigger(booking)
    audit.write(booking, by=by)
    if state == State.CONFIRMED:
        messages.confirmation(by=by, booking=booking, now=now)
    if refusal:
        move_on(by=by, workshop=booking.workshop, now=now)
        booking.refresh_from_db()
    return booking


@again
@transaction.atomic
def book_new(
    *,
    by: User | None,
    workshop: Workshop,
    now: datetime,
    person: Person | None = None,
    new_person: dict[str, Any] | None = None,
    new_camera: dict[str, Any] | None = None,
    completed: dict[str, Any] | None = None,
    request_key: UUID | None = None,
    **details,
) -> Booking:
    """Return a booking of somebody known, or of a person entered with it, camera and all.

    ``completed`` are fields of the known person to change with it. The same ``request_key`` again
    returns the booking it made. Raises Refused as ``book_person`` and ``add_person`` do, and for a
    key that booked somebody else; then nothing is kept.
    """
    locked(workshop.pk)
    if request_key and (made := Booking.objects.filter(request_key=request_key).first()):
        return _made_before(made, workshop, person.name if person else (new_person or {})["name"])
    if person is None:
        person = add_person(by=by, **(new_person or {}))
    elif completed:
        person = change_person(by=by, person=person, **completed)
    camera = add_camera(by=by, owner=person, **new_camera) if new_camera else None
    return book_person(
        by=by,
        workshop=workshop,
        person=person,
        now=now,
        camera=camera,
        request_key=request_key,
        **details,
    )


def _made_before(made: Booking, workshop: Workshop, name: str) -> Booking:
    """Return what a form sent twice has made. Raises Refused where it asks for another one."""
    same = made.person.name.strip().casefold() == name.strip().casefold()
    if made.workshop_id == workshop.pk and same and made.state != State.CANCELLED:
        return made
    sentence = _("This form has booked %(person)s before. Look through it, then send it again.")
    raise Refused({"request_key": sentence % {"person": made.person}})


@again
@transaction.atomic
def save_booking(
    *, by: User | None, booking: Booking, now: datetime, seen: datetime | None = None
) -> Booking:
    """Return a booking as its form left it.

    Raises Stale when it changed after ``seen``, NotFound when it is gone, Refused for a state it
    cannot be given and for a trigger somebody else of the workshop shoots with; then nothing has
    changed.
    """
    booking.workshop = locked(booking.workshop_id)
    check_seen(booking, seen)
    was = Booking.objects.get(pk=booking.pk)
    check_state(was, booking.state, now=now)
    check_trigger(booking)
    saved = audit.write(booking, by=by)
    if booking.state == State.CONFIRMED and was.state == State.HELD:
        messages.confirmation(by=by, booking=booking, now=now)
    return saved


def check_trigger(booking: Booking) -> None:
    """Raise Refused when somebody else with a seat has that trigger. Call with seats locked."""
    if booking.trigger_unit_id is None or booking.state not in LIVE:
        return
    others = booking.workshop.bookings.live().exclude(pk=booking.pk).select_related("person")
    if holder := others.filter(trigger_unit=booking.trigger_unit_id).first():
        sentence = _("Trigger: %(person)s shoots with %(unit)s; choose another.")
        told = {"person": holder.person, "unit": booking.trigger_unit.tag}
        raise Refused({"trigger_unit": sentence % told})


def check_state(was: Booking, state: str, *, now: datetime) -> None:
    """Raise Refused for a state that cannot follow the one a booking has, or after the closing."""
    if state == was.state:
        return
    check_not_closed(was.workshop_id)
    told = {"booking": was, "person": was.person}
    if was.state == State.CANCELLED:
        raise Refused(_("%(booking)s is cancelled: book anew.") % told)
    if was.state == State.WAITLISTED:
        raise Refused(_("%(person)s is on the waitlist: give them a seat first.") % told)
    if state not in LIVE:
        raise Refused(_("%(booking)s: cancel it on its own page.") % told)
    if state in ON_THE_DAY and now < day_begins(was.workshop):
        raise Refused(_("Who came is told from the day of the workshop on, not before."))


def day_begins(workshop: Workshop) -> datetime:
    """Return the first instant of the workshop's first day on the clock of its place."""
    start = in_zone(workshop.start_at, workshop.timezone_name)
    return start.replace(hour=0, minute=0, second=0, microsecond=0)


@again
@transaction.atomic
def set_state(*, by: User | None, booking: Booking, state: str, now: datetime) -> Booking:
    """Return the booking in that state: held, confirmed, attended or absent.

    Raises Refused where it cannot follow; nobody attends before the day. The same again does no
    harm.
    """
    workshop = locked(booking.workshop_id)
    booking = Booking.objects.get(pk=booking.pk)
    booking.workshop = workshop
    check_state(booking, state, now=now)
    was, booking.state = booking.state, state
    audit.write(booking, by=by)
    if state == State.CONFIRMED and was == State.HELD:
        messages.confirmation(by=by, booking=booking, now=now)
    return booking


def confirm_booking(*, by: User | None, booking: Booking, now: datetime) -> Booking:
    """Return the booking, confirmed. Raises Refused for one cancelled or on the waitlist."""
    return set_state(by=by, booking=booking, state=State.CONFIRMED, now=now)
