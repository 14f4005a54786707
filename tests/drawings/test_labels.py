"""Labels keep clear of each other, of symbols and of the frame, and come out the same twice."""

import fontpkg
import pytest
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

from planning.drawings.geometry import Box, Point, box_about, crosses
from planning.drawings.labels import Ground, Label, arrange, text_width_mm

FRAME = Box(0, 0, 100, 80)


def ground(*symbols: Box, lines=()) -> Ground:
    return Ground(FRAME, tuple(symbols), tuple(lines), 3.0)


def overlaps(placed) -> list:
    boxes = [spot.box for spot in placed]
    return [(a, b) for i, a in enumerate(boxes) for b in boxes[i + 1 :] if a.overlaps(b)]


def test_labels_of_one_spot_stand_beside_each_other():
    labels = [Label((f"lamp {n}", "cord 2.0 m"), Point(50, 40)) for n in range(8)]
    placed, left_over = arrange(labels, ground())
    assert not left_over
    assert not overlaps(placed)
    assert all(FRAME.holds(spot.box) for spot in placed)


def test_a_label_never_covers_a_symbol():
    symbol = box_about(Point(60, 40), 12, 12)
    placed, _ = arrange([Label(("subject",), Point(52, 40))], ground(symbol))
    assert not placed[0].box.overlaps(symbol)


def test_a_label_prefers_a_place_without_a_line():
    line = (Point(50, 40), Point(100, 40))
    free, _ = arrange([Label(("camera",), Point(50, 40))], ground())
    struck, _ = arrange([Label(("camera",), Point(50, 40))], ground(lines=[line]))
    assert free[0].box.left > 50  # to the right where nothing is in the way
    assert struck[0].box.right < 50


def test_a_label_far_from_its_thing_gets_a_leader():
    wall = box_about(Point(50, 40), 30, 30)
    placed, _ = arrange([Label(("rim",), Point(50, 40))], ground(wall))
    assert placed[0].leader is not None


def test_a_leader_crosses_a_symbol_sooner_than_another_label():
    # The last thing stands in a hole 10 mm wide in the middle of symbols; below them a row of
    # labels leaves a gap on the right only.
    walls = [Box(0, 0, 45, 55), Box(55, 0, 45, 55), Box(45, 0, 10, 35), Box(45, 45, 10, 10)]
    row = [Label(("mmmmmmmm",), Point(x, 58)) for x in (1, 26, 51)]
    walled = Label(("subject",), Point(50, 40))
    placed, left_over = arrange([*row, walled], ground(*walls))
    assert not left_over
    assert [spot.label for spot in placed] == [*row, walled]
    assert placed[-1].leader is not None
    assert not any(crosses(*placed[-1].leader, spot.box) for spot in placed[:-1])


def test_a_label_no_line_can_lead_to_is_handed_back():
    # A wall of earlier labels from edge to edge, whose own things stand outside the frame's middle.
    wall = [Label(("m" * 12,), Point(x, 44), clear_mm=0.1) for x in (-8, 24, 56, 88)]
    wall = [label for label in wall if FRAME.holds_point(label.at)]
    spots, _ = arrange(wall, ground())
    inside = [Label((f"{n} " + "m" * 30, "m" * 30), Point(50, 40)) for n in range(30)]
    placed, left_over = arrange([*wall, *inside], ground())
    assert len(spots) == len(wall)
    assert left_over
    assert not overlaps(placed)
    for one in placed:
        others = [spot.box for spot in placed if spot is not one]
        assert not one.leader or not any(crosses(*one.leader, box) for box in others)


def test_a_label_does_not_hide_what_another_one_names():
    # To the right of the first is where it would stand, and where the second has its thing.
    first, second = Label(("camera",), Point(50, 40)), Label(("shadow",), Point(56, 40))
    placed, left_over = arrange([first, second], ground())
    assert not left_over
    assert not placed[0].box.holds_point(second.at)


def test_what_found_no_room_has_its_turn_first_in_another_try():
    # The long one fits only where the short one would stand; the short one fits elsewhere too.
    taken = [Box(0, 0, 100, 35), Box(0, 45, 60, 35), Box(60, 52, 40, 28)]
    short_one = Label(("rim",), Point(50, 40))
    long_one = Label(("m" * 16,), Point(40, 40))
    placed, left_over = arrange([short_one, long_one], ground(*taken))
    assert not left_over
    assert {spot.label for spot in placed} == {short_one, long_one}


def test_a_label_without_any_room_is_handed_back():
    everywhere = Box(0, 0, 100, 80)
    placed, left_over = arrange([Label(("too much",), Point(50, 40))], ground(everywhere))
    assert not placed
    assert left_over[0].lines == ("too much",)


def test_the_same_labels_are_placed_the_same_twice():
    labels = [Label((f"mark {n}",), Point(10 + 3 * n, 40)) for n in range(12)]
    assert arrange(labels, ground()) == arrange(labels, ground())


@pytest.fixture(scope="module")
def semibold():
    # The heaviest weight on a drawing, cut to the letters measured: a whole font takes long.
    from fontTools.subset import Options, Subsetter

    font = TTFont(fontpkg.path("Source Sans 3"))
    cutter = Subsetter(Options())
    cutter.populate(unicodes=[*range(0x20, 0x7F), *range(0xA0, 0x17F), 0x2212])
    cutter.subset(font)
    return instantiateVariableFont(font, {"wght": 600}, static=True)


def test_widths_are_never_under_those_of_the_font(semibold):
    names, advance = semibold.getBestCmap(), semibold["hmtx"]
    for code, name in names.items():
        width = text_width_mm(chr(code), 1000.0)
        assert width >= advance[name][0], f"{chr(code)!r} is wider than its estimate"


def test_unknown_letters_count_as_wide_as_high():
    assert text_width_mm("दि", 3.0) >= 2 * 3.0
