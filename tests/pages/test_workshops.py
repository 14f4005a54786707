"""The pages of workshops: the list, one day, and who may open them."""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests import factories as make
from tests.pages.days import COMING, PAST, coming, seated, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def office(client):
    make.HouseFactory(timezone_name="Europe/London")
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


def every_page():
    role = make.RoleFactory(workshop=coming())
    pages = ("workshop", "workshop-edit", "workshop-delete", "workshop-kit", "role-new")
    return [
        reverse("workshops"),
        reverse("workshop-new"),
        *(reverse(page, args=[role.workshop_id]) for page in pages),
        reverse("role-edit", args=[role.pk]),
        reverse("role-delete", args=[role.pk]),
    ]


def test_every_page_opens_for_the_office(office):
    for page in every_page():
        assert office.get(page).status_code == 200, page


def test_every_page_is_closed_to_an_account_without_rights(client):
    client.force_login(make.UserFactory(role="outsider", is_staff=False, is_superuser=False))
    for page in every_page():
        assert client.get(page).status_code == 403, page


def test_every_page_leads_a_stranger_to_the_log_in(client):
    for page in every_page():
        assert client.get(page).headers["Location"].startswith(reverse("log-in")), page


def test_an_empty_list_says_what_to_do_first(office):
    page = office.get(reverse("workshops"))
    assert "No workshop is coming. Open one" in words(page)
    assert reverse("workshop-new") in words(page)


def test_the_list_shows_what_comes_first_and_what_is_over_apart(office):
    coming(title="Second", start_at=COMING + timedelta(days=1), end_at=COMING + timedelta(days=2))
    coming(title="First")
    coming(title="Called off", status="cancelled", cancelled_reason="Gale.")
    coming(title="Long ago", start_at=PAST, end_at=PAST + timedelta(hours=9))
    page = words(office.get(reverse("workshops")))
    found = [page.index(one) for one in ("To come", "First", "Second", "Over or called", "Long")]
    assert found == sorted(found)
    assert page.index("Called off") > page.index("Over or called")


def test_the_list_says_when_on_the_clock_of_the_place_and_who_holds_seats(office):
    # Auckland is UTC+12 in May (standard time, IANA tz database).
    workshop = coming(seats=3, timezone_name="Pacific/Auckland", minimum_to_run=2)
    seated(workshop, state="confirmed")
    seated(workshop)
    page = words(office.get(reverse("workshops")))
    assert "May 8, 2099, 20:00 – May 9, 2099, 05:00" in page
    assert "2 of 3 held, 1 free" in page
    assert "1 confirmed booking short of the 2 needed" in page
    workshop.bookings.update(state="confirmed")
    assert "the 2 needed to run are confirmed" in words(office.get(reverse("workshops")))


@pytest.mark.parametrize("asked", ["GARCÍA", "slipway", "fog lamp", "one head model"])
def test_search_finds_by_title_place_people_and_notes(office, asked):
    workshop = coming(title="One head", notes="Bring the fog lamp.")
    workshop.places.create(location=make.LocationFactory(name="Old slipway"))
    seated(workshop, person=make.PersonFactory(name="Ana Garcia"))
    make.RoleFactory(workshop=workshop, person=make.PersonFactory(name="Mo Model"))
    coming(title="Another day")
    page = words(office.get(reverse("workshops"), {"q": asked}))
    assert "One head" in page
    assert "Another day" not in page


def test_the_list_asks_as_often_for_many_workshops_as_for_one(office):
    def queries():
        with CaptureQueriesContext(connection) as asked:
            assert office.get(reverse("workshops")).status_code == 200
        return len(asked)

    def another(at):
        workshop = coming(start_at=at, end_at=at + timedelta(hours=8))
        workshop.places.create(location=make.LocationFactory())
        seated(workshop)

    another(COMING)
    another(PAST)
    few = queries()
    for day in range(11):
        another(COMING + timedelta(days=day))
        another(PAST - timedelta(days=day))
    assert queries() == few


def test_the_page_of_a_new_day_says_what_is_missing_with_links(office):
    workshop = coming()
    page = words(office.get(reverse("workshop", args=[workshop.pk])))
    for told, place in (
        ("No lead instructor is named.", reverse("role-new", args=[workshop.pk]) + "?role=lead"),
        ("No model is named.", reverse("role-new", args=[workshop.pk]) + "?role=model"),
        ("1 more confirmed booking is needed to run.", "#attendees"),
        ("No place is chosen.", reverse("workshop-edit", args=[workshop.pk])),
        ("No kit is on the list.", reverse("workshop-kit", args=[workshop.pk])),
    ):
        assert told in page
        assert f'{place}">{told}' in page


def test_the_page_warns_of_permit_forecast_cameras_and_triggers(office):
    start = timezone.now() + timedelta(days=3)
    workshop = coming(start_at=start, end_at=start + timedelta(hours=8))
    place = make.LocationFactory(name="Pier", permission_until=date(2020, 1, 1))
    workshop.places.create(location=place)
    make.ReservationFactory(workshop=workshop)
    seated(workshop)
    seated(workshop)
    address = reverse("workshop", args=[workshop.pk])
    page = words(office.get(address))
    assert "The permit of Pier ends before the day." in page
    assert "No forecast yet for Pier." in page
    assert "2 attendees have no camera recorded" in page
    assert "1 triggers for 2 attendees: somebody cannot fire the light." in page
    make.ForecastFactory(location=place, valid_from=start, valid_to=start + timedelta(hours=1))
    make.ReservationFactory(workshop=workshop)
    page = words(office.get(address))
    assert "No forecast yet" not in page
    assert "triggers for" not in page


def test_the_page_shows_people_cameras_marks_and_guardians_but_not_who_is_photosensitive(office):
    workshop = coming(seats=3, strobe_sensitive=True)
    camera = make.CameraFactory(owner__name="Ana")
    trigger = make.UnitFactory(tag="T7")
    seated(workshop, person=camera.owner, camera=camera, trigger_unit=trigger)
    # 17 on 8 May 2099
    young = make.PersonFactory(
        name="Bo", birth_date=date(2081, 5, 9), guardian_name="Cy", guardian_phone="+44 1632 960199"
    )
    seated(workshop, person=young, booked_at=make.NOW + timedelta(days=1))
    make.RoleFactory(
        workshop=workshop, role="lead", person=make.PersonFactory(name="Di", phone="01632 960100")
    )
    page = words(office.get(reverse("workshop", args=[workshop.pk])))
    row = page[page.index("Ana") : page.index("Bo</a>")]
    for shown in ("held", "Full-frame body", "1/160", "100", "T7"):
        assert shown in row
    assert "under 18, with Cy, <a href" in page
    assert "Somebody here must not be near strobe effects" in page
    assert "strobe" not in row
    assert "lead instructor" in page
    assert 'href="tel:01632%20960100"' in page


def test_the_page_asks_as_often_for_twelve_attendees_as_for_one(office):
    workshop = coming(seats=12)
    place = make.LocationFactory()
    workshop.places.create(location=place)

    def another():
        camera = make.CameraFactory()
        unit = make.UnitFactory()
        seated(workshop, person=camera.owner, camera=camera, trigger_unit=unit)
        make.ReservationFactory(workshop=workshop, unit=unit)
        make.RoleFactory(workshop=workshop)

    def queries():
        with CaptureQueriesContext(connection) as asked:
            assert office.get(reverse("workshop", args=[workshop.pk])).status_code == 200
        return len(asked)

    another()
    few = queries()
    for _ in range(11):
        another()
    assert queries() == few
