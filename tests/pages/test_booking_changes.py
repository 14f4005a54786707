"""A full workshop, people entered twice, a double click, and bookings that go elsewhere."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.pages.days import coming, seated, words
from tests.records.browser import filled
from workshops.models import AuditEntry, Booking, Person

pytestmark = pytest.mark.django_db
CONTACT = {"emergency_name": "Sam", "emergency_phone": "01632 960111"}
BODY = {"camera_name": "Body", "sync_s": "1/200"}


def sent(office, page, /, query="", **typed):
    return office.post(page + query, filled(office.get(page + query)) | typed)


def booked(office, workshop, /, **typed):
    return sent(office, reverse("booking-new", args=[workshop.pk]), **typed)


def test_a_full_workshop_says_so_before_and_puts_on_the_waitlist_after(office):
    workshop = coming(seats=1)
    seated(workshop)
    page = office.get(reverse("booking-new", args=[workshop.pk]))
    assert "It is full" in words(page)
    assert filled(page)["waitlist"] == "on"
    for place, name in enumerate(("Ana Crane", "Bo Marsh"), start=1):
        back = booked(office, workshop, name=name).headers["Location"]
        shown = words(office.get(back))
        assert f"{name} is on the waitlist as number {place}." in shown
    shown = words(office.get(back))
    assert shown.index("Waitlist</h3>") < shown.index("Ana Crane") < shown.index("Bo Marsh")
    assert "2 wait" in shown


def test_a_form_sent_twice_books_once_and_answers_the_same_page(office):
    workshop = coming(seats=3)
    place = reverse("booking-new", args=[workshop.pk])
    form = filled(office.get(place)) | {"name": "Ana"}
    first, second = office.post(place, form), office.post(place, form)
    assert (first.status_code, second.status_code) == (302, 302)
    assert first.headers["Location"] == second.headers["Location"]
    assert (Booking.objects.count(), Person.objects.filter(name="Ana").count()) == (1, 1)


def test_a_form_gone_back_to_for_somebody_else_asks_once_more_and_books(office):
    workshop = coming(seats=3)
    place = reverse("booking-new", args=[workshop.pk])
    form = filled(office.get(place))
    office.post(place, form | {"name": "Ana Crane"})
    answer = office.post(place, form | {"name": "Bo Marsh"})
    assert answer.status_code == 422
    assert "has booked Ana Crane before" in words(answer)
    assert office.post(place, filled(answer)).status_code == 302
    assert Booking.objects.count() == 2


@pytest.mark.parametrize(
    "typed",
    [
        {"name": "Jose Nunez"},
        {"name": "NÚÑEZ, josé"},
        {"name": "José Núñes"},
        {"name": "J.", "email": "JOSE@Example.org"},
    ],
)
def test_somebody_entered_already_is_offered_and_not_made_again(office, typed):
    known = make.PersonFactory(name="José Núñez", email="jose@example.org", phone="")
    workshop = coming()
    answer = booked(office, workshop, phone="01632 960101", **typed)
    assert answer.status_code == 422
    assert "José Núñez · jose@example.org" in words(answer)
    assert not Booking.objects.exists()
    place = reverse("booking-new", args=[workshop.pk])
    office.post(place, filled(answer) | {"same": str(known.pk)})
    assert Booking.objects.get().person == known
    known.refresh_from_db()
    assert (known.phone, Person.objects.count()) == ("01632 960101", 1)


def test_somebody_else_of_that_name_is_entered_once_it_is_said(office):
    make.PersonFactory(name="Ana Crane")
    workshop = coming()
    answer = booked(office, workshop, name="Ana Crane")
    office.post(reverse("booking-new", args=[workshop.pk]), filled(answer) | {"same": "new"})
    assert Person.objects.filter(name="Ana Crane").count() == 2


def test_people_are_found_while_one_types_and_the_one_chosen_stays(office):
    ana, bo = make.PersonFactory(name="Ana Núñez"), make.PersonFactory(name="Bo Lund")
    place = reverse("booking-new", args=[coming().pk])
    answer = office.get(place, {"q": "nunez", "person": bo.pk}, headers={"HX-Request": "true"})
    assert "<html" not in words(answer)
    assert filled(answer) == {"person": str(bo.pk)}
    assert f'value="{ana.pk}"' in words(answer)
    for person in ("9" * 30, "x", "-1"):
        assert office.get(place, {"person": person}).status_code == 200


def test_a_minor_known_already_gets_the_guardian_typed_with_the_booking(office):
    soon = timezone.now() + timedelta(days=30)
    young = make.PersonFactory(birth_date=soon.date() - timedelta(days=15 * 365))
    workshop = coming(start_at=soon, end_at=soon + timedelta(hours=9))
    assert "guardian" in words(booked(office, workshop, person=young.pk))
    guardian = {"guardian_name": "Cy", "guardian_phone": "01632 960103"}
    assert booked(office, workshop, person=young.pk, **guardian).status_code == 302
    young.refresh_from_db()
    assert (young.guardian_name, young.guardian_phone) == ("Cy", "01632 960103")


def test_a_booking_goes_to_a_known_person_with_what_is_known_shown(office):
    booking, camera = seated(coming()), make.CameraFactory(owner__name="Bo", owner__phone="")
    page = reverse("booking-to-person", args=[booking.pk])
    assert f"?person={camera.owner_id}" in words(office.get(page, {"q": "bo"}))
    query = f"?person={camera.owner_id}"
    assert filled(office.get(page + query))["camera"] == [str(camera.pk)]
    answer = sent(office, page, query, access_needs="one ear")
    assert answer.status_code == 422
    assert filled(answer)["access_needs"] == "one ear"
    assert sent(office, page, query, **CONTACT).status_code == 302
    booking.refresh_from_db()
    assert (booking.person, booking.camera) == (camera.owner, camera)
    assert AuditEntry.objects.filter(record_type="workshops.booking", action="changed").exists()


def test_a_booking_goes_to_somebody_new_whose_camera_and_contact_are_asked_for(office):
    booking = seated(coming())
    page, query = reverse("booking-to-person", args=[booking.pk]), "?person=new"
    for missing in ({}, BODY, CONTACT):
        assert sent(office, page, query, name="Cy Doe", **missing).status_code == 422
    assert sent(office, page, query, name="Cy Doe", **BODY, **CONTACT).status_code == 302
    booking.refresh_from_db()
    assert (booking.person.name, booking.camera.name) == ("Cy Doe", "Body")


def test_a_transfer_sent_twice_is_done_once(office):
    booking = seated(coming())
    page = reverse("booking-to-person", args=[booking.pk]) + "?person=new"
    form = filled(office.get(page)) | {"name": "Cy Doe"} | BODY | CONTACT
    assert office.post(page, form).status_code == 302
    again = office.post(page, form | {"same": "new"})
    assert "has gone to Cy Doe meanwhile" in words(again)
    assert Person.objects.filter(name="Cy Doe").count() == 1


@pytest.mark.parametrize("text", ABSURD, ids=lambda text: repr(text[:12]))
def test_absurd_text_in_a_transfer_is_kept_or_refused_in_words(office, text):
    booking = seated(coming())
    page = reverse("booking-to-person", args=[booking.pk]) + "?person=new"
    blank = filled(office.get(page)) | {"name": "Cy Doe"} | BODY | CONTACT
    for name in ("name", "camera_name", "sync_s", "emergency_phone", "birth_date"):
        answer = office.post(page, blank | {name: text})
        assert answer.status_code in (302, 422), name
        assert "<script>alert" not in answer.content.decode()
    for person in (text, "²", "9" * 30):
        answer = office.get(page.partition("?")[0], {"person": person})
        assert answer.status_code in (200, 404)


def test_a_booking_goes_to_another_date_and_not_to_a_full_one(office):
    booking, full, other = seated(coming()), coming(seats=1), coming(seats=1)
    seated(full)
    page = reverse("booking-to-date", args=[booking.pk])
    assert "(full)" in words(office.get(page))
    answer = sent(office, page, workshop=full.pk)
    assert answer.status_code == 422
    assert "is full" in words(answer)
    assert sent(office, page, workshop=other.pk).status_code == 302
    booking.refresh_from_db()
    assert booking.workshop == other


def test_calling_off_names_everybody_and_asks_for_a_reason(office):
    workshop = coming()
    booking = seated(workshop, person=make.PersonFactory(name="Ana Crane"))
    page = reverse("workshop-call-off", args=[workshop.pk])
    assert "Ana Crane" in words(office.get(page))
    assert sent(office, page, reason=" ").status_code == 422
    assert sent(office, page, reason="storm").status_code == 302
    booking.refresh_from_db()
    assert (booking.state, booking.cancelled_by) == ("cancelled", "house")
