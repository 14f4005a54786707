"""The lesson filled with a set's figures: worked day of the light method, house units, language."""

import re
from dataclasses import replace
from functools import lru_cache

import pytest
from django.utils.translation import override

from planning.figures import Figures
from planning.lesson.figure_names import NAMES
from planning.lesson.points import POINTS
from planning.lesson_figures import lesson_figures
from planning.lesson_text import lesson, objective
from planning.physics.exposure import parse_f_mark, parse_shutter_mark
from planning.physics.sun import Place
from planning.plan import evaluate
from planning.plan.inputs import PointInputs
from tests.planning import day
from tests.sheets.example import FILL, OCTA, full_beach, slate_wall

SAY = Figures(timezone="Europe/London")


plan_of = lru_cache(evaluate)


def figures_of(inputs, say=SAY) -> dict[str, str | None]:
    shown = lesson_figures(plan_of(inputs), inputs, say)
    return {
        name: value and value.replace("\N{NO-BREAK SPACE}", " ") for name, value in shown.items()
    }


def lesson_of(inputs, *codes: str, say=SAY):
    taught = replace(inputs, points=tuple(PointInputs(code) for code in codes))
    return lesson(plan_of(inputs), taught, say)


def words(point) -> str:
    said = [point.objective, *point.demo, *point.task, *point.vary, *point.critique, point.exercise]
    said += [f"{fault.seen}: {fault.cure}" for fault in point.faults]
    return " ".join(said).replace("\N{NO-BREAK SPACE}", " ")


def test_the_worked_day_gives_its_own_figures():
    # light-method.md section 13, "Same sun": wall and model both incident f/11 at 1/160, one
    # under; octa 0.9 m, f/22 at full at 2.0 m: working f/16, flash alone f/11.3, power 1/4;
    # the face rises by 2.17 stops over three doublings.
    shown = figures_of(day.SET)
    assert shown["base"] == "f/11"  # metered: no "about"
    assert shown["under"] == "1 stop"
    assert shown["working"] == "f/16"
    assert shown["key_alone"] == "f/11"
    assert shown["power"] == "about 1/4"
    assert shown["distance"] == "2.0 m"
    assert shown["start"] == shown["sync"] == "1/160"


def test_the_lesson_says_what_the_issue_asks_for():
    # "set f/16, meter the strobe to f/16, expect about 1/4 power at 2.0 m"
    (point,) = lesson_of(day.SET, "one-under")
    text = words(point)
    assert "set f/16" in text
    assert "it must show f/16" in text
    assert "expect about 1/4 at 2.0 m" in text


def test_half_and_twice_the_cord_follow_the_near_field_law():
    # A face 0.9 m wide falls as 1/(d2 + 0.45 m squared), light-method.md 2.8: quarter power at
    # 2 m is 0.25 x 1.2025/4.2025 = 0.0715 at 1 m (1/16 +0.3 is 0.0787, 1/16 is 0.0625), and
    # 0.25 x 16.2025/4.2025 = 0.964 at 4 m, which is full.
    shown = figures_of(day.SET)
    assert (shown["half_distance"], shown["half_power"]) == ("1.0 m", "about 1/16 +0.3")
    assert (shown["double_distance"], shown["double_power"]) == ("4.0 m", "about 1/1")


def test_a_head_that_runs_out_names_no_power_and_the_line_says_why():
    weak = replace(day.SET, lights=(replace(day.OCTA, guide_number_m=24.0),))
    assert figures_of(weak)["double_power"] is None
    (point,) = lesson_of(weak, "distance")
    # f/11.3 at 2 m takes (22.6 / 24)^2 = 0.889 of full, at 4 m 16.2025 / 4.2025 times that,
    # 3.43: log2 of it is 1.8 stops more than there is.
    assert figures_of(weak)["double_short"] == "1.8 stops"
    told = next(line for line in point.demo if "this head runs out" in line)
    assert told.replace("\N{NO-BREAK SPACE}", " ").startswith("Twice the cord, 4.0 m")


def test_a_lamp_that_stays_off_keeps_its_place_and_is_not_called_weak():
    # The face in the open, the backdrop in the shade: the light there is more than enough.
    bright = replace(
        day.SET,
        readings=(
            day.reading("incident", "backdrop", "f/8"),
            day.reading("incident", "face", "f/16"),
        ),
    )
    assert plan_of(bright).lights[0].power_mark == "off"
    shown = figures_of(bright)
    assert (shown["distance"], shown["double_distance"]) == ("2.0 m", "4.0 m")
    assert (shown["power"], shown["double_power"], shown["double_short"]) == (None, None, None)
    for code in ("distance", "two-people"):
        (point,) = lesson_of(bright, code)
        assert "this head" not in words(point)
        assert "{" not in words(point)
    assert "the cord to each nose: 2.0 m" in words(lesson_of(bright, "two-people")[0])


def test_a_ratio_that_stays_is_not_said_to_go_from_itself_to_itself():
    bright = replace(
        day.SET,
        readings=(
            day.reading("incident", "backdrop", "f/8"),
            day.reading("incident", "face", "f/16"),
        ),
    )
    text = words(lesson_of(bright, "shutter-trims")[0])
    assert not re.search(r"from (\S+:1) to \1", text)
    assert "it rises by" in text


def test_no_line_names_an_aperture_that_is_not_the_sets_own():
    # On a set at f/4 "f/5.6 may be enough" would close the lens that is to be opened.
    (point,) = lesson_of(replace(day.SET, wanted_f_number=2.8), "hss-or-nd")
    assert "f/5.6" not in words(replace(point, exercise=""))


def test_a_head_that_cannot_go_so_low_names_no_power():
    strong = replace(day.SET, lights=(replace(day.OCTA, least_power=1 / 4),))
    assert figures_of(strong)["half_power"] is None


def test_what_is_estimated_says_about_until_it_is_metered():
    guessed = replace(day.SET, readings=())
    shown = figures_of(guessed)
    assert shown["base"].startswith("about f/")
    assert shown["face"].startswith("about f/")
    assert figures_of(day.SET)["face"] == "f/11"


def test_a_second_face_is_darker_by_the_same_law():
    # 2 log2 of sqrt((2.5^2 + 0.45^2)/(2.0^2 + 0.45^2)) is 0.62 stops.
    assert figures_of(day.SET)["second_face"] == "−0.6"


def test_more_stops_under_are_said_as_more():
    one, two = (figures_of(replace(day.SET, stops_under=stops)) for stops in (1.0, 2.0))
    assert (one["under"], two["under"]) == ("1 stop", "2 stops")
    assert (one["working"], two["working"]) == ("f/16", "f/22")


def test_nothing_under_says_no_stops_at_all():
    none = replace(day.SET, stops_under=0.0)
    assert figures_of(none)["under"] is None
    (point,) = lesson_of(none, "one-under")
    assert "set the camera by it" in point.objective


def test_a_house_of_feet_and_inches_reads_feet_and_inches():
    (point,) = lesson_of(day.SET, "distance", say=replace(SAY, units="imperial"))
    assert "6 ft 7 in" in words(point)
    assert not re.search(r"\d m\b", " ".join(point.demo).replace("\N{NO-BREAK SPACE}", " "))


def test_the_other_language_has_its_own_decimal_mark():
    with override("es"):
        assert figures_of(day.SET)["distance"] == "2,0 m"


@pytest.mark.parametrize("inputs", [day.SET, slate_wall(), full_beach()], ids=lambda one: one.title)
@pytest.mark.parametrize("point", POINTS, ids=lambda point: point.code)
def test_every_point_can_be_taught_on_every_set(inputs, point):
    (shown,) = lesson_of(inputs, point.code)
    text = words(shown)
    assert not [stray for stray in ("{", "—", " | ", "None") if stray in text]
    assert min(len(shown.demo), len(shown.faults)) >= 3


def test_the_figures_are_the_documented_ones():
    for inputs in (day.SET, slate_wall(), full_beach()):
        assert list(figures_of(inputs)) == list(NAMES)


def test_the_side_of_the_sun_is_the_other_one_in_the_southern_hemisphere():
    # At noon the sun stands in the south at 51 N and in the north at 34 S (any almanac); a camera
    # that faces east has it on its right there, on its left here.
    noon = day.START.replace(month=3, hour=12, minute=0)
    sides = {}
    for name, latitude_deg in (("north", 51.0), ("south", -34.0)):
        location = replace(day.SET.location, place=Place(latitude_deg, 0.0))
        inputs = replace(
            day.SET,
            location=location,
            camera_facing_deg=90.0,
            start_at=noon,
            end_at=noon.replace(minute=50),
            readings=(),
        )
        sides[name] = figures_of(inputs)["sun_side"]
    assert sides == {"north": "right", "south": "left"}


def test_a_fill_set_is_told_from_the_sunny_side():
    fill = replace(
        day.SET,
        job="fill",
        stops_under=0.0,
        readings=(),
        lights=(replace(day.OCTA, role="fill", target_stops=-1.0),),
    )
    shown = figures_of(fill)
    assert shown["how_base"] == "meter on the sunny side of the face"
    assert shown["day_ratio"]
    assert figures_of(day.SET)["day_ratio"] is None
    (point,) = lesson_of(fill, "ratio")
    assert point.demo[0].startswith("Lamp off: daylight alone is")


def test_a_fill_beside_the_key_is_named_with_its_reading():
    inputs = slate_wall(lights=(OCTA, FILL))
    assert figures_of(inputs)["fill"] == FILL.modifier
    assert figures_of(slate_wall())["fill"] is None


def test_the_way_to_the_wide_aperture_has_its_glass_and_its_price():
    shown = figures_of(slate_wall())  # wants f/2.8 from f/16: five stops, ND 2 and 3 in the bag
    assert (shown["wide"], shown["nd"]) == ("f/2.8", "5 stops")
    assert figures_of(slate_wall(wanted_f_number=None))["wide"] is None


def test_a_gel_tells_its_loss_as_it_is_written_on_it():
    # Light-method.md 2.10: a quarter CTO costs 0.25 stop.
    gelled = replace(day.OCTA, gel="1/4 CTO", gel_loss_stops=0.25, gel_shift_mired=42.0)
    shown = figures_of(replace(day.SET, lights=(gelled,)))
    assert shown["gel_loss"] == "0.25 stop"
    # 5500 K is 181.8 mired; 42 more is 223.8 mired, 4468 K, to the nearest hundred 4500.
    assert shown["flash_k"] == "4500"


def test_the_house_says_a_part_in_its_own_words_with_the_figures_in_them():
    own = PointInputs("one-under", demo="Set {working}.\n\nThen {nd} of glass. | Then no glass.")
    inputs = replace(day.SET, points=(own,))
    (shown,) = lesson(evaluate(inputs), inputs, SAY)
    assert shown.demo == ("Set f/16.", "Then no glass.")
    assert shown.name == "Base reading and one under"  # every other part is the library's
    assert shown.exercise


def test_a_fault_without_a_cure_is_shown_whole():
    own = PointInputs("", name="Ours", objective="See it.", faults="No colon here\nDark: nearer")
    inputs = replace(day.SET, points=(own,))
    (shown,) = lesson(evaluate(inputs), inputs, SAY)
    assert [(one.seen, one.cure) for one in shown.faults] == [
        ("No colon here", ""),
        ("Dark", "nearer"),
    ]
    assert (shown.demo, shown.exercise) == ((), "")


def test_the_point_gives_the_objective_only_where_the_set_has_none():
    taught = replace(day.SET, points=(PointInputs("depth"),), objective="")
    assert objective(evaluate(taught), taught, SAY).startswith("Choose how much of the place")
    own = replace(taught, objective="Ours.")
    assert objective(evaluate(own), own, SAY) == "Ours."
    assert objective(evaluate(day.SET), replace(day.SET, objective=""), SAY) == ""


def test_another_reading_is_another_lesson():
    def base(mark: str):
        return replace(
            day.SET,
            readings=(
                day.reading("incident", "backdrop", mark),
                day.reading("incident", "face", mark),
            ),
        )

    before, after = (words(lesson_of(base(mark), "one-under")[0]) for mark in ("f/11", "f/8"))
    # One stop less light: one stop wider base and camera (ISO 2720's scale of marks).
    assert re.search("expect f/11 at 1/160.*set f/16", before)
    assert re.search("expect f/8 at 1/160.*set f/11", after)


def test_shutters_and_apertures_stand_as_cameras_write_them():
    shown = figures_of(day.SET)
    assert parse_f_mark(shown["working"]) == pytest.approx(16.0)
    assert parse_shutter_mark(shown["start"]) == pytest.approx(1 / 161.3, rel=0.01)  # exact third


def test_the_backdrop_stands_on_the_scale_of_the_cloth():
    # Light-method.md 2.5: what was spotted and placed a stop over mid-grey stands, one under, on
    # mid-grey; three shutters twice as long each bring it three stops up.
    shown = figures_of(slate_wall(base_kind="spot", placement_stops=1.0, stops_under=1.0))
    steps = plan_of(slate_wall(base_kind="spot", placement_stops=1.0)).exposure.ladder
    assert float(shown["backdrop_first"].replace("−", "-")) == pytest.approx(0.0, abs=0.35)
    rise = float(shown["backdrop_last"]) - float(shown["backdrop_first"].replace("−", "-"))
    assert rise == pytest.approx(len(steps) - 1, abs=0.3)
    (point,) = lesson_of(slate_wall(base_kind="spot", placement_stops=1.0), "dark-on-bright")
    assert f"the backdrop with it to {shown['backdrop_last']}." in words(point)


def test_a_falling_sky_names_what_the_last_turn_is_shot_with():
    # The sheet's schedule is the other place that says it: the last turn's row, not the set's end.
    start = day.START.replace(month=9, day=18, hour=18, minute=38)
    location = replace(day.SET.location, place=Place(56.0, -3.0))
    dusk = replace(
        slate_wall(base_kind="sky", placement_stops=0.0),
        location=location,
        start_at=start,
        end_at=start.replace(hour=19, minute=30),
        readings=(),
        attendees=slate_wall().attendees[:3],
        highest_iso=1600.0,
        rig_min=4.0,
        brief_min=1.0,
        demo_min=1.0,
        turn_min=1.5,
        changeover_min=0.5,
    )
    plan = plan_of(dusk)
    last = max(turn.start_at for turn in plan.turns)
    row = next(row for row in plan.exposure.schedule if row.at == last)
    assert row.mark != plan.exposure.schedule[-1].mark
    shown = figures_of(dusk)["last_shutter"]
    assert shown.split(", ")[0] == row.mark
    assert ("ISO" in shown) is (row.iso != plan.exposure.iso)
    (point,) = lesson_of(dusk, "last-light")
    assert f"{shown} for the last" in words(point)


def test_a_sky_that_falls_until_hands_give_out_is_not_told_that_the_iso_stays():
    start = day.START.replace(month=9, day=18, hour=19, minute=8)
    dusk = replace(
        slate_wall(base_kind="sky", placement_stops=0.0),
        location=replace(day.SET.location, place=Place(56.0, -3.0)),
        start_at=start,
        end_at=start.replace(hour=20),
        readings=(),
        attendees=slate_wall().attendees[:3],
        highest_iso=1600.0,
        rig_min=4.0,
        brief_min=1.0,
        demo_min=1.0,
        turn_min=10.0,
        changeover_min=0.5,
    )
    raised = [row.iso for row in plan_of(dusk).exposure.schedule]
    assert raised[0] < raised[-1]
    (point,) = lesson_of(dusk, "last-light")
    assert not re.search(r"ISO \d+ stays?\b", words(point))
    assert re.search(r"1/160 at ISO 100 now, 1/\d+, ISO 400 for the last", words(point))


def test_a_lesson_of_too_many_lines_says_how_many_it_leaves_out():
    long = PointInputs(code="", name="Own", demo="- step\n\n" * 12_000, task="W" * 50_000)
    inputs = slate_wall(points=(long,))
    (shown,) = lesson(plan_of(inputs), inputs, SAY)
    assert shown.demo[-1] == "…(11960 lines more, see the record)"
    assert len(shown.demo) == 41
    assert shown.task[0].endswith("W…(49200 characters more, see the record)")
