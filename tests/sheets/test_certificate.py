"""The certificate of attendance: who, what, when, where, by whom, and nothing more."""

import io
import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from pypdf import PdfReader

from planning.certificates import certificate, refusal_of_certificate
from planning.models import TeachingPoint
from planning.sheets.certificate import Certificate, _more_below_mm, certificate_pdf
from planning.sheets.options import PrintOptions
from tests import factories as make
from workshops.errors import Refused
from workshops.models import House

SYDNEY = ZoneInfo("Australia/Sydney")
A4 = PrintOptions(house="Slate & Tide")
LETTER = replace(A4, paper="letter", clock="12", language="es")
HOSTILE = "<script>alert(1)</script> " + "y" * 400 + " مرحبا 🌊"


def told(**changes) -> Certificate:
    about = {
        "name": "Chiara Montefalco",
        "title": "One stop under the sun",
        "start_at": datetime(2026, 9, 17, 9, tzinfo=SYDNEY),
        "end_at": datetime(2026, 9, 17, 16, 30, tzinfo=SYDNEY),
        "timezone": "Australia/Sydney",
        "several_days": False,
        "places": ("Slate quarry",),
        "taught": ("One stop under", "Shutter for the sky"),
        "led_by": ("Ines Varga",),
        "issuer": ("Slate & Tide", "Signal Row 4"),
    }
    return Certificate(**about | changes)


def read(content: bytes) -> tuple[int, str]:
    reader = PdfReader(io.BytesIO(content))
    text = " ".join(page.extract_text() for page in reader.pages)
    return len(reader.pages), re.sub(r"\s+", " ", text)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (A4, ("Sept. 17, 2026", "09:00–16:30, 7.5 hours")),
        (LETTER, ("17 de septiembre de 2026", "9:00 am–4:30 pm")),
    ],
)
def test_it_tells_who_when_where_and_what_on_one_leaf(options, words):
    pages, text = read(certificate_pdf(told(), options))
    assert pages == 1
    for one in (*words, "Chiara Montefalco", "Slate quarry", "Shutter for the sky", "Ines Varga"):
        assert one in text


def test_names_with_signs_of_markup_are_printed_as_they_are():
    names = told(led_by=("Una O'Hara",), places=("Rock & Sand",), issuer=("Slate", "5 O'Hara Row"))
    _pages, text = read(certificate_pdf(names, A4))
    assert "Una O'Hara" in text
    assert "Rock & Sand" in text
    assert "5 O'Hara Row" in text


@pytest.mark.parametrize("options", [A4, LETTER])
def test_long_names_and_many_points_still_fit_one_leaf(options):
    long = told(
        name="Maria-Guadalupe de los Angeles Fernandez-Villanueva y Castellanos " * 2,
        title="Light at the edge of the land, with wind, water and long shadows " * 2,
        places=("A place with a long name, and the beach beside it",) * 3,
        taught=tuple(f"Point {n}: with as many words as a name may have" for n in range(15)),
    )
    pages, text = read(certificate_pdf(long, options))
    assert pages == 1
    assert "Point 11" in text
    assert "Point 12" not in text


def test_what_is_typed_is_text_and_no_markup():
    hostile = told(name=HOSTILE, title=HOSTILE, places=(HOSTILE,), taught=(HOSTILE,) * 3)
    pages, text = read(certificate_pdf(hostile, A4))
    assert pages == 1
    assert "<script>" in text


def test_the_hours_of_a_workshop_of_several_days_are_not_told():
    days = told(several_days=True, end_at=datetime(2026, 9, 19, 16, tzinfo=SYDNEY))
    _pages, text = read(certificate_pdf(days, A4))
    assert "Sept. 17, 2026 – Sept. 19, 2026" in text
    assert "hours" not in text


def test_the_same_attendance_prints_the_same_bytes():
    assert certificate_pdf(told(), A4) == certificate_pdf(told(), A4)


@pytest.fixture
def booking(db):
    make.HouseFactory()
    booking = make.BookingFactory(state="attended")
    booking.workshop.locations.add(make.LocationFactory(name="Long wall"))
    make.RoleFactory(
        workshop=booking.workshop, role="instructor", person=make.PersonFactory(name="Tomas Reed")
    )
    make.RoleFactory(
        workshop=booking.workshop, role="lead", person=make.PersonFactory(name="Ines Varga")
    )
    return booking


def of(booking, now=None) -> Certificate:
    return certificate(booking, House.objects.get(), now or booking.workshop.end_at)


def test_it_is_made_of_the_records(booking):
    made = of(booking)
    assert (made.name, made.title) == (booking.person.name, booking.workshop.title)
    assert (made.places, made.led_by) == (("Long wall",), ("Ines Varga", "Tomas Reed"))
    assert made.hours == 10  # 8:00 to 18:00 UTC


def test_whoever_came_later_and_left_early_was_there_for_less(booking):
    booking.arrives_at = datetime(2027, 5, 8, 9, 30, tzinfo=UTC)
    booking.leaves_at = datetime(2027, 5, 8, 16, 0, tzinfo=UTC)
    assert of(booking).hours == 6.5


def test_only_the_sets_that_took_place_were_taught_where_that_was_noted(booking):
    point, other = (
        TeachingPoint.objects.create(name=name, objective="See it.")
        for name in ("Own one", "Own two")
    )
    workshop = booking.workshop
    held = make.SetFactory(workshop=workshop, main_point=point)
    make.SetFactory(workshop=workshop, main_point=other, second_point=point)
    assert of(booking).taught == ("Own one", "Own two")
    make.EventFactory(planned_set=held, kind="set began")
    assert of(booking).taught == ("Own one",)


def test_before_the_end_nobody_gets_one_and_afterwards_only_who_was_there(booking):
    with pytest.raises(Refused, match="once the workshop is over"):
        of(booking, booking.workshop.end_at - timedelta(minutes=1))
    for state in ("held", "confirmed", "absent"):
        booking.state = state
        assert "noted as having been here" in refusal_of_certificate(
            booking, booking.workshop.end_at
        )


def test_long_names_below_the_signatures_stay_inside_the_frame():
    long = "Una Maria de los Angeles O'Hara y Castellanos de la Villanueva Blanca"
    short_mm, long_mm = (
        _more_below_mm(told(led_by=(name,), issuer=("Slate",))) for name in ("Una O'Hara", long)
    )
    assert short_mm == 0
    assert long_mm >= 2 * 4.5  # three lines instead of one
    assert _more_below_mm(told(led_by=(), issuer=())) == 0
