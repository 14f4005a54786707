"""The day sheet of records: its order, its people, its help, and each caution said once."""

import io
import re
from datetime import timedelta

import pytest
from pypdf import PdfReader

from planning.day_papers import day_sheets
from planning.sheets.day import day_pdf
from planning.sheets.options import print_options
from tests import factories as make
from workshops.models import WorkshopBreak
from workshops.models.base import in_zone
from workshops.selectors.house import house

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop():
    make.HouseFactory()
    light = make.LightFactory()
    one = light.planned_set.workshop
    make.BookingFactory(workshop=one, person=make.PersonFactory(name="Abel", phone="+44 1632 96"))
    return one


def read(content: bytes) -> tuple[int, str]:
    reader = PdfReader(io.BytesIO(content))
    text = " ".join(page.extract_text() for page in reader.pages)
    return len(reader.pages), re.sub(r"\s+", " ", text)


def test_the_order_runs_from_the_welcome_to_the_closing(workshop):
    (day,) = day_sheets(workshop, house())
    times = [entry.start_at for entry in day.entries]
    assert times == sorted(times)
    assert day.entries[0].start_at == workshop.start_at
    assert day.entries[0].end_at - day.entries[0].start_at == timedelta(minutes=30)
    assert day.entries[-1].end_at == workshop.end_at


def test_a_break_stands_in_the_first_gap_that_holds_it(workshop):
    planned = workshop.sets.get()
    WorkshopBreak.objects.create(
        workshop=workshop,
        title="lunch",
        earliest_at=planned.start_at - timedelta(minutes=10),
        latest_at=planned.end_at + timedelta(hours=1),
        minutes=40,
    )
    (day,) = day_sheets(workshop, house())
    (lunch,) = [entry for entry in day.entries if entry.what == "lunch"]
    # Ten minutes before the set there is no room for forty: it comes after.
    assert lunch.start_at == planned.end_at


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_one_leaf_says_who_where_and_whom_to_call(workshop, paper):
    planned = workshop.sets.get()
    planned.location.emergency = "Hospital 24 km; give SS 236 255"
    planned.location.save()
    rules = house()
    pages, text = read(day_pdf(day_sheets(workshop, rules), print_options(rules, paper=paper)))
    assert pages == 2
    assert planned.title in text
    assert "give SS 236 255" in text
    assert "+44 1632 96" in text


def test_a_set_without_a_plan_is_in_the_order_with_the_reason(workshop):
    planned = workshop.sets.get()
    planned.location.latitude_deg = planned.location.longitude_deg = None
    planned.location.save()
    (day,) = day_sheets(workshop, house())
    (entry,) = [one for one in day.entries if one.number is not None]
    assert "no plan yet" in entry.why
    assert "coordinates" in entry.why


def test_the_day_is_named_and_times_keep_to_the_house_s_clock(workshop):
    rules = house()
    rules.clock = "12"
    booking = workshop.bookings.get()
    booking.arrives_at = workshop.start_at.replace(hour=13, minute=20)
    booking.save()
    (day,) = day_sheets(workshop, rules)
    assert day.day.startswith(f"{workshop.start_at:%A}, ")
    (abel,) = [one for one in day.people if one.name == "Abel"]
    local = in_zone(booking.arrives_at, workshop.timezone_name)
    assert f"comes at {local:%I:%M}".replace("at 0", "at ") in abel.note.replace("\xa0", " ")
    assert "pm" in abel.note


def test_a_column_of_notes_is_headed_only_where_there_are_notes(workshop):
    rules = house()
    _pages, text = read(day_pdf(day_sheets(workshop, rules), print_options(rules)))
    assert "part phone note" not in text
    person = workshop.bookings.get().person
    person.emergency_name, person.emergency_phone = "Bea", "+44 1632 97"
    person.save()
    _pages, text = read(day_pdf(day_sheets(workshop, rules), print_options(rules)))
    assert "part phone note" in text
    assert "in an emergency: Bea +44 1632 97" in text


def test_the_meeting_point_ends_without_a_full_stop_before_the_channel(workshop):
    place = workshop.sets.get().location
    place.parking = "Field gate, six cars."
    place.save()
    (day,) = day_sheets(workshop, house())
    assert day.meeting.endswith("six cars")
