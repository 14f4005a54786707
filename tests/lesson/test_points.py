"""The library of teaching points, and how a line is filled: no plan, no Django."""

import string

import pytest

from planning.lesson.figure_names import NAMES, WAYS, filled, unknown
from planning.lesson.points import LIBRARY, PARTS, POINTS

LEAST_POINTS = 14  # asked for by the brief of this part
# Lines a back of a sheet holds, and letters a line may have: two columns of 9.5 points, measured.
ROOM = {
    "objective": (1, 1),
    "demo": (3, 6),
    "task": (2, 4),
    "vary": (2, 4),
    "faults": (3, 5),
    "critique": (3, 4),
    "exercise": (1, 1),
}
MOST_LETTERS_A_WAY = 290
# What every plan has; a set may lack a lamp, a sun, a ladder, cloth, a backdrop.
CAMERA = dict.fromkeys(("how_base", "base", "working", "start", "sync", "iso"), "as planned")


def ways(point) -> list[tuple[str, str]]:
    """Return every way of every line, with the part it stands in."""
    return [
        (part, way) for part in PARTS for line in getattr(point, part) for way in line.split(WAYS)
    ]


def test_there_are_enough_points_and_no_code_twice():
    assert len(POINTS) >= LEAST_POINTS
    assert len(LIBRARY) == len(POINTS) == len({point.name for point in POINTS})


@pytest.mark.parametrize("point", POINTS, ids=lambda point: point.code)
def test_a_point_has_every_part_and_a_back_holds_it(point):
    for part, (least, most) in ROOM.items():
        assert least <= len(getattr(point, part)) <= most, part
    assert max(len(way) for _part, way in ways(point)) <= MOST_LETTERS_A_WAY


@pytest.mark.parametrize("point", POINTS, ids=lambda point: point.code)
def test_a_point_asks_only_for_figures_there_are(point):
    assert [list(unknown(way)) for _part, way in ways(point)] == [[]] * len(ways(point))
    # Django's own formatter finds the same names, so a translator's tools will too.
    asked = {
        name
        for _part, way in ways(point)
        for _text, name, _spec, _how in string.Formatter().parse(way)
        if name is not None
    }
    assert asked <= set(NAMES)


@pytest.mark.parametrize("point", POINTS, ids=lambda point: point.code)
def test_each_fault_names_its_cure(point):
    for line in point.faults:
        for way in line.split(WAYS):
            seen, mark, cure = way.partition(": ")
            assert all((seen, mark, cure)), way


@pytest.mark.parametrize("point", POINTS, ids=lambda point: point.code)
def test_a_set_of_a_camera_and_nothing_else_still_has_a_whole_lesson(point):
    shown = {part: [filled(line, CAMERA) for line in getattr(point, part)] for part in PARTS}
    assert all([*shown["objective"], *shown["exercise"], *shown["critique"]])
    assert len([line for line in shown["demo"] if line]) >= 2
    assert [line for line in shown["task"] if line]
    assert "{" not in str(shown.values())


def test_every_name_is_asked_for_or_offered_and_has_its_meaning():
    assert all(name.isidentifier() and meaning for name, meaning in NAMES.items())
    asked = " ".join(way for point in POINTS for _part, way in ways(point))
    for_the_house = {name for name in NAMES if "{" + name + "}" not in asked}
    assert for_the_house <= {"backdrop", "lamp_height"}


def test_a_line_is_filled_and_otherwise_left_out():
    figures = {"working": "f/16", "base": None}
    assert filled("Set {working}.", figures) == "Set f/16."
    assert filled("Expect {base}.", figures) == ""
    assert filled("No figure.", figures) == "No figure."


def test_the_first_way_that_lacks_nothing_is_said():
    line = "At {half_distance} {half_power}. | At {half_distance}. | Nearer."
    assert filled(line, {"half_distance": "1.0 m", "half_power": "1/16"}) == "At 1.0 m 1/16."
    assert filled(line, {"half_distance": "1.0 m"}) == "At 1.0 m."
    assert filled(line, {}) == "Nearer."


def test_a_line_that_begins_with_a_figure_begins_with_a_capital():
    assert filled("{key} at 2 m.", {"key": "octa 90"}) == "Octa 90 at 2 m."
    assert filled("iris {key}.", {"key": "octa"}) == "iris octa."
    assert filled("{working} stays.", {"working": "f/8"}) == "f/8 stays."


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Set {working}", []),
        ("a | b without spaces a|b", []),
        ("Set {workng}.", ["{workng}"]),
        ("Set {}.", ["{}"]),
        ("{ working }", ["{ working }"]),
        ("half {working", ["{"]),
        ("half working}", ["}"]),
        ("{{working}}", ["{", "}"]),
        ("{two\nlines}", ["{", "}"]),
    ],
)
def test_what_names_no_figure_is_found(text, found):
    assert list(unknown(text)) == found


@pytest.mark.parametrize("text", ["Set {workng}.", "half {working", "{}", "}{", "{0}", "{a!r:>9}"])
def test_a_faulty_line_is_shown_as_typed_and_never_breaks_a_page(text):
    assert filled(text, {"working": "f/16"}) == text
