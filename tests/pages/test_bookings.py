"""The pages of bookings: a seat given, changed, confirmed and given back."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.urls import reverse

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.records.browser import filled
from workshops.models import AuditEntry, Booking, CameraBody, Person, Workshop

pytestmark = pytest.mark.django_db
COMING = datetime(2099, 5, 8, 8, 0, tzinfo=UTC)  # still to come whenever the tests run


@pytest.fixture
def office(client):
    make.HouseFactory()
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


@pytest.fixture
def workshop():
    workshop = make.WorkshopFactory(start_at=COMING, end_at=COMING + timedelta(hours=9))
    for number in (1, 2):
        make.SeatFactory(workshop=workshop, number=number)
    return workshop


def seated(workshop, **more):
    seat = workshop.seats.exclude(bookings__state__in=("held", "confirmed")).first()
    return make.BookingFactory(workshop=workshop, seat=seat, **more)


def words(answer):
    return " ".join(answer.content.decode().split())


def booked(office, workshop, /, **typed):
    place = reverse("booking-new", args=[workshop.pk])
    return office.post(place, filled(office.get(place)) | typed)


def changed(office, booking, /, **typed):
    place = reverse("booking-edit", args=[booking.pk])
    return office.post(place, filled(office.get(place)) | typed)


def cancelled(office, booking):
    place = reverse("booking-cancel", args=[booking.pk])
    return office.post(place, {"called_off_by": "attendee", "reason": "ill"}, follow=True)


def every_page(workshop):
    booking = seated(workshop)
    return [reverse("booking-new", args=[workshop.pk]), reverse("booking-edit", args=[booking.pk])]


def test_every_page_opens_for_the_office(office, workshop):
    for page in every_page(workshop):
        assert office.get(page).status_code == 200, page


def test_every_page_is_closed_to_an_account_without_rights(client, workshop):
    client.force_login(make.UserFactory(role="outsider", is_staff=False, is_superuser=False))
    for page in every_page(workshop):
        assert client.get(page).status_code == 403, page
    for act in ("booking-confirm", "booking-cancel"):
        place = reverse(act, args=[Booking.objects.get().pk])
        assert client.post(place).status_code == 403
    assert Booking.objects.get().state == "held"


def test_every_page_leads_a_stranger_to_the_log_in(client, workshop):
    for page in every_page(workshop):
        assert client.get(page).headers["Location"].startswith(reverse("log-in")), page


def test_a_known_person_gets_the_lowest_seat_the_own_camera_and_a_trigger(office, workshop):
    camera, trigger = make.CameraFactory(), make.UnitFactory(tag="T1")
    answer = booked(
        office, workshop, person=camera.owner_id, trigger_unit=trigger.pk, state="confirmed"
    )
    assert answer.headers["Location"] == reverse("workshop", args=[workshop.pk])
    booking = Booking.objects.get()
    assert (booking.seat.number, booking.camera, booking.trigger_unit) == (1, camera, trigger)
    assert booking.state == "confirmed"
    entry = AuditEntry.objects.get(record_type="workshops.booking")
    assert (entry.action, entry.who_text) == ("created", "office@example.org")


def test_somebody_new_is_entered_with_camera_and_booking_in_one_form(office, workshop):
    typed = {"name": "Ana", "email": "ana@example.org", "phone": "01632 960101"}
    camera = {"camera_name": "Crop body", "sync_s": "1/180", "lowest_iso": "200"}
    booked(office, workshop, **typed, **camera)
    booking = Booking.objects.get()
    assert (booking.person.email, booking.state) == ("ana@example.org", "held")
    assert (booking.camera.name, booking.camera.lowest_iso) == ("Crop body", 200)
    page = words(office.get(reverse("workshop", args=[workshop.pk])))
    for shown in ("Ana", "Crop body", "1/180", "200"):
        assert shown in page


def test_a_camera_typed_for_a_known_person_is_the_one_of_the_day(office, workshop):
    old = make.CameraFactory()
    booked(office, workshop, person=old.owner_id, camera_name="New body", sync_s="1/250")
    assert Booking.objects.get().camera.name == "New body"
    assert CameraBody.objects.filter(owner=old.owner).count() == 2


def test_the_last_seat_goes_once_and_what_was_typed_stays(office, workshop):
    workshop.seats.last().delete()
    place = reverse("booking-new", args=[workshop.pk])
    first = filled(office.get(place)) | {"name": "Ana"}
    second = filled(office.get(place)) | {"name": "Bo", "phone": "01632 960102"}
    assert office.post(place, first).status_code == 302
    answer = office.post(place, second)
    assert answer.status_code == 422
    assert "is full: all 1 seats are held" in words(answer)
    assert filled(answer)["phone"] == "01632 960102"
    assert (Booking.objects.count(), Person.objects.count()) == (1, 1)


def test_nobody_is_booked_twice_and_the_list_says_who_holds_a_seat(office, workshop):
    booking = seated(workshop, person=make.PersonFactory(name="Ana"))
    page = office.get(reverse("booking-new", args=[workshop.pk]))
    assert "Ana (holds a seat)" in words(page)
    answer = booked(office, workshop, person=booking.person_id)
    assert answer.status_code == 422
    assert "Ana already holds a booking" in words(answer)


def test_under_age_somebody_needs_a_guardian(office, workshop):
    young = make.PersonFactory(birth_date=date(2081, 5, 9))  # 17 on 8 May 2099
    assert "under 18 on the day" in words(booked(office, workshop, person=young.pk))
    answer = booked(office, workshop, name="Bo", under_age="on")
    assert "enter the adult who comes along" in words(answer)
    assert filled(answer)["under_age"] == "on"
    booked(
        office,
        workshop,
        name="Bo",
        under_age="on",
        guardian_name="Cy",
        guardian_phone="01632 960103",
    )
    assert Booking.objects.get().person.guardian_name == "Cy"


@pytest.mark.parametrize("status", ["draft", "run", "closed"])
def test_a_workshop_that_is_not_open_takes_nobody(office, workshop, status):
    Workshop.objects.update(status=status)
    answer = booked(office, workshop, name="Ana")
    assert answer.status_code == 422
    assert "takes no bookings: its status is" in words(answer)
    assert not Person.objects.exists()


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({}, "choose one, or enter the name of a new one"),
        ({"phone": "01632 960101"}, "enter the name of a new one"),
        ({"name": "Ana", "email": "ana"}, "valid email address"),
        ({"name": "Ana", "phone": "call me"}, "Enter a phone number"),
        ({"name": "Ana", "camera_name": "Body"}, "enter it with the camera, like 1/200"),
        ({"name": "Ana", "sync_s": "1/200"}, "enter it with the sync speed"),
        ({"name": "Ana", "camera_name": "Body", "sync_s": "fast"}, "enter it like 1/160"),
        ({"name": "Ana", "camera_name": "Body", "sync_s": "30 s"}, "flash sync speed: enter"),
        ({"name": "Ana", "state": "cancelled"}, "valid choice"),
        ({"person": "999999"}, "choose somebody from the list"),
        ({"name": "Ana", "trigger_unit": "x"}, "valid choice"),
    ],
)
def test_a_booking_refused_in_words_leaves_nobody_behind(office, workshop, typed, told):
    answer = booked(office, workshop, notes="Kept.", **typed)
    assert answer.status_code == 422
    assert told in words(answer)
    assert filled(answer)["notes"] == "Kept."
    assert not Person.objects.exists()


@pytest.mark.parametrize("text", ABSURD, ids=lambda text: repr(text[:12]))
def test_absurd_text_is_kept_or_refused_in_words(office, workshop, text):
    blank = filled(office.get(reverse("booking-new", args=[workshop.pk])))
    blank |= {"name": "Ana", "camera_name": "Body", "sync_s": "1/200"}
    for name in set(blank) - {"csrfmiddlewaretoken"}:
        answer = office.post(reverse("booking-new", args=[workshop.pk]), blank | {name: text})
        assert answer.status_code in (302, 422), name
        assert "<script>alert" not in answer.content.decode()
        if answer.status_code == 302:
            page = office.get(answer.headers["Location"])
            assert "<script>alert" not in page.content.decode()
        Booking.objects.all().delete()
    booking = seated(workshop)
    place = reverse("booking-edit", args=[booking.pk])
    blank = filled(office.get(place))
    for name in set(blank) - {"csrfmiddlewaretoken", "seen"}:
        answer = office.post(place, blank | {"seen": ""} | {name: text})
        assert answer.status_code in (302, 422), name


def test_the_list_of_people_is_shortened_by_a_search(office, workshop):
    make.PersonFactory(name="Ana Núñez")
    make.PersonFactory(name="Bo Lund")
    place = reverse("booking-new", args=[workshop.pk])
    page = words(office.get(place, {"q": "NUNEZ"}))
    assert "1 person found" in page
    assert "Ana Núñez" in page
    assert "Bo Lund" not in page


def test_a_booking_is_changed_with_a_camera_on_loan_and_what_was_tried(office, workshop):
    booking, loan = seated(workshop), make.CameraFactory(name="Loan body")
    trigger = make.UnitFactory(tag="T1")
    changed(
        office, booking, camera=loan.pk, trigger_unit=trigger.pk, measured_sync_s="1/125",
        state="confirmed",
    )  # fmt: skip
    booking.refresh_from_db()
    assert (booking.camera, booking.trigger_unit, booking.state) == (loan, trigger, "confirmed")
    page = words(office.get(reverse("workshop", args=[workshop.pk])))
    assert 'Loan body <span class="soft">on loan</span>' in page
    assert '1/125 <span class="soft">tried</span>' in page


def test_a_trigger_goes_to_one_attendee_of_a_workshop(office, workshop):
    trigger = make.UnitFactory(tag="T1")
    ana = seated(workshop, person=make.PersonFactory(name="Ana"), trigger_unit=trigger)
    bo = seated(workshop)
    answer = changed(office, bo, trigger_unit=trigger.pk, notes="Kept.")
    assert answer.status_code == 422
    assert "Trigger: Ana shoots with T1; choose another." in words(answer)
    assert filled(answer)["notes"] == "Kept."
    assert changed(office, ana, notes="Same trigger.").status_code == 302
    ana.refresh_from_db()
    cancelled(office, ana)
    assert changed(office, bo, trigger_unit=trigger.pk).status_code == 302
    answer = booked(office, workshop, name="Cy", trigger_unit=trigger.pk)
    assert "shoots with T1" in words(answer)
    assert not Person.objects.filter(name="Cy").exists()


def test_a_trigger_in_fault_is_not_offered(office, workshop):
    make.UnitFactory(tag="T-GOOD")
    make.UnitFactory(tag="T-BROKEN", state="fault")
    page = words(office.get(reverse("booking-new", args=[workshop.pk])))
    assert "T-GOOD" in page
    assert "T-BROKEN" not in page


def test_a_stale_booking_is_refused_with_both_versions(office, workshop):
    booking = seated(workshop)
    place = reverse("booking-edit", args=[booking.pk])
    form = filled(office.get(place))
    office.post(place, form | {"notes": "Theirs"})
    answer = office.post(place, form | {"notes": "Mine"})
    assert answer.status_code == 409
    assert "Theirs" in words(answer)
    booking.refresh_from_db()
    assert booking.notes == "Theirs"


def test_a_booking_cancelled_meanwhile_does_not_come_back(office, workshop):
    booking = seated(workshop)
    place = reverse("booking-edit", args=[booking.pk])
    form = filled(office.get(place))
    cancelled(office, booking)
    assert office.post(place, form | {"seen": "", "state": "confirmed"}).status_code in (302, 422)
    booking.refresh_from_db()
    assert (booking.state, booking.seat) == ("cancelled", None)


def test_confirm_and_cancel_by_their_buttons(office, workshop):
    booking = seated(workshop, person=make.PersonFactory(name="Ana"))
    confirm = reverse("booking-confirm", args=[booking.pk])
    assert office.get(confirm).status_code == 405
    assert "Ana: confirmed." in words(office.post(confirm, follow=True))
    page = words(cancelled(office, booking))
    assert "Ana: cancelled." in page
    assert page.index("Nobody holds a seat yet.") < page.index("<h3>Cancelled</h3>")
    assert "0 of 2 held, 2 free" in page
    again = words(cancelled(office, booking))
    assert "is cancelled already" in again
    assert "book anew" in words(office.post(confirm, follow=True))


def test_a_cancelled_booking_keeps_only_its_notes_open(office, workshop):
    booking = make.BookingFactory(
        workshop=workshop, seat=None, state="cancelled", cancelled_at=make.NOW
    )
    place = reverse("booking-edit", args=[booking.pk])
    page = office.get(place)
    assert set(filled(page)) == {"csrfmiddlewaretoken", "seen", "notes"}
    assert "Cancel this booking" not in words(page)
    changed(office, booking, notes="Ill.")
    booking.refresh_from_db()
    assert (booking.notes, booking.state) == ("Ill.", "cancelled")
