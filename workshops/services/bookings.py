"""Take, change, confirm and cancel bookings."""

from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import AlreadyBooked, NotBookable, Refused, WorkshopFull
from workshops.models import LIVE, Booking, CameraBody, KitUnit, Person, Seat, User, Workshop
from workshops.models.base import in_zone
from workshops.selectors.seats import free_seats
from workshops.services.people import add_camera, add_person
from workshops.services.records import check_seen

BOOKABLE = (Workshop.Status.OPEN, Workshop.Status.CONFIRMED)


def free_seat(*, workshop: Workshop, person: Person, now: datetime) -> Seat:
    """Return the seat a person would get, the workshop locked until the transaction ends.

    Raises NotBookable, AlreadyBooked or WorkshopFull. Call inside a transaction.
    """
    # PostgreSQL waits on this row; SQLite has no row locks, and waits because its write
    # transactions begin IMMEDIATE.
    workshop = Workshop.objects.select_for_update().get(pk=workshop.pk)
    if workshop.status not in BOOKABLE:
        raise NotBookable(
            _("%(workshop)s takes no bookings: its status is %(status)s.")
            % {"workshop": workshop, "status": workshop.get_status_display()}
        )
    if workshop.start_at <= now:
        raise NotBookable(_("%(workshop)s has already started.") % {"workshop": workshop})
    on = in_zone(workshop.start_at, workshop.timezone_name).date()
    if person.is_under_age(on) and not person.guardian_name:
        raise NotBookable(
            _("%(person)s is under 18 on the day: enter the guardian who comes along first.")
            % {"person": person}
        )
    if workshop.bookings.live().filter(person=person).exists():
        raise AlreadyBooked(
            _("%(person)s already holds a booking of %(workshop)s.")
            % {"person": person, "workshop": workshop}
        )
    seat = free_seats(workshop).order_by("number").first()
    if seat is None:
        raise WorkshopFull(
            _("%(workshop)s is full: all %(seats)d seats are held.")
            % {"workshop": workshop, "seats": workshop.seats.count()}
        )
    return seat


@transaction.atomic
def book_person(
    *,
    by: User | None,
    workshop: Workshop,
    person: Person,
    now: datetime,
    camera: CameraBody | None = None,
    trigger_unit: KitUnit | None = None,
    state: str = Booking.State.HELD,
    notes: str = "",
) -> Booking:
    """Return a booking that holds the lowest free seat; without ``camera`` the person's first.

    Raises NotBookable, AlreadyBooked or WorkshopFull, and Refused for a trigger somebody else
    shoots with; on any of them nothing has changed.
    """
    seat = free_seat(workshop=workshop, person=person, now=now)
    booking = Booking(
        workshop=workshop,
        person=person,
        seat=seat,
        state=state,
        booked_at=now,
        camera=camera or person.cameras.order_by("pk").first(),
        trigger_unit=trigger_unit,
        notes=notes,
    )
    _check_trigger(booking)
    audit.write(booking, by=by)
    return booking


@transaction.atomic
def book_new(
    *,
    by: User | None,
    workshop: Workshop,
    now: datetime,
    person: Person | None = None,
    new_person: dict[str, Any] | None = None,
    new_camera: dict[str, Any] | None = None,
    **details,
) -> Booking:
    """Return a booking of somebody known, or of a person entered with it, camera and all.

    Raises Refused as ``book_person`` and ``add_person`` do; then nothing is kept.
    """
    person = person or add_person(by=by, **(new_person or {}))
    camera = add_camera(by=by, owner=person, **new_camera) if new_camera else None
    return book_person(by=by, workshop=workshop, person=person, now=now, camera=camera, **details)


@transaction.atomic
def save_booking(*, by: User | None, booking: Booking, seen: datetime | None = None) -> Booking:
    """Return a booking as its form left it.

    Raises Stale when it changed after ``seen``, NotFound when it is gone, Refused for a trigger
    somebody else of the workshop shoots with; then nothing has changed.
    """
    Workshop.objects.select_for_update().get(pk=booking.workshop_id)
    check_seen(booking, seen)
    was = Booking.objects.get(pk=booking.pk)
    if (was.state in LIVE) != (booking.state in LIVE):
        raise Refused(_("%(booking)s is cancelled: book anew.") % {"booking": booking})
    _check_trigger(booking)
    return audit.write(booking, by=by)


def _check_trigger(booking: Booking) -> None:
    """Raise Refused when somebody else with a seat has that trigger. Call with seats locked."""
    if booking.trigger_unit_id is None or booking.state not in LIVE:
        return
    others = booking.workshop.bookings.live().exclude(pk=booking.pk).select_related("person")
    if holder := others.filter(trigger_unit=booking.trigger_unit_id).first():
        sentence = _("Trigger: %(person)s shoots with %(unit)s; choose another.")
        told = {"person": holder.person, "unit": booking.trigger_unit.tag}
        raise Refused({"trigger_unit": sentence % told})


@transaction.atomic
def confirm_booking(*, by: User | None, booking: Booking) -> Booking:
    """Return the booking, confirmed. Raises Refused for a cancelled one."""
    booking = Booking.objects.select_for_update().get(pk=booking.pk)
    if booking.state == Booking.State.CANCELLED:
        raise Refused(_("%(booking)s is cancelled: book anew.") % {"booking": booking})
    booking.state = Booking.State.CONFIRMED
    audit.write(booking, by=by)
    return booking


@transaction.atomic
def cancel_booking(*, by: User | None, booking: Booking, now: datetime) -> Booking:
    """Return the booking, cancelled, its seat free again. Raises Refused for a second time."""
    Workshop.objects.select_for_update().get(pk=booking.workshop_id)
    booking = Booking.objects.select_for_update().get(pk=booking.pk)
    if booking.state == Booking.State.CANCELLED:
        raise Refused(_("%(booking)s is cancelled already.") % {"booking": booking})
    booking.state = Booking.State.CANCELLED
    booking.seat = None
    booking.cancelled_at = now
    audit.write(booking, by=by)
    return booking
