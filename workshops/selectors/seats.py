"""Questions about seats."""

from django.db.models import QuerySet

from workshops.models import LIVE, Seat, Workshop


def free_seats(workshop: Workshop) -> QuerySet[Seat]:
    """Return the seats no live booking holds."""
    return workshop.seats.exclude(bookings__state__in=LIVE)


def seats_left(workshop: Workshop) -> int:
    """Return how many seats can still be booked."""
    return free_seats(workshop).count()
