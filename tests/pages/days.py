"""Workshops to come for the tests of their pages, and forms filled as a browser does."""

from datetime import UTC, datetime, timedelta

from django.urls import reverse
from django.utils import timezone

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


def running(**more):
    """A set that began 26 min ago under a sun near noon, whatever the hour the tests run at."""
    now = timezone.now()
    place = make.LocationFactory(
        latitude_deg=10.0, longitude_deg=(12 - now.hour) * 15.0, timezone_name="UTC"
    )
    workshop = make.WorkshopFactory(
        start_at=now - timedelta(hours=1), end_at=now + timedelta(hours=6), timezone_name="UTC"
    )
    light = make.LightFactory(
        planned_set__workshop=workshop,
        planned_set__location=place,
        planned_set__position=1,
        planned_set__start_at=now - timedelta(minutes=26),
        planned_set__end_at=now + timedelta(minutes=50),
        **more,
    )
    return light.planned_set
