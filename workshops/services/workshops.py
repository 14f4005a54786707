"""Workshops, their people and their seats."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import Refused
from workshops.models import Location, Person, Seat, User, Workshop, WorkshopPlace, WorkshopRole
from workshops.selectors.seats import free_seats
from workshops.services.people import add_person
from workshops.services.records import check_seen


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
    workshop = audit.write(Workshop(status=status, **details), by=by)
    set_places(by=by, workshop=workshop, places=places)
    for role in roles:
        add_role(by=by, workshop=workshop, **role)
    resize_seats(by=by, workshop=workshop, seats=seats)
    return workshop


@transaction.atomic
def save_workshop(
    *,
    by: User | None,
    workshop: Workshop,
    seats: int,
    places: Iterable[Location],
    lead: Person | None,
    seen: datetime | None = None,
) -> Workshop:
    """Return a workshop, new or changed, with exactly these places, seats and this lead.

    Raises Stale when it changed after ``seen``, Refused when any part breaks a rule; then
    nothing has changed.
    """
    if not workshop._state.adding:
        check_seen(workshop, seen)
    audit.write(workshop, by=by)
    set_places(by=by, workshop=workshop, places=places)
    set_lead(by=by, workshop=workshop, person=lead)
    resize_seats(by=by, workshop=workshop, seats=seats)
    return workshop


@transaction.atomic
def set_places(*, by: User | None, workshop: Workshop, places: Iterable[Location]) -> None:
    """Let a workshop have exactly these places, in this order."""
    wanted = list(places)
    known = {place.location_id: place for place in workshop.places.all()}
    for location_id in known.keys() - {location.pk for location in wanted}:
        audit.erase(known[location_id], by=by)
    for position, location in enumerate(wanted, start=1):
        place = known.get(location.pk) or WorkshopPlace(workshop=workshop, location=location)
        place.position = position
        audit.write(place, by=by)


@transaction.atomic
def set_lead(*, by: User | None, workshop: Workshop, person: Person | None) -> None:
    """Name who leads a workshop; whoever led before gives the role up."""
    role = workshop.roles.filter(role=WorkshopRole.Role.LEAD).first()
    if role and (person is None or role.person_id != person.pk):
        audit.erase(role, by=by)
        role = None
    if person and role is None:
        add_role(by=by, workshop=workshop, person=person, role=WorkshopRole.Role.LEAD)


@transaction.atomic
def save_role(
    *, by: User | None, role: WorkshopRole, new_person: dict[str, Any] | None = None
) -> WorkshopRole:
    """Return a role as its form left it, its person entered first where ``new_person`` says so.

    Raises Refused when either breaks a rule; then neither is kept.
    """
    if new_person:
        role.person = add_person(by=by, **new_person)
    return audit.write(role, by=by)


@transaction.atomic
def add_role(
    *, by: User | None, workshop: Workshop, person: Person, role: str, **details
) -> WorkshopRole:
    """Return somebody's role at a workshop. Raises Refused for a second lead instructor."""
    record = WorkshopRole(workshop=workshop, person=person, role=role, **details)
    audit.write(record, by=by)
    return record


@transaction.atomic
def resize_seats(*, by: User | None, workshop: Workshop, seats: int) -> list[Seat]:
    """Return the seats of a workshop once there are so many; only free ones are removed.

    Raises Refused when more are held than would remain.
    """
    # Bookings take this lock too, so a seat cannot be taken while it is being removed.
    Workshop.objects.select_for_update().get(pk=workshop.pk)
    now = list(workshop.seats.order_by("number"))
    free = list(free_seats(workshop).order_by("-number"))
    held = len(now) - len(free)
    if seats < max(held, 1):
        raise Refused(
            _("Seats: %(held)d are held; enter at least %(least)d.")
            % {"held": held, "least": max(held, 1)}
        )
    for seat in free[: max(len(now) - seats, 0)]:
        audit.erase(seat, by=by)
    taken = {seat.number for seat in now}
    numbers = (number for number in range(1, 10_000) if number not in taken)
    for _seat in range(seats - len(now)):
        audit.write(Seat(workshop=workshop, number=next(numbers)), by=by)
    return list(workshop.seats.order_by("number"))
