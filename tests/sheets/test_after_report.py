"""The after report on paper: the comparison's own figures, whatever was written in the notes."""

import io
import re
from dataclasses import replace

import pytest
from pypdf import PdfReader

from planning.after.seen import Fault, Recipe
from planning.after.totals import compare_day
from planning.after_day import ComparedDay
from planning.physics.exposure import parse_f_mark, parse_shutter_mark
from planning.report import report
from planning.report_drawings import drawings
from planning.sheets.after import after_pdf
from planning.sheets.options import PrintOptions
from tests.after.days import at, head, pack, person, set_day, tally
from tests.planning import day
from tests.sheets import example

A4 = PrintOptions(house="Slate & Tide")
LETTER = replace(A4, paper="letter", units="imperial", clock="12", language="es")
HOSTILE = "<script>alert(1)</script> file:///etc/passwd \u202eمرحبا 🌊 " + "x" * 50_000


def report_of(*days, faults=()) -> ComparedDay:
    zones = tuple(one.timezone for one in days)
    return ComparedDay("Midsummer", "Europe/London", compare_day(days, faults), zones)


def read(found: ComparedDay, options=A4) -> tuple[list, str]:
    reader = PdfReader(io.BytesIO(after_pdf(found, options, dates="21 June 2026")))
    text = " ".join(page.extract_text() for page in reader.pages)
    return reader.pages, re.sub(r"\s+", " ", text)


def noted_day():
    """One set with everything noted, by hand: see the test that reads it."""
    octa = head(
        flashes=240,
        full_power_flashes=60.0,
        power=0.25,
        power_source="locked",
        packs=(pack("P1", 1.0, 0.38),),
    )
    noted = tally(
        began_at=at(8),
        ended_at=at(97),
        heads=(octa,),
        people=(person(0, 1, frames=31), person(1, 0, missed=1, misfires=1)),
        gusts_m_s=((at(20), 6.5), (at(50), 12.0)),
        skies=((at(15), "clear"),),
        near_misses=((at(44), "The stand walked a hand's breadth."),),
    )
    locked = Recipe(parse_f_mark("8"), parse_shutter_mark("1/125"), 100.0, (("octa", 0.25),))
    return set_day(noted, recipe=locked)


def test_the_paper_says_the_comparison_s_own_figures():
    found = report_of(noted_day())
    _pages, text = read(found)
    one = found.day.sets[0]
    # 14:10 to 15:25 planned; 14:18 to 15:47, 89 min for 75.
    assert one.minutes.over == 14.0
    for words in ("14:18 noted 8 min late", "15:47 noted 22 min late", "89 min noted 14 min over"):
        assert words in text
    assert "209 240 counted 31 more; 60 at full power" in text
    assert "62 % ±3 read P1" in text  # root of 2 times 2 %: 2.8
    assert "One battery was enough for S600: 62 % used." in text
    assert "f/8 locked" in text
    assert "1/125 locked" in text
    assert "1/4 locked" in text
    assert "3 m/s 12 m/s noted octa: strike from 11 m/s" in text
    assert "clear 14:25 noted" in text
    assert "Bea 1 0, counted 25 not noted 1 1 turn fewer; called in vain once" in text
    assert "set 1, 14:54 The stand walked a hand's breadth." in text


def test_what_nobody_noted_is_never_a_figure():
    _pages, text = read(report_of(set_day()))
    assert "Began 14:10 not noted" in text
    assert "Flashes, octa 209 not noted" in text
    assert "frames of everybody, flashes of every lamp, what the packs showed" in text
    assert " 0 counted" not in text


def test_faults_and_near_misses_stand_in_full():
    words = "The foot is cracked and does not seat, " * 12
    faults = [Fault(at(300), "T-3", "fire-only", "Abel", words.strip())]
    noted = tally(near_misses=((at(44), words.strip()),))
    _pages, text = read(report_of(set_day(noted), faults=faults))
    assert text.count(words.strip()) == 2


def test_hostile_words_break_nothing():
    inputs = replace(day.SET, title=HOSTILE, lights=(replace(day.OCTA, name="octa"),))
    noted = replace(
        tally(inputs, near_misses=((at(44), HOSTILE),), notes=((at(45), HOSTILE),)), title=HOSTILE
    )
    fault = Fault(at(300), "T-3", HOSTILE, HOSTILE, HOSTILE)
    pages, text = read(report_of(set_day(noted, inputs), faults=[fault]), LETTER)
    assert "alert(1)" in text
    assert len(pages) < 8


@pytest.mark.parametrize("options", [A4, LETTER], ids=["A4", "Letter"])
def test_eight_people_and_three_lights_keep_their_columns(options):
    days = [
        set_day(inputs=replace(example.three_lights(), id=number, set_index=number - 1))
        for number in (1, 2)
    ]
    pages, text = read(report_of(*days), options)
    width_mm, height_mm = (float(side) / 72 * 25.4 for side in pages[0].mediabox[2:])
    assert (round(width_mm), round(height_mm)) == ((210, 297) if options is A4 else (216, 279))
    for name in example.NAMES:
        assert name in text


def test_drawings_of_a_long_day_fit_their_pages():
    # 9 sets of 3 lamps are 27 rows, more than one drawing holds.
    days = [
        set_day(inputs=replace(example.three_lights(), id=number, set_index=number - 1))
        for number in range(1, 10)
    ]
    drawn = drawings(compare_day(days), A4.figures("Europe/London"), width_mm=92.0)
    headings = [one.heading for one in drawn]
    assert "Flashes of each set and lamp, continued" in headings
    assert "Gusts, forecast and limits, continued" in headings
    assert max(one.height_mm for one in drawn) < 230  # of the 252 mm that Letter leaves
    bars = [float(wide) for one in drawn for wide in re.findall(r'width="([0-9.]+)" height="2.6"',
            one.svg) if one.heading.startswith("Flashes")]  # fmt: skip
    # All lamps are planned alike, so in both parts their bars are as long, but for the key's.
    assert len({wide for wide in bars if wide != 5.0}) == 1


def test_a_workshop_without_sets_is_one_page_that_says_so():
    pages, text = read(ComparedDay("Empty", "Europe/London", compare_day([]), ()))
    assert len(pages) == 1
    assert "No set is planned." in text


def test_the_same_day_is_the_same_file():
    found = report_of(noted_day())
    assert after_pdf(found, A4, dates="x") == after_pdf(found, A4, dates="x")


def test_what_was_warned_of_stands_in_one_piece_under_the_name_of_its_set():
    days = [
        set_day(inputs=example.full_beach(id=n, set_index=n, title=f"Groyne {n}")) for n in range(3)
    ]
    sheets, _text = read(report_of(*days))
    heads = 0
    for sheet in sheets:
        text = re.sub(r"\s+", " ", sheet.extract_text())
        for found in re.finditer(r"Set (\d): Groyne (\d): what the plan warned of", text):
            heads += 1
            # Its first line, and the last of the list, stand on the page of the heading.
            rest = text[found.end() :].split("Set ")[0]
            assert rest.count("→") == answers(days[0])
    assert heads == 3
    assert len(sheets) > 1


def answers(one) -> int:
    say = A4.figures("Europe/London")
    (shown,) = report(report_of(one).day, say, [say]).sets
    return len(shown.cautions)
