"""Frames along the turns and at the rungs of the ladder: what is drawn, and where."""

import xml.etree.ElementTree as ET
from datetime import UTC, datetime, timedelta

import pytest

from planning.drawings.shutters import Rung, shutters
from planning.drawings.taken import TakenRow, taken
from planning.figures import Figures

SVG = "{http://www.w3.org/2000/svg}"
SAY = Figures(timezone="UTC")
START = datetime(2027, 5, 8, 13, 0, tzinfo=UTC)
END = START + timedelta(minutes=60)


def minutes(number):
    return START + timedelta(minutes=number)


def row(name="Ana", inside=(), outside=(), turn=(20, 26)):
    return TakenRow(
        name,
        ((minutes(turn[0]), minutes(turn[1])),),
        tuple(minutes(one) for one in inside),
        tuple(minutes(one) for one in outside),
    )


def drawn(*rows, width_mm=180.0):
    return ET.fromstring(taken(rows, START, END, "Frames", SAY, width_mm=width_mm))


def texts(svg):
    return [one.text for one in svg.iter(f"{SVG}text")]


def strokes(svg):
    """Each stroke as (x, tall), read from the paths as SVG 1.1 writes them: M x y v h."""
    found = []
    for path in svg.iter(f"{SVG}path"):
        for part in path.get("d").split("M")[1:]:
            place, tall = part.split("v")
            found.append((float(place.split(" ")[0]), float(tall)))
    return found


def test_the_drawing_has_a_title_names_hours_and_counts():
    svg = drawn(row(inside=(21, 22), outside=(50,)))
    assert svg.find(f"{SVG}title").text == "Frames"
    assert {"Ana", "2+1", "13:10", "13:50"} <= set(texts(svg))


def test_strokes_stand_in_the_box_of_the_turn_and_outside_it_shorter():
    svg = drawn(row(inside=(21, 25), outside=(50,)))
    (box,) = [one for one in svg.iter(f"{SVG}rect") if one.get("fill") == "none"]
    left, right = float(box.get("x")), float(box.get("x")) + float(box.get("width"))
    (first, tall), (second, _tall), (outside, short) = strokes(svg)
    assert left < first < second < right < outside
    assert short < tall
    # In proportion: the turn lasts 6 of 60 minutes; strokes to a quarter of a millimetre.
    assert (second - first) / (right - left) == pytest.approx(4 / 6, abs=0.03)


def test_ten_thousand_frames_are_a_small_drawing():
    many = tuple(20 + 6 * number / 10_000 for number in range(10_000))
    assert len(taken([row(inside=many)], START, END, "Frames", SAY)) < 5000


def test_nothing_leaves_the_sheet_whatever_the_clock_of_a_camera_says():
    svg = drawn(row(inside=(21,), outside=(-600, 6000)), width_mm=180.0)
    assert all(0 <= x <= 180 for x, _tall in strokes(svg))


def test_a_name_is_escaped_and_cut_to_its_room():
    (name,) = [one for one in texts(drawn(row("<b> & " + "x" * 80))) if one.startswith("<b>")]
    assert name.endswith("…")


def test_without_rows_or_time_there_is_no_drawing():
    assert taken([], START, END, "Frames", SAY) == ""
    assert taken([row()], END, START, "Frames", SAY) == ""


def test_bars_are_as_long_as_their_counts():
    rungs = [Rung("1/160", -1.0, 40, planned=True), Rung("1/80", 0.0, 10), Rung("1/40", 1.0, 0)]
    svg = ET.fromstring(shutters(rungs, "Shutters", SAY))
    wide = [float(one.get("width")) for one in svg.iter(f"{SVG}rect")]
    assert wide[0] == pytest.approx(4 * wide[1], abs=0.02)
    assert len(wide) == 2  # no bar where nothing was taken
    assert {"1/160", "−1.0", "+1.0", "40", "0"} <= set(texts(svg))
    assert svg.find(f"{SVG}title").text == "Shutters"


def test_a_rung_beside_the_plan_has_no_stops_and_says_why_it_matters():
    svg = ET.fromstring(shutters([Rung("1/500", None, 3, note="too fast")], "Shutters", SAY))
    assert "3  too fast" in texts(svg)
    right = [float(one.get("x")) + float(one.get("width")) for one in svg.iter(f"{SVG}rect")]
    assert max(right) < 150


def test_no_frames_draw_no_ladder():
    assert shutters([Rung("1/160", -1.0, 0)], "Shutters", SAY) == ""
