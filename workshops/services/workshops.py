"""Workshops, their people and their seats."""

from collections.abc import Iterable
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import Refused
from workshops.models import Location, Person, Seat, User, Workshop, WorkshopPlace, WorkshopRole
from workshops.selectors.seats import free_seats


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
    for position, location in enumerate(places, start=1):
        place = WorkshopPlace(workshop=workshop, location=location, position=position)
        audit.write(place, by=by)
    for role in roles:
        add_role(by=by, workshop=workshop, **role)
    resize_seats(by=by, workshop=workshop, seats=seats)
    return workshop


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
