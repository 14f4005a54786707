"""What a careful typographer would ask of every paper: sizes read off the print, leaves kept whole.

The smallest type and the size of a target are the house's own rules (common practice, no source):
nothing under 8 points, what is set by at arm's length 16 points or more.
"""

import io
import re
from dataclasses import replace

import pytest
from django.utils import translation
from pypdf import PdfReader

from planning.plan import evaluate
from planning.sheets.glossary import GLOSSARY
from planning.sheets.handout import handout_pdf, lesson_sides
from planning.sheets.kit import Kind, KitSheet, Load, Unit, kit_pdf
from planning.sheets.options import PrintOptions
from planning.sheets.pdf import fewest_pages, set_sheet_pdf
from planning.sheets.risk import Decides, Limits, Place, risk_pdf
from planning.sheets.tally import SetTally, tally_pdf
from planning.sheets.worker import Side
from tests.sheets.example import attendees, full_beach, slate_wall
from tests.sheets.test_handouts import a_day, mine, taught

A4 = PrintOptions(house="Slate & Tide")
LETTER = replace(A4, paper="letter", units="imperial", clock="12")
SPANISH = replace(LETTER, language="es")
SMALLEST_PT, TARGET_PT = 8.0, 16.0
LIMITS = Limits(
    gust_m_s=11.0, hold_force_n=40.0, off_force_n=80.0, carry_cap_kg=25.0, tide_margin_min=60.0
)
WET = Place(
    name="Old slipway",
    timezone="Europe/London",
    coordinates="51.01460, -4.51790",
    grid="30U 393525 5652544",
    emergency="Hospital, 24 km; coastguard for anybody cut off; give SS 236 255",
    signal="None on the slip; one bar at the top of the steps.",
    access="Steps of 60, a handrail on the left.",
    hazards=(("Rising water fills the gully behind the slip first.", ""), ("Weed", "keep off")),
    footing="sand",
    under_trees=True,
    water="tidal",
    wind_exposure_factor=1.3,
    head_limit=12,
)
RAISED = (
    "Set 2: water: stands farther from the edge than they are tall, or a hand on each; heads hold "
    "lethal voltage, nobody grabs a wet one; wading below the knee, never alone.",
    "Set 2: off the shore by 13:31, start striking 13:15. Water fills the low channels behind you "
    "first; low pressure and swell come on top.",
    "Set 2: somebody here is sensitive to flashes: one live trigger, no bursts.",
)
DECIDES = Decides("Shore", "18 September", "Ines", "+44 1", ("Tomas",), True, RAISED)


def kit() -> KitSheet:
    unit = Unit("https://a.example/u/1/", "TRIG-01", "Ana", "good")
    load = Load("Ana", 1, 0.05)
    kinds = (Kind("Simple trigger", 0.05, (unit,)),)
    return KitSheet("Shore", "8 May 2027", "Europe/London", kinds, (load,), load)


def handout(options: PrintOptions) -> bytes:
    day = a_day(taught(slate_wall()), taught(full_beach()))
    return handout_pdf(mine(day, attendees(1)[0]), day, options, lesson_sides(day, options))


PAPERS = {
    "set sheet": lambda options: set_sheet_pdf(evaluate(full_beach()), full_beach(), options),
    "handout": handout,
    "risk": lambda options: risk_pdf([(WET, DECIDES)], LIMITS, options),
    "tally": lambda options: tally_pdf(
        [SetTally(evaluate(full_beach()), full_beach(), ("cell", "body"))], options
    ),
    "kit": lambda options: kit_pdf(kit(), options),
}  # fmt: skip


def sizes_pt(content: bytes) -> dict[float, str]:
    """Return the words set in each size, drawings included."""
    found: dict[float, str] = {}

    def read(text, to_page, to_line, _font, size):
        if text.strip():
            scale = abs(to_page[3] * to_line[3]) or abs(to_page[1] * to_line[1])
            key = round(size * scale, 1)
            found[key] = (found.get(key, "") + text)[:4000]

    for page in PdfReader(io.BytesIO(content)).pages:
        page.extract_text(visitor_text=read)
    return found


@pytest.mark.parametrize("name", PAPERS)
def test_nothing_is_set_smaller_than_can_be_read_in_the_hand(name):
    found = sizes_pt(PAPERS[name](LETTER))
    assert min(found) >= SMALLEST_PT, found[min(found)][:100]


@pytest.mark.parametrize("name", ["set sheet", "handout"])
def test_the_recipe_can_be_read_at_arm_s_length(name):
    found = sizes_pt(PAPERS[name](LETTER))
    large = "".join(words for size, words in found.items() if size >= TARGET_PT)
    exposure = evaluate(full_beach()).exposure
    for mark in (exposure.working_mark, exposure.ladder[0].mark):
        assert mark in large


@pytest.mark.parametrize("options", [A4, LETTER, SPANISH], ids=["a4", "letter", "spanish letter"])
def test_a_place_with_every_hazard_keeps_to_its_side(options):
    content = risk_pdf([(WET, DECIDES), (replace(WET, water="none"), DECIDES)], LIMITS, options)
    assert len(PdfReader(io.BytesIO(content)).pages) == 2


def test_what_runs_on_in_any_case_is_not_set_smaller_for_it():
    hazards = tuple((f"hazard {n}", "a control " * 20) for n in range(30))
    content = risk_pdf([(replace(WET, hazards=hazards), DECIDES)], LIMITS, A4)
    assert len(PdfReader(io.BytesIO(content)).pages) > 1
    asked = []

    def side(room: str) -> Side:
        asked.append(room)
        lines = "<p>line</p>" * 200
        html = f'<html lang="en"><title>t</title><body class="{room}">{lines}</body></html>'
        return Side(html, "@page { size: A4; }")

    assert 'class=""' in fewest_pages(side).html
    assert asked == ["", "close", "closer"]


def test_no_term_of_the_glossary_is_broken_into_letters():
    reader = PdfReader(io.BytesIO(handout(SPANISH)))
    text = re.sub(r"\s+", " ", reader.pages[0].extract_text())
    with translation.override("es"):
        terms = [str(term) for term, _meaning in GLOSSARY]
    assert [term for term in terms if term not in text] == []
    assert "sincronización" in text


def test_a_long_warning_is_printed_to_its_end():
    words = "the water cuts off the way out " * 15 + "leave before noon"
    content = risk_pdf([(WET, replace(DECIDES, cautions=(words,)))], LIMITS, A4)
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
    assert "leave before noon" in re.sub(r"\s+", " ", text)
