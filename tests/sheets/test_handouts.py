"""Handouts: the day's pages made once, an own page for each, the locked before the planned."""

import io
import re
from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from PIL import Image
from pypdf import PdfReader

from planning.physics.exposure import parse_f_mark, parse_shutter_mark
from planning.plan import evaluate
from planning.plan.equivalents import Recipe, hot_shoe, own_settings
from planning.plan.inputs import PointInputs
from planning.sheets.handout import (
    Day,
    Mine,
    OwnSet,
    Picture,
    Shot,
    TaughtSet,
    handout_pdf,
    lesson_sides,
    picture_address,
)
from planning.sheets.options import PrintOptions
from tests.sheets.example import attendees, full_beach, slate_wall

A4 = PrintOptions(house="Slate & Tide")
LETTER = replace(A4, paper="letter", units="imperial", clock="12")
HOSTILE = "<script>alert(1)</script> file:///etc/passwd " + "y" * 3000 + " مرحبا 🌊"
LOCKED_AT = datetime(2026, 9, 17, 14, 40, tzinfo=ZoneInfo("Europe/London"))


def recipe(inputs, plan, **changes) -> Recipe:
    key = plan.lights[0]
    given = {
        "f_number": plan.exposure.working_f_number,
        "shutter_s": plan.exposure.start_s,
        "iso": plan.exposure.iso,
        "focal_mm": inputs.focal_mm,
        "sensor_width_mm": 36.0,
        "sensor_height_mm": 24.0,
        "key_alone_f_number": key.reading_f_number,
        "key_distance_m": key.distance_m,
    }
    return Recipe(**given | changes)


def taught(inputs, *, locked_at=None, powers=(), **changes) -> TaughtSet:
    plan = evaluate(inputs)
    return TaughtSet(plan, inputs, Shot(recipe(inputs, plan, **changes), powers, locked_at))


def a_day(*sets, **more) -> Day:
    return Day("Light in the quarry", "17 September 2026", "Europe/London", sets, **more)


def mine(day, person, name="Chiara") -> Mine:
    rows = tuple(
        OwnSet(
            one.inputs.set_index + 1,
            one.plan.set.title,
            own_settings(one.shot.recipe, person.camera),
            hot_shoe(one.shot.recipe),
        )
        for one in day.taught
    )
    return Mine(name, person.camera.name, rows)


def read(content: bytes) -> tuple[int, str]:
    reader = PdfReader(io.BytesIO(content))
    text = " ".join(page.extract_text() for page in reader.pages)
    return len(reader.pages), re.sub(r"\s+", " ", text)


@pytest.fixture(scope="module")
def quarry() -> Day:
    points = (PointInputs(code="one-under"),)
    return a_day(
        taught(slate_wall(points=points)),
        taught(full_beach()),
        credits=("model: Maud",),
        terms="Portfolio and club, no sale.",
    )


@pytest.mark.parametrize("options", [A4, LETTER])
def test_a_handout_opens_with_the_own_page(quarry, options):
    chiara = attendees(3)[2]  # lowest ISO 200
    pages, text = read(
        handout_pdf(mine(quarry, chiara), quarry, options, lesson_sides(quarry, options))
    )
    assert pages >= 3
    assert text.index("Chiara") < text.index("Why it works")
    # An ISO floor of 200 closes one stop from the recipe's own mark: the plan's body line agrees.
    line = next(
        one for one in quarry.taught[0].plan.exposure.own_lines if one.attendee == chiara.name
    )
    assert f"{line.f_mark} " in text
    assert "your lowest ISO" in text
    assert "Portfolio and club, no sale." in text
    assert "model: Maud" in text


def test_the_pages_of_the_sets_are_the_same_for_everybody(quarry):
    sides = lesson_sides(quarry, A4)
    assert sides == lesson_sides(quarry, A4)
    people = attendees(2)
    texts = [read(handout_pdf(mine(quarry, one, one.name), quarry, A4, sides)) for one in people]
    cut = [text[text.index("Set 2:") :] for _pages, text in texts]
    assert cut[0] == cut[1]


def test_what_was_locked_is_told_before_what_was_planned():
    locked = taught(
        slate_wall(),
        locked_at=LOCKED_AT,
        f_number=parse_f_mark("13"),
        shutter_s=parse_shutter_mark("1/100"),
        powers=(("Octa", 0.125),),
    )
    day = a_day(locked)
    _pages, text = read(handout_pdf(mine(day, attendees(1)[0]), day, A4, lesson_sides(day, A4)))
    assert "As locked on the set at 14:40" in text
    assert "f/13 1/100" in text
    assert f"Planned was {locked.plan.exposure.working_mark}" in text
    assert "1/8" in text


def test_of_what_was_locked_as_planned_no_plan_is_told():
    planned = taught(slate_wall())
    key = planned.plan.lights[0]
    other = 0.5 if key.set_power < 0.4 else 0.125
    powers = taught(slate_wall(), locked_at=LOCKED_AT, powers=((key.name, other),))
    text = own_words(powers)
    assert f"Planned was {key.name} {key.power_mark}." in text  # and not the camera's line again
    same = taught(slate_wall(), locked_at=LOCKED_AT, powers=((key.name, key.set_power),))
    assert "Planned was" not in own_words(same)


def test_a_locked_power_is_told_on_the_scale_of_its_head():
    lights = (replace(slate_wall().lights[0], power_scale="ten", power_step_stops=0.1),)
    locked = taught(
        slate_wall(lights=lights), locked_at=LOCKED_AT, powers=((lights[0].name, 0.25),)
    )
    assert "8.0" in own_words(locked)  # two stops below 10.0


def test_a_name_with_an_ampersand_or_an_apostrophe_is_printed_as_it_is():
    day = a_day(credits=("pictures: O'Hara & Sons",))
    _pages, text = read(handout_pdf(mine(day, attendees(1)[0]), day, A4, ()))
    assert "O'Hara & Sons" in text


def own_words(locked: TaughtSet) -> str:
    day = a_day(locked)
    return read(handout_pdf(mine(day, attendees(1)[0]), day, A4, lesson_sides(day, A4)))[1]


def test_without_a_lock_the_plan_stands_and_says_so(quarry):
    _pages, text = read(
        handout_pdf(mine(quarry, attendees(1)[0]), quarry, A4, lesson_sides(quarry, A4))
    )
    assert "As planned: nobody locked another recipe" in text


def test_somebody_without_a_camera_is_told_what_to_look_up(quarry):
    nobody = Mine("Hal", "", ())
    _pages, text = read(handout_pdf(nobody, quarry, A4, lesson_sides(quarry, A4)))
    assert "lowest ISO in the manual" in text


def test_hostile_texts_are_words_on_paper():
    day = a_day(
        taught(slate_wall(title=HOSTILE, backdrop=HOSTILE, objective=HOSTILE)),
        credits=(HOSTILE,),
        terms=HOSTILE,
    )
    person = Mine(HOSTILE, HOSTILE, mine(day, attendees(1)[0]).sets)
    _pages, text = read(handout_pdf(person, day, A4, lesson_sides(day, A4)))
    assert "<script>" in text


def test_pictures_stand_in_the_handout_with_whose_they_are():
    out = io.BytesIO()
    Image.new("RGB", (400, 300), "grey").save(out, "JPEG")
    picture = Picture(picture_address(out.getvalue()), "Ines Varga", "The coat against the wall")
    day = a_day(replace(taught(slate_wall()), pictures=(picture,)))
    content = handout_pdf(mine(day, attendees(1)[0]), day, A4, lesson_sides(day, A4))
    _pages, text = read(content)
    assert "© Ines Varga" in text
    assert any(page.images for page in PdfReader(io.BytesIO(content)).pages)
