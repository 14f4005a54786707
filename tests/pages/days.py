"""Workshops to come for the tests of their pages, and forms filled as a browser does."""

from datetime import UTC, datetime, timedelta

from django.urls import reverse

from tests import factories as make
from tests.records.browser import filled

COMING = datetime(2099, 5, 8, 8, 0, tzinfo=UTC)  # still to come whenever the tests run
PAST = datetime(2020, 5, 8, 8, 0, tzinfo=UTC)


def coming(seats=2, **more):
    workshop = make.WorkshopFactory(
        **{"start_at": COMING, "end_at": COMING + timedelta(hours=9)} | more
    )
    for number in range(1, seats + 1):
        make.SeatFactory(workshop=workshop, number=number)
    return workshop


def seated(workshop, **more):
    seat = workshop.seats.exclude(bookings__state__in=("held", "confirmed")).first()
    return make.BookingFactory(workshop=workshop, seat=seat, **more)


def words(answer):
    return " ".join(answer.content.decode().split()).replace("\N{NO-BREAK SPACE}", " ")


def saved(office, page, pk=None, /, **typed):
    place = reverse(page, args=[pk] if pk else [])
    return office.post(place, filled(office.get(place)) | typed)
