"""The after page: the day in short, and what is left unnoted with where it can be noted."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planning.models import TallyEvent
from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.pages.days import words

pytestmark = pytest.mark.django_db
Kind = TallyEvent.Kind


def note(planned, kind, minutes=30, **values):
    """An event as it was seen: written down when it happened."""
    at = planned.start_at + timedelta(minutes=minutes)
    event = TallyEvent.objects.create(planned_set=planned, kind=kind, at=at, **values)
    TallyEvent.objects.filter(pk=event.pk).update(changed_at=at)
    return event


@pytest.fixture
def planned():
    light = make.LightFactory(planned_set__position=1, name="octa")
    make.ForecastFactory(location=light.planned_set.location, gust_m_s=8.0)
    return light.planned_set


@pytest.fixture
def abel(planned):
    return make.BookingFactory(workshop=planned.workshop, person__name="Abel")


def page(office, planned):
    answer = office.get(reverse("workshop-after", args=[planned.workshop_id]))
    assert answer.status_code == 200
    return words(answer)


def test_the_day_in_short_and_its_tables(office, planned, abel):
    # Planned 14:10 to 15:25; 14:20 to 15:49 is 89 min for 75.
    note(planned, Kind.SET_BEGAN, 10)
    note(planned, Kind.SET_ENDED, 99)
    note(planned, Kind.TURN_GIVEN, 40, booking=abel)
    note(planned, Kind.WIND_SEEN, 50, gust_m_s=12.0)
    note(planned, Kind.NEAR_MISS, 44, notes="The stand walked.")
    note(planned, Kind.MISFIRE, 45, booking=abel, cause="channel")
    shown = page(office, planned)
    for part in (
        "Set 1 took 14 min longer than planned.",
        "Set 1 began 10 min late.",
        "89 min",
        "1 near miss noted.",
        "The stand walked.",
        "wrong channel or group",
        "<title>Minutes of each set</title>",
    ):
        assert part in shown
    assert "Whether one battery was enough cannot be told" in shown


def test_what_is_left_unnoted_leads_to_where_it_can_be_noted(office, planned, abel):
    shown = page(office, planned)
    assert "Nothing was noted of this day yet." in shown
    for route, part in (
        ("tally", "#times"), ("tally", "#frames"), ("set-turns", ""), ("recipe", ""),
        ("reading-new", ""), ("tally", "#weather"), ("tally-paper", ""),
    ):  # fmt: skip
        assert f'href="{reverse(route, args=[planned.pk])}{part}"' in shown
    note(planned, Kind.SET_BEGAN, 0)
    note(planned, Kind.SET_ENDED, 75)
    assert "#times" not in page(office, planned)


def test_what_was_copied_from_paper_says_so(office, planned):
    event = note(planned, Kind.FLASHES, 70, light_name="octa", count=180)
    assert '<strong>180</strong> <span class="soft">counted</span>' in page(office, planned)
    TallyEvent.objects.filter(pk=event.pk).update(changed_at=planned.end_at + timedelta(hours=5))
    assert '<strong>180</strong> <span class="soft">typed later</span>' in page(office, planned)


def test_the_reading_of_the_day_is_set_beside_the_estimate(office, planned):
    assert "estimate" in page(office, planned)
    make.ReadingFactory(planned_set=planned, at=planned.start_at)
    shown = page(office, planned)
    assert "metered</span>" in shown
    assert "stops of light" in shown


def test_a_set_without_a_plan_says_why_and_shows_what_was_noted(office, planned):
    planned.location.latitude_deg = planned.location.longitude_deg = None
    planned.location.save()
    note(planned, Kind.FLASHES, 70, light_name="octa", count=180)
    shown = page(office, planned)
    assert "No plan to compare with" in shown
    assert "has no coordinates" in shown
    assert "<strong>180</strong>" in shown


def test_faults_of_the_kit_stand_on_it(office, planned, abel):
    make.CheckoutFactory(
        workshop=planned.workshop, person=abel.person, unit__tag="T-9", unit__state="fault",
        fault=True, condition_in="foot cracked", in_at=planned.end_at,
    )  # fmt: skip
    shown = page(office, planned)
    assert "T-9" in shown
    assert "foot cracked" in shown
    assert "1 unit came back with a fault." in shown


def test_a_workshop_without_sets_says_so(office):
    workshop = make.WorkshopFactory()
    answer = office.get(reverse("workshop-after", args=[workshop.pk]))
    assert "No set is planned." in words(answer)


def test_absurd_words_are_shown_and_do_nothing(office, planned, abel):
    for text in ABSURD:
        if text.strip() and "\x00" not in text:
            note(planned, Kind.NEAR_MISS, 44, notes=text[:500])
            note(planned, Kind.NOTE, 45, notes=text[:500])
    planned.title = ABSURD[0]
    planned.save()
    shown = page(office, planned)
    assert "<script>alert" not in shown
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in shown


def test_it_asks_as_often_for_many_as_for_few(office, planned, abel):
    def asked():
        with CaptureQueriesContext(connection) as queries:
            page(office, planned)
        return len(queries)

    def another(number):
        light = make.LightFactory(
            planned_set__workshop=planned.workshop, planned_set__location=planned.location,
            planned_set__position=number, name="octa",
        )  # fmt: skip
        somebody = make.BookingFactory(workshop=planned.workshop)
        unit = make.UnitFactory(kind=light.strobe.battery_kind)
        note(light.planned_set, Kind.TURN_GIVEN, 40, booking=somebody)
        note(light.planned_set, Kind.PACK_IN, 1, light_name="octa", unit=unit, charge_share=1.0)
        note(light.planned_set, Kind.PACK_OUT, 70, light_name="octa", unit=unit, charge_share=0.4)

    another(2)
    few = asked()
    for number in range(3, 6):
        another(number)
    assert asked() == few


def test_the_report_prints(office, planned, abel):
    answer = office.get(reverse("after-sheet", args=[planned.workshop_id]))
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")


def test_the_workshop_s_pages_lead_to_it(office, planned):
    place = reverse("workshop-after", args=[planned.workshop_id])
    for route in ("workshop", "sets", "workshop-after"):
        assert place in words(office.get(reverse(route, args=[planned.workshop_id])))
    assert place in words(office.get(reverse("tally", args=[planned.pk])))
