"""Locations: what the list and the page of a place show, and to whom."""

from datetime import date, datetime, timedelta
from datetime import timezone as dt_timezone
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests import factories as make
from workshops.models import House, WorkshopPlace

pytestmark = pytest.mark.django_db

NEW = reverse("location-new")


@pytest.fixture
def office(client):
    make.HouseFactory()
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


def words(page) -> str:
    """The text of a page with its line breaks and no-break spaces as single spaces."""
    return " ".join(page.content.decode().replace("&nbsp;", " ").split())


def every_page():
    place = make.LocationFactory(water="tidal")
    return [
        reverse("locations"),
        NEW,
        *(reverse(page, args=[place.pk]) for page in ("location", "location-edit")),
        *(reverse(page, args=[place.pk]) for page in ("location-delete", "horizon-drawing")),
        *(
            reverse(page, args=[place.pk])
            for page in ("forecast-new", "tide-new", "landmark-new", "recce-reading-new")
        ),
        *(
            reverse(f"forecast-{what}", args=[make.ForecastFactory(location=place).pk])
            for what in ("edit", "delete")
        ),
        *(
            reverse(f"landmark-{what}", args=[make.LandmarkFactory(location=place).pk])
            for what in ("edit", "delete")
        ),
        reverse("tide-delete", args=[make.TidePointFactory(location=place).pk]),
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
    assert "No location is entered yet." in words(office.get(reverse("locations")))


@pytest.mark.parametrize("asked", ["QUARRÝ", "stile", "rockfall", "cc/12", "gate code"])
def test_search_finds_by_name_access_hazards_permit_and_notes(office, asked):
    make.LocationFactory(
        name="Slate quarry",
        access="Two stiles",
        hazards="Rockfall: helmets",
        permission_number="CC/12",
        notes="Gate code with Ann",
    )
    make.LocationFactory(name="Beach")
    page = words(office.get(reverse("locations"), {"q": asked}))
    assert "Slate quarry" in page
    assert "Beach" not in page


def test_the_list_tells_water_missing_coordinates_and_the_next_workshop(office):
    place = make.LocationFactory(name="Beach", water="tidal", latitude_deg=None, longitude_deg=None)
    start_at = timezone.now() + timedelta(days=40)
    for days in (0, 10):
        workshop = make.WorkshopFactory(
            start_at=start_at + timedelta(days=days),
            end_at=start_at + timedelta(days=days, hours=8),
        )
        WorkshopPlace.objects.create(workshop=workshop, location=place, position=days)
    page = words(office.get(reverse("locations")))
    assert "tidal" in page
    assert "no coordinates" in page
    assert f"{start_at:%Y}" in page


@pytest.mark.parametrize(
    ("days", "told"), [(-1, "ended"), (0, "ends soon"), (30, "ends soon"), (31, "")]
)
def test_a_permit_past_or_within_thirty_days_is_told_in_words(office, days, told):
    House.objects.update(timezone_name="Europe/London")
    until = timezone.localdate(timezone=ZoneInfo("Europe/London")) + timedelta(days=days)
    place = make.LocationFactory(permission_until=until)
    listed = words(office.get(reverse("locations")))
    shown = words(office.get(reverse("location", args=[place.pk])))
    for word in ("ended", "ends soon"):
        assert (f"<strong>{word}" in listed) == (word == told)
        assert (f"The permit {'has ' if word == 'ended' else ''}{word}" in shown) == (word == told)


def test_the_list_asks_as_often_for_many_places_as_for_one(office):
    def queries():
        with CaptureQueriesContext(connection) as asked:
            assert office.get(reverse("locations")).status_code == 200
        return len(asked)

    make.LocationFactory()
    few = queries()
    for position in range(12):
        WorkshopPlace.objects.create(
            workshop=make.WorkshopFactory(),
            location=make.LocationFactory(permission_until=date(2027, 5, 1)),
            position=position,
        )
    assert queries() == few


def test_the_page_tells_what_somebody_needs_before_going(office):
    place = make.LocationFactory(
        name="Cove",
        emergency="North Hospital, High Road; grid SX 123 456",
        hazards="Rockfall: helmets\nTide: leave by the sheet",
        access="200 steps",
        parking="Lay-by, four cars",
        signal="None in the cove",
        permission_number="CC/12",
        permission_hours="08:00 to 20:00",
        head_limit=12,
        stands_clause="No stands on the footway",
        footing="shingle",
        slope_deg=4,
        wind_exposure_factor=1.3,
        water="tidal",
        horizon=[[90, 12.5], [200, 3]],
        declination_deg=-1.5,
        declination_on=date(2026, 3, 1),
    )
    make.LandmarkFactory(location=place, name="Chimney", bearing_deg=118)
    page = words(office.get(reverse("location", args=[place.pk])))
    for text in (
        "North Hospital, High Road; grid SX 123 456", "Rockfall: helmets", "200 steps",
        "Lay-by, four cars", "None in the cove", "CC/12", "08:00 to 20:00", "12",
        "No stands on the footway", "shingle", "Europe/London", "Chimney", "118°", "12.5°",
        "50.61000, -4.77000", "50°36′36.0″ N 4°46′12.0″ W",  # 0.61 x 60 = 36.6, 0.77 x 60 = 46.2
        "Low channels fill behind you first", reverse("horizon-drawing", args=[place.pk]),
    ):  # fmt: skip
        assert text in page, text
    assert page.index("North Hospital") < page.index("200 steps")


def test_the_clock_there_is_that_of_the_place(office):
    place = make.LocationFactory(timezone_name="Asia/Kathmandu")
    # Nepal Standard Time is UTC+05:45 all year: IANA Time Zone Database, asia.
    nepal = dt_timezone(timedelta(hours=5, minutes=45))
    before = datetime.now(nepal)
    page = words(office.get(reverse("location", args=[place.pk])))
    assert f"{before:%H:%M}" in page or f"{datetime.now(nepal):%H:%M}" in page


def test_coming_workshops_stand_on_the_page_and_past_ones_do_not(office):
    place = make.LocationFactory()
    now = timezone.now()
    for title, days in (("Ahead", 5), ("Behind", -5)):
        start_at = now + timedelta(days=days)
        workshop = make.WorkshopFactory(
            title=title, start_at=start_at, end_at=start_at + timedelta(hours=8)
        )
        WorkshopPlace.objects.create(workshop=workshop, location=place, position=1)
    page = words(office.get(reverse("location", args=[place.pk])))
    assert "Ahead" in page
    assert "Behind" not in page
