"""Risk sheets and tally sheets say what is recorded, on the paper of the house."""

import io
import re
from dataclasses import replace

import pytest
from pypdf import PdfReader

from planning.models import TallyEvent
from planning.plan import evaluate
from planning.sheets.options import PrintOptions
from planning.sheets.risk import Decides, Limits, Place, risk_pdf
from planning.sheets.tally import SetTally, tally_pdf
from tests.sheets.example import full_beach, slate_wall

A4 = PrintOptions(house="Slate & Tide")
LETTER = replace(A4, paper="letter", units="imperial", clock="12")
LIMITS = Limits(
    gust_m_s=11.0, hold_force_n=40.0, off_force_n=80.0, carry_cap_kg=25.0, tide_margin_min=60.0
)
SLIP = Place(
    name="Old slipway",
    timezone="Europe/London",
    emergency="Hospital 24 km; give SS 236 255",
    hazards=(("Weed", "nobody below the dark line"), ("Gully", "")),
    water="tidal",
    head_limit=12,
)
HOSTILE = "<script>alert(1)</script> file:///etc/passwd " + "x" * 2000 + " \u202eمرحبا 🌊"


def read(content: bytes) -> tuple[int, str]:
    reader = PdfReader(io.BytesIO(content))
    text = " ".join(page.extract_text() for page in reader.pages)
    return len(reader.pages), re.sub(r"\s+", " ", text)


def test_the_place_s_own_hazards_come_first_with_their_controls():
    _pages, text = read(risk_pdf([(SLIP, Decides(lead="Ada", phone="+44 1"))], LIMITS, A4))
    assert text.index("nobody below the dark line") < text.index("A bag on every stand")
    assert "no control written yet" in text
    assert "Ada" in text
    assert "give SS 236 255" in text
    assert "12 people at most" in text


def test_limits_are_the_house_s_and_in_its_units():
    _pages, text = read(risk_pdf([(SLIP, Decides())], LIMITS, A4))
    assert "From 40 N" in text
    assert "gust of 11" in text
    _pages, text = read(risk_pdf([(SLIP, Decides())], LIMITS, LETTER))
    # 40 N is 9 lbf (4.448 N each, NIST SP 811); 11 m/s is 24.6 mph, never told as more.
    assert "From 9 lbf" in text
    assert "gust of 24 mph" in text


def test_only_a_place_with_a_tide_speaks_of_the_tide():
    _pages, wet = read(risk_pdf([(SLIP, Decides())], LIMITS, A4))
    _pages, dry = read(risk_pdf([(replace(SLIP, water="none"), Decides())], LIMITS, A4))
    assert "60 min before it floods" in wet
    assert "floods" not in dry
    assert "deadly voltage" not in dry


def test_a_place_without_an_emergency_line_asks_for_it():
    _pages, text = read(risk_pdf([(Place("Wood", "Europe/London"), Decides())], LIMITS, A4))
    assert "write them here before going" in text


@pytest.mark.parametrize("options", [A4, LETTER])
def test_every_set_has_one_side_with_a_line_for_everybody(options):
    causes = tuple(TallyEvent.Cause.labels)
    sets = [SetTally(evaluate(one), one, causes) for one in (slate_wall(), full_beach())]
    pages, text = read(tally_pdf(sets, options))
    # The letters are those of the page that types it in (tests/pages/test_tally_paper.py).
    assert text.count("C empty cell in the trigger") == 2
    assert "first pack: tag, %" in text
    assert pages == 2
    for person in full_beach().attendees:
        assert person.name in text
    assert sets[0].plan.exposure.working_mark in text


def test_hostile_texts_are_words_on_paper():
    place = Place(
        name=HOSTILE, timezone="Europe/London", emergency=HOSTILE, access=HOSTILE,
        hazards=((HOSTILE, HOSTILE),), signal=HOSTILE, parking=HOSTILE, fallback=HOSTILE,
    )  # fmt: skip
    decides = Decides(workshop=HOSTILE, lead=HOSTILE, others=(HOSTILE,), cautions=(HOSTILE,))
    _pages, text = read(risk_pdf([(place, decides)], LIMITS, A4))
    assert "<script>" in text
    inputs = replace(slate_wall(), title=HOSTILE, workshop=HOSTILE)
    pages, text = read(tally_pdf([SetTally(evaluate(inputs), inputs)], A4))
    assert pages == 1
    assert "<script>" in text


def test_a_permit_is_told_in_as_many_parts_as_there_are():
    permit = replace(
        SLIP, permit="26/0142", permit_hours="8 to 18", stands_clause="no stand on the path."
    )
    _pages, text = read(risk_pdf([(permit, Decides())], LIMITS, A4))
    assert "Permit 26/0142; 8 to 18; 12 people at most; no stand on the path " in text
    _pages, text = read(risk_pdf([(replace(SLIP, head_limit=None), Decides())], LIMITS, A4))
    assert "Permit —" in text
