"""A booking that goes to another person or another date, and what may not go along."""

from datetime import date, timedelta

import pytest

from tests import factories as make
from workshops.errors import AlreadyBooked, NotBookable, Refused, WorkshopFull
from workshops.models import Booking, MedicalAnswers, Person, SignedLink
from workshops.services.bookings import book_person, set_state
from workshops.services.cancelling import cancel_booking
from workshops.services.links import make_link
from workshops.services.medical import keep_medical
from workshops.services.transfers import transfer_to_person, transfer_to_workshop
from workshops.services.workshops import resize_seats

pytestmark = pytest.mark.django_db
NOW = make.NOW
CALLED = {"emergency_name": "Sam", "emergency_phone": "01632 960111", "access_needs": "one ear"}


def opened(seats=1, **more):
    workshop = make.WorkshopFactory(price=180, **more)
    resize_seats(by=None, workshop=workshop, seats=seats)
    return workshop


@pytest.fixture
def booking():
    make.HouseFactory()
    made = book_person(
        by=None,
        workshop=opened(),
        person=make.CameraFactory(owner__name="Ana").owner,
        trigger_unit=make.UnitFactory(),
        notes="Ana is shy.",
        now=NOW,
    )
    made.measured_sync_s = 1 / 128
    made.save()
    return made


def to_person(booking, **more):
    return transfer_to_person(by=None, booking=booking, now=NOW, **{"details": CALLED} | more)


def test_the_seat_and_the_price_go_along_and_nothing_personal(booking):
    old, camera = booking.person, make.CameraFactory(owner__name="Bo")
    make_link(
        by=None, purpose="questionnaire", now=NOW, expires_at=NOW + timedelta(days=9),
        person=old, workshop=booking.workshop,
    )  # fmt: skip
    told = {"rest": "every hour"}
    keep_medical(by=None, person=old, workshop=booking.workshop, told=told, now=NOW)
    moved = to_person(booking, person=camera.owner, camera=camera)
    assert (moved.pk, moved.seat, moved.price) == (booking.pk, booking.seat, 180)
    assert (moved.person.name, moved.camera, moved.person.access_needs) == ("Bo", camera, "one ear")
    assert (moved.trigger_unit, moved.measured_sync_s, moved.notes) == (None, None, "")
    assert not MedicalAnswers.objects.exists()
    assert not SignedLink.objects.filter(revoked_at=None).exists()


def test_somebody_new_comes_with_camera_and_contact_or_not_at_all(booking):
    body = {"name": "Body", "sync_s": 1 / 200}
    moved = to_person(booking, new_person={"name": "Cy"}, new_camera=body)
    assert (moved.person.name, moved.camera.name) == ("Cy", "Body")
    for missing in ({"new_camera": None}, {"details": {}}):
        with pytest.raises(Refused):
            to_person(booking, **{"new_person": {"name": "Di"}, "new_camera": body} | missing)
    assert not Person.objects.filter(name="Di").exists()


def test_it_is_refused_for_a_minor_alone_for_who_is_booked_and_once_it_is_cancelled(booking):
    young = make.CameraFactory(owner__birth_date=date(2015, 1, 1))
    with pytest.raises(NotBookable, match="guardian"):
        to_person(booking, person=young.owner, camera=young)
    resize_seats(by=None, workshop=booking.workshop, seats=2)
    other = make.CameraFactory()
    book_person(by=None, workshop=booking.workshop, person=other.owner, now=NOW)
    with pytest.raises(AlreadyBooked):
        to_person(booking, person=other.owner, camera=other)
    cancel_booking(by=None, booking=booking, now=NOW)
    third = make.CameraFactory()
    with pytest.raises(Refused, match="only a seat can be transferred"):
        to_person(booking, person=third.owner, camera=third)


def test_another_date_keeps_camera_and_price_and_frees_the_seat_for_who_waits(booking):
    old, new = booking.workshop, opened()
    new.price = 240
    new.save()
    waits = book_person(by=None, workshop=old, person=make.PersonFactory(), now=NOW, waitlist=True)
    moved = transfer_to_workshop(by=None, booking=booking, workshop=new, now=NOW)
    assert (moved.pk, moved.workshop, moved.price) == (booking.pk, new, 180)
    assert (moved.camera, moved.trigger_unit) == (booking.camera, None)
    assert moved.seat.workshop == new
    waits.refresh_from_db()
    assert waits.seat == booking.seat


def test_a_full_date_or_one_not_open_takes_nobody_over(booking):
    full, draft = opened(), opened(status="draft")
    book_person(by=None, workshop=full, person=make.PersonFactory(), now=NOW)
    for workshop, refusal in ((full, WorkshopFull), (draft, NotBookable)):
        with pytest.raises(refusal):
            transfer_to_workshop(by=None, booking=booking, workshop=workshop, now=NOW)
    with pytest.raises(Refused, match="booked for this one already"):
        transfer_to_workshop(by=None, booking=booking, workshop=booking.workshop, now=NOW)
    assert Booking.objects.get(pk=booking.pk).seat == booking.seat


def test_who_came_is_told_from_the_day_on_and_can_be_taken_back(booking):
    midnight = booking.workshop.start_at.replace(hour=0) - timedelta(hours=1)  # London, summer
    for wanted in ("attended", "absent"):
        with pytest.raises(Refused, match="from the day"):
            set_state(by=None, booking=booking, state=wanted, now=midnight - timedelta(seconds=1))
        assert set_state(by=None, booking=booking, state=wanted, now=midnight).state == wanted
        assert set_state(by=None, booking=booking, state="held", now=midnight).state == "held"
