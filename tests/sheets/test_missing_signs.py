"""A sign our fonts lack is a square on every paper, and the paper says how many there are."""

import io
import re
from dataclasses import replace
from pathlib import Path

import pytest
from django.conf import settings
from pypdf import PdfReader

from planning.plan import evaluate
from planning.sheets import letters, press
from planning.sheets.after import after_pdf
from planning.sheets.certificate import certificate_pdf
from planning.sheets.handout import handout_pdf
from planning.sheets.kit import kit_pdf
from planning.sheets.options import PrintOptions
from planning.sheets.risk import risk_pdf
from planning.sheets.tally import SetTally, tally_pdf
from tests.after.days import at, set_day, tally
from tests.sheets.example import attendees, slate_wall
from tests.sheets.test_after_report import report_of
from tests.sheets.test_certificate import told
from tests.sheets.test_handouts import a_day, mine
from tests.sheets.test_typography import DECIDES, LIMITS, WET, kit

A4 = PrintOptions(house="Slate & Tide")
SIX = "\N{RIGHT-TO-LEFT OVERRIDE}مرحبا \N{WATER WAVE} <b>"  # five letters and a picture; no control
ALONE = {"set_front.html": "the set's back", "free_side.html": "bare", "labels.html": "no room"}


def an_after_report() -> bytes:
    noted = tally(near_misses=((at(44), SIX),))
    return after_pdf(report_of(set_day(noted)), A4, dates="21 June 2026")


def a_handout() -> bytes:
    day = a_day(credits=(SIX,))
    return handout_pdf(mine(day, attendees(1)[0]), day, A4, ())


def a_kit_sheet() -> bytes:
    sheet = kit()
    unit = replace(sheet.kinds[0].units[0], condition=SIX)
    return kit_pdf(replace(sheet, kinds=(replace(sheet.kinds[0], units=(unit,)),)), A4)


def a_tally() -> bytes:
    inputs = slate_wall(attendees=(replace(attendees(1)[0], name=SIX),))
    return tally_pdf([SetTally(evaluate(inputs), inputs, ("cell", "body"))], A4)


PAPERS = {
    "after report": an_after_report,
    "certificate": lambda: certificate_pdf(told(name=SIX), A4),
    "handout": a_handout,
    "kit sheet": a_kit_sheet,
    "risk sheet": lambda: risk_pdf([(replace(WET, signal=SIX), DECIDES)], LIMITS, A4),
    "tally": a_tally,
}


@pytest.mark.parametrize("name", PAPERS)
def test_a_paper_says_how_many_signs_it_could_not_print(name):
    reader = PdfReader(io.BytesIO(PAPERS[name]()))
    text = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in reader.pages))
    assert "<b>" in text
    assert "6 signs of the records' texts cannot be printed here: see the record." in text


def test_a_certificate_that_owns_up_stays_one_leaf():
    full = told(name=f"{SIX} " * 4, taught=tuple(f"Point {n}" for n in range(15)))
    for options in (A4, replace(A4, paper="letter")):
        assert len(PdfReader(io.BytesIO(certificate_pdf(full, options))).pages) == 1


def test_what_is_not_on_the_paper_is_not_counted():
    page = '<title>مرحبا</title><h1 data-foot="مرحبا">مر</h1><svg><title>م</title></svg>'
    assert letters.missing_on(page) == 2
    assert letters.missing_on("<p>f/11 é дом □</p>") == 0


@pytest.mark.parametrize("end", ["\u2028", "\u2029"])
def test_an_end_of_line_pasted_from_a_word_processor_is_one(end):
    # Unicode 15, 5.8: line and paragraph separator. A font may list them, and draws nothing.
    text = f"Mind the{end}step"
    assert letters.missing_signs([text]) == 0
    page = f"<html lang='en'><head><title>t</title></head><body><p>{text}</p></body></html>"
    content = press.printed([(letters.printable(page), "")], "/Simplex", "0" * 64)
    assert "Mind the step" in PdfReader(io.BytesIO(content)).pages[0].extract_text()


def test_every_paper_has_a_place_to_own_up_in():
    folder = Path(settings.BASE_DIR, "templates/sheets")
    said = 'include "sheets/_missing_signs.html"'
    silent = {
        path.name
        for path in folder.glob("[!_]*.html")
        if "sheets/base.html" in (text := path.read_text(encoding="utf-8"))
        and said not in text + (folder / "_back_words.html").read_text() * ("_back_words" in text)
    }
    assert silent == set(ALONE)
