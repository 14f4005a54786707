"""The back of the set sheet: the lesson first and large, one leaf where it can be, nothing lost."""

import io
import re
from dataclasses import replace
from datetime import timedelta

import pytest
from pypdf import PdfReader

from planning.figures import Figures
from planning.plan import evaluate
from planning.plan.inputs import GivenTurnInputs, LearnedInputs, PointInputs
from planning.sheets import back, late, pages, pdf
from planning.sheets.options import PrintOptions
from tests.planning import day
from tests.sheets.example import (
    FILL,
    NAMES,
    OCTA,
    RIM,
    attendees,
    full_beach,
    slate_wall,
    three_lights,
)
from tests.sheets.test_pdf import set_type

A4 = PrintOptions(house="Slate & Tide")
LETTER = replace(A4, paper="letter", units="imperial", clock="12")
LEAST_POINTS, LEAST_LESSON_POINTS = 8.0, 9.0  # read at arm's length: common practice, no source


def printed(inputs, options=A4) -> PdfReader:
    plan = evaluate(inputs)
    sheet = pdf.lay_out(plan, inputs, options)
    return PdfReader(io.BytesIO(pdf.write([sheet], options)))


def words(sheet: PdfReader) -> str:
    return " ".join(re.sub(r"\s+", " ", page.extract_text()) for page in sheet.pages[1:])


def at_the_water(**changes):
    """Every caution of the shore, words in every field, and a wider aperture asked for."""
    shore = full_beach()
    hazards = (
        "Loose stone at the foot of the wall; deep water behind the weir; the track floods after "
        "a day of rain; no shelter nearer than the car park."
    )
    given = {
        "location": replace(shore.location, hazards=hazards),
        "tide": shore.tide,
        "gap_behind_m": None,
        "base_kind": "sky",
        "placement_stops": 1.0,
        "forecast": replace(shore.forecast, gust_m_s=9.0, thunder=False),
        "points": (PointInputs("one-under"),),
    }
    return three_lights(**{**given, **changes})


def in_still_air(**changes):
    """Each stand with two gusts of its own: the stop list is longer than on a windy day."""
    forecast = replace(slate_wall().forecast, sky="clear", wind_m_s=3.0, gust_m_s=5.0)
    return three_lights(forecast=forecast, points=(PointInputs("gels"),), **changes)


@pytest.mark.parametrize("options", [A4, replace(LETTER, language="es")], ids=["a4", "spanish"])
@pytest.mark.parametrize("full", [three_lights, at_the_water, in_still_air])
def test_three_lights_and_eight_attendees_stay_on_one_leaf(full, options):
    sheet = printed(full(), options)
    assert len(sheet.pages) == 2
    sizes = [size for page in sheet.pages for text, _above, size in set_type(page) if text.strip()]
    assert min(sizes) >= LEAST_POINTS - 0.05
    front = sheet.pages[0].extract_text()
    turns = [line for line in front.splitlines() if "Simple" in line]
    assert [name for name in NAMES if not any(name in line for line in turns)] == []


def test_the_fullest_back_says_where_the_rest_stands():
    inputs = at_the_water()
    options = replace(LETTER, language="es")
    plan = evaluate(inputs)
    with pages.in_language(options):
        context = [
            pages.back_page(plan, inputs, options, pages.ROOMS[3], room)
            for room in (pages.ROOMY_BACK, pages.SMALLER_BACKS[-1])
        ]
    whole, bare = ({one.code for one in page["cautions"]} for page in context)
    # What gives way is told whole elsewhere on the leaf: the stands' table and under the turns.
    assert whole - bare <= {"over-run", "wind-hold", "wind-modifier-off", "wind-strike"}
    assert whole - bare
    told = {line.light.stand.verdict for line in context[1]["stands"]}
    assert {code.removeprefix("wind-").replace("-", " ") for code in whole - bare} - {
        "over run"
    } <= told
    assert pages.front_page(plan, inputs, options, pages.ROOMS[3])["over_run"]
    # Where no gust is known the table has none to show, and the caution stays.
    unknown = at_the_water(forecast=replace(inputs.forecast, gust_m_s=None, wind_m_s=None))
    plan = evaluate(unknown)
    page = pages.back_page(plan, unknown, A4, pages.ROOMS[3], pages.SMALLER_BACKS[-1])
    assert "wind-no-forecast" in {one.code for one in page["cautions"]}


def test_the_lesson_is_set_no_smaller_than_it_can_be_read():
    sizes = [room.lesson_points for room in (pages.ROOMY_BACK, *pages.SMALLER_BACKS)]
    assert min(sizes) >= LEAST_LESSON_POINTS
    sheet = printed(three_lights())
    task = [
        size for text, _above, size in set_type(sheet.pages[1]) if "Write your sentence" in text
    ]
    assert task
    assert min(task) >= LEAST_LESSON_POINTS - 0.05


def test_the_lesson_comes_before_every_table():
    shown = words(printed(slate_wall(points=(PointInputs("one-under"),))))
    order = [
        "EMERGENCY",
        "Lesson: Base reading and one under",
        "Demonstration, 10 min",
        "Task, 5 min each",
        "Exercise for home",
        "Late, or other sky",
        "Stands in the wind",
        "Cautions",
        "How sure",
    ]
    places = [shown.find(text) for text in order]
    assert -1 not in places, order[places.index(-1)]
    # Two columns: faults and exercise may be read before or after, tables never before them.
    assert places == sorted(places)


def test_a_set_without_a_point_has_the_method_in_numbers_and_the_common_faults():
    shown = words(printed(slate_wall()))
    assert "Flash off, meter at the backdrop" in shown
    assert "Dark band along one edge" in shown
    assert "Lesson:" not in shown


def test_the_point_s_own_faults_take_the_place_of_the_common_ones():
    shown = words(printed(slate_wall(points=(PointInputs("one-under"),))))
    assert "All of it a stop off:" in shown
    assert "No flash: channel, battery of the trigger" not in shown


def test_a_second_point_is_told_in_short():
    both = (PointInputs("one-under"), PointInputs("depth"))
    shown = words(printed(slate_wall(points=both)))
    assert "In passing: Depth of field outdoors" in shown
    assert "One picture that needs the place" in shown  # its task
    assert "A fence, taken along its length" not in shown  # not its exercise


def test_what_does_not_fit_runs_on_and_nothing_of_it_is_lost():
    long = PointInputs(
        "", name="Ours", objective="See.", demo="\n".join(["A long step. " * 18] * 9)
    )
    sheet = printed(full_beach(points=(long,)))
    shown = words(sheet)
    assert len(sheet.pages) >= 3
    assert shown.count("A long step.") == 18 * 9
    for text in ("Stands in the wind", "Heads and packs", "Sun", "Tones", "How sure", "Cautions"):
        assert text in shown


def test_a_front_of_endless_names_sends_turns_on_before_lamps_and_never_the_thunder():
    people = tuple(
        replace(one, name=f"{one.name} Konstanze von und zu Hohenlüfte-Überlingenhausen"[:60])
        for one in attendees(8)
    )
    inputs = three_lights(attendees=people, title="Ñandúes_y_pingüinos_" * 3)
    sheet = printed(inputs, replace(LETTER, language="es"))
    front, rest = sheet.pages[0].extract_text(), words(sheet)
    assert len(sheet.pages) == 3
    assert [name for name in ("octa", "umbrella", "deep reflector") if name not in front] == []
    assert "trueno = parar" in front
    begins = [line for line in front.splitlines() if "Simple" in line]
    assert 4 <= len(begins) < 8
    assert [one for one in NAMES if one not in front and one not in rest] == []


def test_a_short_back_says_what_gave_way():
    inputs = three_lights()
    short = pages.back_page(
        evaluate(inputs), inputs, A4, pages.ROOMS[0], pages.BackRoom(9.0, 8.0, 0.7, short=True)
    )
    assert short["sun"] == []
    assert "they gave way here" in words(printed(inputs))


def numbers_of(inputs) -> str:
    return " ".join(back.number_lines(evaluate(inputs), inputs, Figures()))


def test_numbers_speak_of_the_lamp_that_lights_the_face():
    fill = replace(FILL, angle_deg=-30)
    assert "the key's spill" in numbers_of(slate_wall(lights=(OCTA, FILL)))
    filled = numbers_of(slate_wall(job="fill", stops_under=0.0, lights=(fill,)))
    assert "key" not in filled
    assert "or more behind gets the fill three stops weaker than the face." in filled


def test_numbers_tell_no_gap_behind_of_a_lamp_that_stands_there_itself():
    assert "or more behind" not in numbers_of(slate_wall(job="rim", lights=(RIM,)))


@pytest.mark.parametrize("changes", [{}, {"wanted_f_number": None}])
def test_flashes_say_what_they_count(changes):
    # 10 % of meter and test pops are in the flashes of a set, the draw between flashes in their
    # share of a pack; the flashes a pack gives are told without either.
    sheet = words(printed(slate_wall(**changes)))
    assert "test pops too" in sheet
    assert "idling too" in sheet
    assert sheet.count("flashes a pack") == sheet.count("flashes a pack without idling")


def test_a_finished_set_owes_nobody_a_turn_when_it_is_late():
    people = attendees(3)
    given = tuple(
        GivenTurnInputs(one.name, day.START + timedelta(minutes=20 + 6 * n))
        for n, one in enumerate(people)
    )
    inputs = slate_wall(attendees=people, given=given)
    strip = late.strip(evaluate(inputs), A4.figures("Europe/London"))
    turns = dict(strip.rows)["turns that fit, over by"]
    assert turns[:3] == ("3", "none left to give", "none left to give")
    owed = late.strip(evaluate(replace(inputs, given=given[:2])), A4.figures("Europe/London"))
    assert "of 1" in dict(owed.rows)["turns that fit, over by"][1]


def test_what_happens_alike_in_two_columns_is_said_once_and_begins_with_a_capital():
    strip = late.strip(evaluate(at_the_water()), A4.figures("Europe/London"))
    told = [line for line in strip.lines if "striking must have begun" in line]
    assert len(told) == 1
    assert told[0].startswith("30 min late, 60 min late: ")
    assert all(line[0].isdigit() or line[0].isupper() for line in strip.lines)


def test_own_figures_begin_with_a_capital():
    own = LearnedInputs(within_stops=0.3, readings=9, days=4)
    inputs = slate_wall(frames_own=own, turn_own=own, points=(PointInputs("one-under"),))
    plan = evaluate(inputs)
    figures = [str(row.figure) for row in plan.own if not row.of_lamp]
    assert figures
    page = pages.back_page(plan, inputs, A4, pages.ROOMS[0], pages.ROOMY_BACK)
    shown = pdf.side("sheets/set_back.html", page, "").html
    for figure in figures:
        assert f" {figure[0].upper()}{figure[1:]} " in shown
