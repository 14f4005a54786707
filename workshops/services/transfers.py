"""A booking moves to another person or another date; payments stay with it."""

from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import Refused
from workshops.models import Booking, CameraBody, Person, User, Workshop
from workshops.services import messages
from workshops.services.again import again
from workshops.services.bookings import check_person, free_seat
from workshops.services.leaving import forget
from workshops.services.people import add_camera, add_person, change_person
from workshops.services.waitlist import check_bookable, locked, move_on

State = Booking.State
MOVABLE = (State.HELD, State.CONFIRMED)


@again
@transaction.atomic
def transfer_to_person(
    *,
    by: User | None,
    booking: Booking,
    now: datetime,
    person: Person | None = None,
    new_person: dict[str, Any] | None = None,
    camera: CameraBody | None = None,
    new_camera: dict[str, Any] | None = None,
    details: dict[str, Any] | None = None,
    holder: int | None = None,
) -> Booking:
    """Return the booking, held by another person, known or entered with it.

    ``details`` are fields of that person as they were asked for: emergency contact, access needs,
    guardian. ``holder`` is the number of who held it when this was asked: sent twice, it is done
    once. Nothing of the one before stays: camera, trigger, tries, notes, medical answers.

    Raises Refused without a camera or an emergency contact, and as a booking of that person would;
    then nothing has changed.
    """
    workshop = locked(booking.workshop_id)
    booking = _movable(booking, workshop, now)
    if holder is not None and booking.person_id != holder:
        sentence = _("The booking has gone to %(person)s meanwhile: look at it again.")
        raise Refused(sentence % {"person": booking.person})
    if person is None:
        person = add_person(by=by, **(new_person or {}) | (details or {}))
    elif details:
        person = change_person(by=by, person=person, **details)
    if person.pk == booking.person_id:
        raise Refused(_("%(person)s holds this booking already.") % {"person": person})
    check_person(workshop=workshop, person=person)
    if not (person.emergency_name and person.emergency_phone):
        sentence = _("Emergency contact: enter name and phone of somebody to call.")
        raise Refused({"emergency_name": sentence})
    if new_camera:
        camera = add_camera(by=by, owner=person, **new_camera)
    if camera is None:
        raise Refused({"camera_name": _("Camera: choose the body they bring, or enter it.")})
    forget(by=by, booking=booking, now=now)
    booking.person, booking.camera = person, camera
    booking.trigger_unit = booking.measured_sync_s = None
    booking.notes = ""
    audit.write(booking, by=by)
    if booking.state == State.CONFIRMED:
        messages.confirmation(by=by, booking=booking, now=now)
    return booking


@again
@transaction.atomic
def transfer_to_workshop(
    *,
    by: User | None,
    booking: Booking,
    workshop: Workshop,
    now: datetime,
    past_waitlist: bool = False,
) -> Booking:
    """Return the booking, on the lowest free seat of another workshop, at the price agreed.

    The camera comes along; the trigger and what was tried with it do not. The seat given up is
    offered to the waitlist of the day before. Raises Refused as a booking there would; then
    nothing has changed.
    """
    if workshop.pk == booking.workshop_id:
        raise Refused({"workshop": _("Workshop: it is booked for this one already.")})
    # In one order, so that two transfers in opposite directions wait instead of locking each other.
    both = {pk: locked(pk) for pk in sorted((booking.workshop_id, workshop.pk))}
    old, new = both[booking.workshop_id], both[workshop.pk]
    booking = _movable(booking, old, now)
    if new.currency != old.currency and booking.payments.exists():
        sentence = _("Workshop: %(currency)s was paid; choose one of that currency.")
        raise Refused({"workshop": sentence % {"currency": old.currency}})
    seat = free_seat(workshop=new, person=booking.person, now=now, past_waitlist=past_waitlist)
    forget(by=by, booking=booking, now=now)
    booking.workshop, booking.seat = new, seat
    booking.trigger_unit = booking.measured_sync_s = None
    audit.write(booking, by=by)
    move_on(by=by, workshop=old, now=now)
    if booking.state == State.CONFIRMED:
        messages.confirmation(by=by, booking=booking, now=now)
    return booking


def _movable(booking: Booking, workshop: Workshop, now: datetime) -> Booking:
    """Return the booking as stored. Raises Refused for a state or a day that is not moved."""
    booking = (
        Booking.objects.select_for_update(of=("self",)).select_related("person").get(pk=booking.pk)
    )
    if booking.workshop_id != workshop.pk:
        raise Refused(_("%(booking)s has been moved meanwhile.") % {"booking": booking})
    booking.workshop = workshop
    if booking.state not in MOVABLE:
        told = {"booking": booking, "state": booking.get_state_display()}
        raise Refused(_("%(booking)s is %(state)s: only a seat can be transferred.") % told)
    check_bookable(workshop, now)
    return booking
