"""Questions about seats and the waitlist."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet

from workshops.models import LIVE, Booking, Seat, Workshop


@dataclass(frozen=True)
class SeatCount:
    """How the seats of a workshop stand at one instant; a lapsed offer keeps none."""

    seats: int
    held: int
    offered: int
    waiting: int  # on the waitlist without an offer

    @property
    def free(self) -> int:
        return self.seats - self.held - self.offered


def free_seats(workshop: Workshop) -> QuerySet[Seat]:
    """Return the seats no booking holds and none is offered, as stored: see ``move_on``."""
    return workshop.seats.filter(bookings=None)


def seat_count(workshop: Workshop, now: datetime) -> SeatCount:
    """Return how many seats are held, offered and free, and how many people wait."""
    bookings = list(workshop.bookings.all())
    offered = sum(one.is_offered(now) for one in bookings)
    return SeatCount(
        seats=len(workshop.seats.all()),
        held=sum(one.state in LIVE for one in bookings),
        offered=offered,
        waiting=len(waitlist(bookings)) - offered,
    )


def seats_left(workshop: Workshop, now: datetime) -> int:
    """Return how many seats nobody holds and nobody is offered."""
    return seat_count(workshop, now).free


def waitlist(bookings: Iterable[Booking]) -> list[Booking]:
    """Return those on the waitlist in its order, with an offer or without."""
    rows = [one for one in bookings if one.state == Booking.State.WAITLISTED]
    return sorted(rows, key=lambda one: (one.booked_at, one.pk))
