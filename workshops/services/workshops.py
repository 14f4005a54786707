"""Workshops, their people and their seats."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import Refused
from workshops.models import (
    Booking,
    Location,
    Person,
    Seat,
    User,
    Workshop,
    WorkshopPlace,
    WorkshopRole,
)
from workshops.models.answers import medical_answers_over
from workshops.selectors.seats import free_seats
from workshops.services.again import again
from workshops.services.cancelling import cancel_all
from workshops.services.confidence import check_own_lead
from workshops.services.medical import erase_medical, wants_calm
from workshops.services.payments import check_currency
from workshops.services.people import add_person
from workshops.services.records import check_seen, erase_record, save_record
from workshops.services.reservations import follow_workshop, lock_rules
from workshops.services.waitlist import lapse, locked, move_on

Status = Workshop.Status


@transaction.atomic
def open_workshop(
    *,
    by: User | None,
    seats: int,
    places: Iterable[Location] = (),
    roles: Iterable[dict[str, Any]] = (),
    status: str = Workshop.Status.OPEN,
    **details,
) -> Workshop:
    """Return a new workshop with its seats, its places in order and its people.

    ``roles`` are fields of WorkshopRole. Raises Refused when any part breaks a rule; then
    nothing is kept.
    """
    workshop = Workshop(status=status, **details)
    check_not_closed_here(workshop, None)
    audit.write(workshop, by=by)
    set_places(by=by, workshop=workshop, places=places)
    for role in roles:
        add_role(by=by, workshop=workshop, **role)
    resize_seats(by=by, workshop=workshop, seats=seats)
    return workshop


@again
@transaction.atomic
def save_workshop(
    *,
    by: User | None,
    workshop: Workshop,
    seats: int,
    places: Iterable[Location],
    lead: Person | None,
    now: datetime,
    seen: datetime | None = None,
) -> Workshop:
    """Return a workshop, new or changed, with exactly these places, seats and this lead.

    Its kit moves with its days, and is free once it is called off. Raises Stale when it changed
    after ``seen``, NotFound when it is gone, Refused when any part breaks a rule or its kit is
    promised elsewhere on the new days; then nothing has changed.
    """
    if not workshop._state.adding:
        lock_rules()
        check_seen(workshop, seen)
    check_currency(workshop)
    _check_status(workshop, now=now)
    _check_times(workshop)
    _check_caution(workshop)
    was = _stored_status(workshop)
    audit.write(workshop, by=by)
    if workshop.status == Status.CANCELLED and was != Status.CANCELLED:
        call_off(by=by, workshop=workshop, now=now)
    follow_workshop(by=by, workshop=workshop)
    if medical_answers_over(workshop, now):
        erase_medical(by=by, workshop=workshop)
    before = _parts(workshop)
    set_places(by=by, workshop=workshop, places=places)
    set_lead(by=by, workshop=workshop, person=lead)
    resize_seats(by=by, workshop=workshop, seats=seats, now=now)
    if _parts(workshop) != before:
        # A form that shows the old parts must not put them back unasked.
        audit.touch(workshop)
    return workshop


def _parts(workshop: Workshop) -> tuple:
    places = workshop.places.order_by("position", "pk").values_list("location_id", flat=True)
    leads = workshop.roles.filter(role=WorkshopRole.Role.LEAD).values_list("person_id", flat=True)
    return list(places), list(leads), workshop.seats.count()


def _check_status(workshop: Workshop, *, now: datetime) -> None:
    """Raise Refused for a status the workshop cannot be given now. Call with its row locked."""
    stored = _stored_status(workshop)
    check_not_closed_here(workshop, stored)
    if workshop.status == stored:
        return
    sentence = ""
    if workshop.status == Status.RUN and now < workshop.start_at:
        sentence = _("Status: it has not started yet, so it cannot have run.")
    elif workshop.status == Status.CANCELLED and stored == Status.RUN:
        sentence = _("Status: it has run, so it can no longer be cancelled.")
    elif workshop.status == Status.DRAFT and stored and _booked(workshop).exists():
        sentence = _(
            "Status: somebody holds a seat or waits for one; cancel those bookings before it is a "
            "draft."
        )
    if sentence:
        raise Refused({"status": sentence})


def _check_times(workshop: Workshop) -> None:
    """Raise Refused where a closed workshop would be moved: certificates tell when it was."""
    as_it_was = {"start_at": workshop.start_at, "end_at": workshop.end_at}
    rows = Workshop.objects.filter(pk=workshop.pk, status=Status.CLOSED)
    if rows.exclude(**as_it_was).exists():
        raise Refused({"start_at": _("Start and end: it is closed, so they stay as they were.")})


def check_not_closed_here(workshop: Workshop, stored: str | None) -> None:
    """Raise Refused where a form would close a workshop or open one again: a page does that."""
    if (workshop.status == Status.CLOSED) == (stored == Status.CLOSED):
        return
    if stored == Status.CLOSED:
        sentence = _("Status: it is closed. The office opens it again on its page “Closing”.")
    else:
        sentence = _(
            "Status: a workshop is closed on its page “Closing”, once nothing is open or each "
            "thing left open has its reason."
        )
    raise Refused({"status": sentence})


def _check_caution(workshop: Workshop) -> None:
    """Raise Refused where the caution about flashes is lifted while answers still ask for it."""
    if not workshop.strobe_sensitive and workshop.pk and wants_calm(workshop):
        sentence = _("Flashes: somebody’s own answers ask for the caution, so it stays.")
        raise Refused({"strobe_sensitive": sentence})


def _stored_status(workshop: Workshop) -> str | None:
    return Workshop.objects.filter(pk=workshop.pk).values_list("status", flat=True).first()


def _booked(workshop: Workshop) -> QuerySet[Booking]:
    return workshop.bookings.exclude(state=Booking.State.CANCELLED)


@again
@transaction.atomic
def cancel_workshop(*, by: User | None, workshop: Workshop, reason: str, now: datetime) -> Workshop:
    """Return the workshop, called off by the house with all its bookings, its kit free again.

    Raises Refused without a reason, for one that has run or is cancelled already, and where
    somebody is noted as attended; then nothing has changed.
    """
    lock_rules()
    workshop = locked(workshop.pk)
    if workshop.status == Status.CANCELLED:
        raise Refused(_("%(workshop)s is cancelled already.") % {"workshop": workshop})
    if not reason.strip():
        sentence = _("Reason of the cancellation: say why; attendees will ask.")
        raise Refused({"reason": sentence})
    workshop.status, workshop.cancelled_reason = Status.CANCELLED, reason.strip()
    _check_status(workshop, now=now)
    audit.write(workshop, by=by)
    call_off(by=by, workshop=workshop, now=now)
    follow_workshop(by=by, workshop=workshop)
    if medical_answers_over(workshop, now):
        erase_medical(by=by, workshop=workshop)
    return workshop


def call_off(*, by: User | None, workshop: Workshop, now: datetime) -> None:
    """Cancel the bookings of a workshop whose status says cancelled.

    Call within the transaction that set the status.
    """
    locked(workshop.pk)
    cancel_all(by=by, workshop=workshop, reason=workshop.cancelled_reason, now=now)


@transaction.atomic
def erase_workshop(*, by: User | None, workshop: Workshop) -> None:
    """Delete a draft with its seats, places, people and kit list.

    Raises Refused for any other status, and where bookings or sets hang on it.
    """
    if workshop.status != Status.DRAFT:
        sentence = _("%(workshop)s is no draft any more, so it is kept: cancel it instead.")
        raise Refused(sentence % {"workshop": workshop})
    erase_record(by=by, record=workshop)


@transaction.atomic
def set_places(*, by: User | None, workshop: Workshop, places: Iterable[Location]) -> None:
    """Let a workshop have exactly these places, in this order; only what differs is written."""
    wanted = list(places)
    known = {place.location_id: place for place in workshop.places.order_by("position", "pk")}
    if list(known) == [location.pk for location in wanted]:
        return
    for location_id in known.keys() - {location.pk for location in wanted}:
        audit.erase(known[location_id], by=by)
    for position, location in enumerate(wanted, start=1):
        place = known.get(location.pk) or WorkshopPlace(workshop=workshop, location=location)
        place.position = position
        audit.write(place, by=by)


@transaction.atomic
def set_lead(*, by: User | None, workshop: Workshop, person: Person | None) -> None:
    """Name who leads a workshop; whoever led before gives the role up.

    Raises Refused for oneself where people have told something in confidence already.
    """
    role = workshop.roles.filter(role=WorkshopRole.Role.LEAD).first()
    if role and (person is None or role.person_id != person.pk):
        audit.erase(role, by=by)
        role = None
    if person and role is None:
        add_role(by=by, workshop=workshop, person=person, role=WorkshopRole.Role.LEAD)


@transaction.atomic
def save_role(
    *,
    by: User | None,
    role: WorkshopRole,
    new_person: dict[str, Any] | None = None,
    seen: datetime | None = None,
) -> WorkshopRole:
    """Return a role as its form left it, its person entered first where ``new_person`` says so.

    Raises Stale when the role changed after ``seen``, Refused when role or person breaks a rule,
    such as a second lead; then neither is kept.
    """
    if new_person:
        role.person = add_person(by=by, **new_person)
    check_own_lead(by=by, role=role)
    return save_record(by=by, record=role, seen=seen)


@transaction.atomic
def add_role(
    *, by: User | None, workshop: Workshop, person: Person, role: str, **details
) -> WorkshopRole:
    """Return somebody's role at a workshop. Raises Refused for a second lead instructor."""
    record = WorkshopRole(workshop=workshop, person=person, role=role, **details)
    check_own_lead(by=by, role=record)
    audit.write(record, by=by)
    return record


@transaction.atomic
def resize_seats(
    *, by: User | None, workshop: Workshop, seats: int, now: datetime | None = None
) -> list[Seat]:
    """Return the seats of a workshop once there are so many; only free ones are removed.

    With ``now``, what is free then is offered to the waitlist. Raises Refused when more are held
    or offered than would remain.
    """
    # Bookings take this lock too, so a seat cannot be taken while it is being removed.
    workshop = locked(workshop.pk)
    if now:
        lapse(by=None, workshop=workshop, now=now)
    there = list(workshop.seats.order_by("number"))
    free = list(free_seats(workshop).order_by("-number"))
    held = len(there) - len(free)
    if seats < max(held, 1):
        sentence = _("Seats: %(held)d are held; enter at least %(least)d.")
        raise Refused({"seats": sentence % {"held": held, "least": max(held, 1)}})
    for seat in free[: max(len(there) - seats, 0)]:
        audit.erase(seat, by=by)
    taken = {seat.number for seat in there}
    numbers = (number for number in range(1, 10_000) if number not in taken)
    for _seat in range(seats - len(there)):
        audit.write(Seat(workshop=workshop, number=next(numbers)), by=by)
    if now:
        move_on(by=by, workshop=workshop, now=now)
    return list(workshop.seats.order_by("number"))
