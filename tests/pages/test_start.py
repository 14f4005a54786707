"""The start page: first steps on an empty house, then what needs doing next."""

from datetime import timedelta
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests import factories as make
from workshops.models import House

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def steps_left(page) -> list[str]:
    return [step.name for step in page.context["steps"] if not step.done]


def coming(days=3, **details):
    # In the morning, whatever the hour of the test: after dark a set has no plan.
    start_at = (timezone.now() + timedelta(days=days)).replace(hour=9, minute=0, second=0)
    return make.WorkshopFactory(start_at=start_at, end_at=start_at + timedelta(hours=9), **details)


def test_an_empty_house_is_led_from_the_house_to_the_sheet(client):
    client.force_login(make.UserFactory())
    page = client.get(reverse("start"))
    names = ["House", "Location", "Kit", "Workshop", "People", "Set", "Sheet"]
    assert steps_left(page) == names
    House.objects.create(name="Slate & Tide")
    make.LocationFactory()
    assert steps_left(client.get(reverse("start"))) == names[2:]


def test_each_step_is_done_by_its_record(office):
    planned = make.SetFactory(position=1)
    make.LightFactory(planned_set=planned)
    make.TriggerFactory()
    lead = make.RoleFactory(workshop=planned.workshop, role="lead")
    make.CameraFactory(owner=lead.person)
    make.BookingFactory(workshop=planned.workshop)
    page = office.get(reverse("start"))
    assert steps_left(page) == ["Sheet"]
    assert reverse("set-sheet", args=[planned.pk]) in page.content.decode()


def test_the_steps_end_with_a_second_set(office):
    workshop = make.WorkshopFactory()
    for position in (1, 2):
        make.SetFactory(workshop=workshop, position=position)
    assert office.get(reverse("start")).context["steps"] == []


def test_what_a_workshop_lacks_is_said_with_the_page_that_mends_it(office):
    workshop = coming(minimum_to_run=2)
    make.BookingFactory(workshop=workshop)
    (day,) = office.get(reverse("start")).context["days"]
    words = " ".join(need.words for need in day.needs)
    for said in (
        "No lead instructor is named.",
        "No model is named.",
        "2 more confirmed bookings are needed to run.",
        "1 attendee has no camera recorded",
        "No place is chosen.",
        "No kit is on the list.",
        "No set is planned.",
    ):
        assert said in words
    page = office.get(reverse("start")).content.decode()
    assert reverse("workshop-kit", args=[workshop.pk]) in page


def test_a_missing_forecast_is_told_five_days_before_and_a_permit_that_ends(office):
    near, far = coming(days=3), coming(days=9)
    place = make.LocationFactory(permission_until=timezone.now().date())
    for workshop in (near, far):
        workshop.locations.add(place)
    first, second = office.get(reverse("start")).context["days"]
    said = {need.words for need in first.needs}
    assert f"No forecast yet for {place}." in said
    assert f"The permit of {place} ends before the day." in said
    assert f"No forecast yet for {place}." not in {need.words for need in second.needs}


def test_plans_that_stop_a_set_are_shown(office):
    workshop = coming()
    planned = make.SetFactory(
        workshop=workshop,
        position=1,
        start_at=workshop.start_at,
        end_at=workshop.start_at + timedelta(minutes=80),
    )
    make.LightFactory(planned_set=planned)
    make.ForecastFactory(
        location=planned.location,
        valid_from=workshop.start_at,
        valid_to=workshop.end_at,
        thunder=True,
    )
    (day,) = office.get(reverse("start")).context["days"]
    assert [line.record for line in day.stopped] == [planned]
    assert "STOP" in office.get(reverse("start")).content.decode()


def test_workshops_over_or_called_off_do_not_wait(office):
    coming(status="cancelled", cancelled_reason="storm")
    coming(status="closed")
    assert office.get(reverse("start")).context["days"] == []


def test_the_number_of_queries_does_not_grow_with_the_days(office):
    def day():
        workshop = coming()
        for position in (1, 2):
            planned = make.SetFactory(workshop=workshop, position=position)
            make.LightFactory(planned_set=planned)
        make.BookingFactory(workshop=workshop)
        make.ReservationFactory(workshop=workshop)
        workshop.locations.add(make.LocationFactory())

    day()
    with CaptureQueriesContext(connection) as one:
        office.get(reverse("start"))
    for _more in range(3):
        day()
    with CaptureQueriesContext(connection) as four:
        office.get(reverse("start"))
    assert len(four) == len(one)


def test_nobody_sees_anything_before_logging_in(client):
    for name in ("start", "workshops", "locations", "kit", "people", "house"):
        page = client.get(reverse(name))
        assert page.status_code == 302
        assert page.url.startswith(reverse("log-in"))


def test_on_the_day_the_sets_stand_first_each_with_its_way_to_the_meter(client):
    here = {"timezone_name": "Pacific/Auckland"}  # the day is that of the place: UTC + 12 or 13
    morning = timezone.now().astimezone(ZoneInfo("Pacific/Auckland")).replace(hour=10, minute=0)
    lead = make.RoleFactory(
        role="lead",
        workshop__start_at=morning,
        workshop__end_at=morning + timedelta(hours=9),
        workshop__status="run",  # marked as run already in the morning
    )
    place = make.LocationFactory(latitude_deg=-36.8, longitude_deg=174.7, **here)
    times = {"start_at": morning, "end_at": morning + timedelta(hours=1)}
    today = make.SetFactory(workshop=lead.workshop, location=place, **times)
    make.LightFactory(planned_set=today)
    day = timedelta(days=1)
    late = {name: at + day for name, at in times.items()}
    tomorrow = make.SetFactory(workshop=lead.workshop, location=place, **late)
    elsewhere = make.SetFactory(location=place, **times)  # somebody else's workshop
    client.force_login(
        make.UserFactory(role="instructor", is_staff=False, is_superuser=False, person=lead.person)
    )
    page = client.get(reverse("start"))
    assert [line.record for line in page.context["today"]] == [today]
    shown = page.content.decode()
    assert reverse("reading-new", args=[today.pk]) in shown
    for other in (tomorrow, elsewhere):
        assert reverse("reading-new", args=[other.pk]) not in shown
