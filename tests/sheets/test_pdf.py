"""The set sheet as a file: one leaf, tagged, our fonts, the same bytes, nothing unseen."""

import hashlib
import io
import math
import os
import re
import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from django.template.loader import render_to_string
from pypdf import PdfReader

from planning.plan import evaluate
from planning.plan.inputs import AttendeeInputs
from planning.sheets import front, pages, pdf
from planning.sheets.options import PrintOptions
from tests.sheets.example import OCTA, attendees, full_beach, slate_wall

ROOT = Path(__file__).resolve().parents[2]
A4 = PrintOptions(house="Slate & Tide")
LETTER = replace(A4, paper="letter", units="imperial", clock="12")
POINTS_A_MM = 72 / 25.4


def made(inputs, options=A4) -> bytes:
    return pdf.set_sheet_pdf(evaluate(inputs), inputs, options)


def read(content: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(content))


def words(page) -> str:
    return re.sub(r"\s+", " ", page.extract_text())


@pytest.fixture(scope="module")
def worked_day() -> bytes:
    return made(slate_wall())


@pytest.fixture(scope="module")
def everything() -> bytes:
    return made(full_beach())


@pytest.mark.parametrize(
    ("options", "width_mm", "height_mm"), [(A4, 210, 297), (LETTER, 215.9, 279.4)]
)
def test_a_set_sheet_is_one_leaf(options, width_mm, height_mm):
    # ISO 216 for A4, ANSI/ASME Y14.1 for US Letter.
    sheet = read(made(slate_wall(), options))
    assert len(sheet.pages) == 2
    for page in sheet.pages:
        assert float(page.mediabox.width) == pytest.approx(width_mm * POINTS_A_MM, abs=0.5)
        assert float(page.mediabox.height) == pytest.approx(height_mm * POINTS_A_MM, abs=0.5)


def test_the_front_says_what_cold_hands_need_in_their_order(worked_day):
    page = read(worked_day).pages[0]
    shown = re.sub(r"\s+", " ", page.extract_text(extraction_mode="layout")).strip()
    order = [
        "SET 2 Slate wall 14:10–15:25",
        "CHANNEL 7",
        "ONE LIVE TRIGGER",
        "STOP:",
        "thunder = stop",
        "M f/16 1/160 ISO 100 WB",
        "f/22 ISO 200",
        "KEY",
        "cord 2.0 m",
        "lamp 2.3 m up",
        "45° left of camera",
        "METER key alone",
        "all together f/16",
        "BASE MET",
        "LADDER",
        "TURNS",
        "recipe as locked",
    ]
    places = [shown.find(text) for text in order]
    assert -1 not in places, [text for text, place in zip(order, places, strict=True) if place < 0]
    assert places == sorted(places)


def test_the_correction_strip_runs_a_stop_either_way(worked_day):
    shown = words(read(worked_day).pages[0])
    # ISO 517 marks in thirds about f/11, and the camera one stop under each.
    assert "base f/8 f/9 f/10 f/11 f/13 f/14 f/16" in shown
    assert "camera f/11 f/13 f/14 f/16 f/18 f/20 f/22" in shown


def test_the_back_says_how_sure_and_from_what(worked_day):
    back = words(read(worked_day).pages[1])
    for text in (
        "m: metered on the set",
        "o: own measurement",
        "e: estimate",
        "EMERGENCY: 112 or 999",
        "Stands in the wind",
        "makers' limits, local rules",
        "Sun",
        "ND filter",
        "high-speed sync",
    ):
        assert text in back


def test_the_back_says_what_half_an_hour_late_and_another_sky_make_of_it(worked_day):
    back = words(read(worked_day).pages[1])
    plan = evaluate(slate_wall())
    for row in (*plan.late, *plan.skies):
        assert f"{row.line.working_mark} {row.line.shutter_mark}" in back
    for text in ("30 min late 14:40", "60 min late 15:10", "sun out", "cloud over", "STRIKE above"):
        assert text in back


def test_a_gust_limit_on_the_back_is_never_rounded_up(worked_day):
    stand = evaluate(slate_wall()).lights[0].stand
    back = words(read(worked_day).pages[1])
    for limit_m_s in (stand.off_above_m_s, stand.bag_holds_to_m_s):
        tenths = math.floor(limit_m_s * 10) / 10
        assert f"{tenths:g} m/s" in back


def test_every_estimate_carries_its_letter_and_spread():
    shown = words(read(made(slate_wall(readings=()))).pages[0])
    planned = re.search(r"planned f/[\d.]+ e, (±[\d.]+|\S+ to \S+) stops", shown)
    assert planned


def test_the_sheet_says_when_its_inputs_changed_and_never_when_it_was_printed(worked_day):
    sheet = read(worked_day)
    for page in sheet.pages:
        assert "Inputs last changed Sept. 10, 2026 19:30, revision 4f2a91c" in words(page)
    assert sheet.metadata.get("/CreationDate") is None
    assert sheet.metadata["/ModDate"] == "D:20260910183000Z"


def test_the_sheet_is_tagged_for_readers_without_eyes(worked_day):
    root = read(worked_day).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert b"pdfuaid" in root["/Metadata"].get_object().get_data()
    assert read(worked_day).metadata.title == "Set 2 Slate wall"


def test_headings_start_at_one_and_leave_no_gap():
    plan, inputs = evaluate(full_beach()), full_beach()
    for template, context in (
        ("set_front.html", pages.front_page(plan, inputs, A4, pages.ROOMS[-1])),
        ("set_back.html", pages.back_page(plan, inputs, A4, pages.ROOMS[-1], pages.ROOMY_BACK)),
    ):
        from django.template.loader import render_to_string

        html = render_to_string(f"sheets/{template}", context)
        levels = [int(level) for level in re.findall(r"<h([1-6])[ >]", html)]
        assert levels[0] == 1
        assert all(after <= before + 1 for before, after in pairwise(levels))
        assert all("scope=" in cell for cell in re.findall(r"<th [^>]*>|<th>", html))
        assert html.count("<svg") == html.count("<title>") - 1
        assert "display: grid" not in html


@pytest.mark.parametrize(("flip", "wish"), [("long", "LongEdge"), ("short", "ShortEdge")])
def test_the_house_says_how_the_leaf_turns_over(flip, wish):
    sheet = read(made(slate_wall(), replace(A4, flip=flip)))
    assert sheet.trailer["/Root"]["/ViewerPreferences"]["/Duplex"] == f"/DuplexFlip{wish}"


def test_only_our_fonts_are_in_the_file(everything):
    names = set()
    for page in read(everything).pages:
        for font in page["/Resources"]["/Font"].values():
            names.add(
                font.get_object()["/BaseFont"].split("+")[1].split("-")[0].replace("#20", " ")
            )
    assert names <= {"Source", "Noto"}, names


def test_the_same_inputs_give_the_same_bytes_in_another_process():
    program = (
        "import django, hashlib; django.setup()\n"
        "from tests.sheets.test_pdf import made\n"
        "from tests.sheets.example import full_beach\n"
        "print(hashlib.sha256(made(full_beach())).hexdigest())\n"
    )
    environment = {**os.environ, "PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo"}
    environment.pop("SOURCE_DATE_EPOCH", None)
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        env={**environment, "DJANGO_SETTINGS_MODULE": "workshops.settings"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.split()[-1] == hashlib.sha256(made(full_beach())).hexdigest()


def test_what_the_front_cannot_hold_goes_to_a_continued_page():
    people = tuple(
        AttendeeInputs(name=f"Attendee {n}", camera=attendees(1)[0].camera) for n in range(14)
    )
    lamps = tuple(replace(OCTA, name=f"Octa {n}", angle_deg=-45.0 - 9 * n) for n in range(5))
    sheet = read(made(slate_wall(attendees=people, lights=lamps)))
    text = [words(page) for page in sheet.pages]
    assert len(sheet.pages) >= 3
    assert "SET 2 Slate wall" in text[0]
    assert "6 more turns on the continued page" in text[0]
    assert "2 more lights on the continued page" in text[0]
    assert "lesson, how sure, what else" in text[1]
    rest = " ".join(text[2:])
    assert "continued" in text[2]
    assert all(f"Attendee {n}" in text[0] + rest for n in range(14))
    assert rest.count("METER") == 2


@pytest.mark.parametrize("stations", [("", "wall"), ("wall", ""), ("", "")])
def test_every_row_of_the_turns_has_as_many_cells_whoever_had_no_station(stations):
    # ISO 14289-1, 7.5, by ISO 32000-1, 14.8.4.3.4: a table's rows have the same number of columns.
    plan = evaluate(slate_wall(attendees=attendees(2)))
    turns = [replace(turn, station=name) for turn, name in zip(plan.turns, stations, strict=False)]
    shown = pages.front_page(replace(plan, turns=tuple(turns)), slate_wall(), A4, pages.ROOMS[0])
    html = render_to_string("sheets/set_front.html", shown)
    rota = html[html.index('<table class="rota') :].partition("</table>")[0]
    cells = [len(re.findall(r"<t[hd][ >]", row)) for row in rota.split("<tr>")[1:]]
    assert len(cells) == 3
    assert set(cells) == {7 if any(stations) else 6}


def test_a_front_that_no_room_holds_runs_on_to_a_second_side(monkeypatch):
    monkeypatch.setattr(pages, "ROOMS", (pages.Room(230.0),))  # nothing left for the words
    inputs = slate_wall()
    sheet = pdf.lay_out(evaluate(inputs), inputs, A4)
    assert len(sheet.sides) == 2
    assert sheet.page_count > 2
    assert len(PdfReader(io.BytesIO(pdf.write([sheet], A4))).pages) == sheet.page_count


def test_a_pack_starts_every_set_on_a_leaf_of_its_own():
    people = tuple(
        AttendeeInputs(name=f"Attendee {n}", camera=attendees(1)[0].camera) for n in range(24)
    )
    long = slate_wall(attendees=people)
    layouts = [pdf.lay_out(evaluate(one), one, A4) for one in (long, slate_wall())]
    sheet = read(pdf.write(layouts, A4))
    fronts = [n for n, page in enumerate(sheet.pages) if "ONE LIVE TRIGGER" in words(page)]
    assert fronts == [0, 4]
    assert "This side is free" in words(sheet.pages[3])


def set_type(page) -> list[tuple[str, float, float]]:
    """Return (text, height above the foot, type size) of each run of letters, in points."""
    runs = []

    def note(text, page_matrix, text_matrix, _font, size):
        if text.strip():
            scale = abs(page_matrix[3])
            above = page_matrix[3] * text_matrix[5] + page_matrix[5]
            runs.append((text.strip(), above, size * scale * abs(text_matrix[0])))

    page.extract_text(visitor_text=note)
    return runs


def test_the_camera_line_is_the_biggest_type(worked_day):
    runs = set_type(read(worked_day).pages[0])
    biggest = max(size for _text, _above, size in runs)
    assert biggest >= 16
    assert "f/16" in " ".join(text for text, _above, size in runs if size > biggest - 0.1)


def test_the_top_of_the_front_is_free_for_the_clip(worked_day):
    page = read(worked_day).pages[0]
    highest = max(above for _text, above, _size in set_type(page))
    assert highest <= float(page.mediabox.height) - 15 * POINTS_A_MM


def test_nothing_is_set_smaller_than_seven_points(everything):
    for page in read(everything).pages:
        assert min(size for _text, _above, size in set_type(page)) >= 7


def stops_of(inputs) -> list[str]:
    return front.stop_line(evaluate(inputs), inputs, A4.figures("Europe/London"))


def test_the_stop_line_says_from_which_gust_the_modifier_comes_off_and_where_it_falls():
    calm = replace(slate_wall().forecast, gust_m_s=4.0, wind_m_s=2.0)
    first, *_ballast, last = stops_of(slate_wall(forecast=calm))
    assert re.fullmatch(r"gust [\d.]+\sm/s = octa 90 cm off, falls toward 070", first)
    assert last == "thunder = stop"


def test_the_stop_line_says_from_which_gust_what_is_hung_is_too_little():
    # Moments by hand, light-method.md section 7: what holds grows with the ballast, so a lamp
    # with all that anybody carries hung on it asks for no more before its modifier comes off.
    calm = replace(slate_wall().forecast, gust_m_s=2.0, wind_m_s=1.0)
    light, heavy = (
        stops_of(slate_wall(forecast=calm, lights=(replace(OCTA, bag_kg=bag_kg),)))
        for bag_kg in (4.0, slate_wall().house.carry_cap_kg)
    )
    more = re.compile(r"gust ([\d.]+)\sm/s = (more ballast on )?octa 90 cm")
    off, ballast = (float(more.match(said)[1]) for said in light[:2])
    assert more.match(light[1])[2]
    assert ballast < off
    assert not [said for said in heavy if "ballast" in said]


def test_a_stand_that_keeps_its_modifier_up_to_the_limit_goes_down_at_it():
    small = replace(OCTA, face_area_m2=0.02, face_width_m=0.1, bag_kg=20.0)
    calm = replace(slate_wall().forecast, gust_m_s=2.0, wind_m_s=1.0)
    said = stops_of(slate_wall(forecast=calm, lights=(small,)))
    assert re.match(r"gust 11\sm/s = octa 90 cm down", said[0])


def test_a_gust_that_is_forecast_too_strong_takes_the_modifier_off():
    assert stops_of(slate_wall())[0].startswith("octa 90 cm OFF, gust expected 9")


def test_a_head_too_heavy_for_its_stand_is_off_without_any_forecast():
    heavy = replace(OCTA, rated_load_kg=1.0)
    said = stops_of(slate_wall(forecast=None, lights=(heavy,)))
    assert said[0].startswith("octa 90 cm OFF: head and modifier")
    assert "rated" in said[0]


def test_tide_thunder_and_head_limit_stand_in_the_stop_line():
    said = " | ".join(stops_of(full_beach(other_heads=9)))
    assert said.startswith("THUNDER FORECAST: do not rig")
    assert re.search(r"start striking \d\d:\d\d, off the shore by \d\d:\d\d", said)
    assert "permit" in said


def test_a_fill_set_is_taught_from_the_sunny_side():
    fill = slate_wall(
        job="fill", stops_under=0.0, lights=(replace(OCTA, role="fill", target_stops=-1.0),)
    )
    text = words(read(made(fill)).pages[1])
    assert "meter on the sunny side" in text
    assert "meter at the backdrop" not in text
