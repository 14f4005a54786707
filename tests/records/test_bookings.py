"""Seats: booked once, given back, never oversold."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import ValidationError

from tests import factories as make
from workshops.errors import AlreadyBooked, NotBookable, Refused, WorkshopFull
from workshops.models import AuditEntry, Booking, Seat
from workshops.selectors.seats import seats_left
from workshops.services.bookings import book_person, confirm_booking
from workshops.services.cancelling import cancel_booking
from workshops.services.workshops import resize_seats

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop():
    workshop = make.WorkshopFactory()
    resize_seats(by=None, workshop=workshop, seats=2)
    return workshop


def book(workshop, person=None, **more):
    person = person or make.PersonFactory()
    return book_person(by=None, workshop=workshop, person=person, now=make.NOW, **more)


def test_a_booking_holds_the_lowest_free_seat_and_the_own_camera(workshop):
    camera = make.CameraFactory()
    booking = book(workshop, camera.owner)
    assert (booking.seat.number, booking.camera, booking.state) == (1, camera, "held")
    assert AuditEntry.objects.filter(record_type="workshops.booking", action="created").count() == 1
    assert seats_left(workshop, make.NOW) == 1


def test_the_last_seat_goes_once(workshop):
    book(workshop)
    book(workshop)
    with pytest.raises(WorkshopFull, match="all 2 seats are held"):
        book(workshop)
    assert Booking.objects.count() == 2


def test_nobody_books_twice(workshop):
    person = make.PersonFactory()
    book(workshop, person)
    with pytest.raises(AlreadyBooked, match="already holds a booking"):
        book(workshop, person)


@pytest.mark.parametrize("status", ["draft", "run", "closed"])
def test_only_open_workshops_take_bookings(workshop, status):
    workshop.status = status
    workshop.save()
    with pytest.raises(NotBookable, match="takes no bookings"):
        book(workshop)


def test_a_workshop_that_has_started_takes_no_booking(workshop):
    with pytest.raises(NotBookable, match="already started"):
        book_person(by=None, workshop=workshop, person=make.PersonFactory(), now=workshop.start_at)


def test_who_came_unbooked_is_booked_as_attended_from_the_start_until_the_closing(workshop):
    came = {"by": None, "workshop": workshop, "state": "attended"}
    before = workshop.start_at - timedelta(days=2)
    with pytest.raises(NotBookable, match="from the day of the workshop on"):
        book_person(person=make.PersonFactory(), now=before, **came)
    booking = book_person(person=make.PersonFactory(), now=workshop.start_at, **came)
    assert (booking.state, booking.seat.number) == ("attended", 1)
    workshop.status = "run"
    workshop.save()
    after = workshop.end_at + timedelta(days=3)
    assert book_person(person=make.PersonFactory(), now=after, **came).seat.number == 2
    with pytest.raises(WorkshopFull):  # nobody waits for a seat of a day that is over
        book_person(person=make.PersonFactory(), now=after, waitlist=True, **came)
    workshop.status = "closed"
    workshop.save()
    with pytest.raises(NotBookable, match="takes no bookings"):
        book_person(person=make.PersonFactory(), now=after, **came)


def test_under_eighteen_on_the_day_needs_a_guardian(workshop):
    turns_18_the_day_after = make.PersonFactory(birth_date=date(2009, 5, 9))
    with pytest.raises(NotBookable, match="guardian"):
        book(workshop, turns_18_the_day_after)
    assert book(workshop, make.PersonFactory(birth_date=date(2009, 5, 8))).pk


def test_a_cancelled_seat_is_free_again(workshop):
    person = make.PersonFactory()
    booking = book(workshop, person)
    cancelled = cancel_booking(by=None, booking=booking, now=make.NOW)
    assert (cancelled.state, cancelled.seat) == ("cancelled", None)
    assert book(workshop, person).seat.number == 1
    with pytest.raises(Refused, match="cancelled already"):
        cancel_booking(by=None, booking=booking, now=make.NOW)
    with pytest.raises(Refused, match="book anew"):
        confirm_booking(by=None, booking=booking, now=make.NOW)


def test_confirming_keeps_the_seat(workshop):
    booking = book(workshop)
    confirmed = confirm_booking(by=None, booking=booking, now=make.NOW)
    assert (confirmed.state, confirmed.seat) == ("confirmed", booking.seat)


def test_shrinking_removes_free_seats_only(workshop):
    resize_seats(by=None, workshop=workshop, seats=4)
    first, second = book(workshop), book(workshop)
    cancel_booking(by=None, booking=first, now=make.NOW)
    seats = resize_seats(by=None, workshop=workshop, seats=1)
    assert seats == [second.seat]
    with pytest.raises(Refused, match="enter at least 1"):
        resize_seats(by=None, workshop=workshop, seats=0)


def test_no_smaller_than_what_is_held(workshop):
    book(workshop)
    book(workshop)
    with pytest.raises(Refused, match="2 are held; enter at least 2"):
        resize_seats(by=None, workshop=workshop, seats=1)
    assert Seat.objects.count() == 2


def test_a_booking_refused_by_a_rule_leaves_nothing(workshop):
    not_a_trigger = make.UnitFactory(kind=make.StandFactory())
    with pytest.raises(ValidationError, match="choose a unit of that kind"):
        book(workshop, trigger_unit=not_a_trigger)
    assert (Booking.objects.count(), seats_left(workshop, make.NOW)) == (0, 2)
