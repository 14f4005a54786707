"""Drawings of a day: lengths on one scale, every figure in words, no words over another."""

import re
import xml.etree.ElementTree as ET
from itertools import combinations

import pytest

from planning.drawings.after import WORDS_MM, BarRow, GustRow, Mark, gust_strips, pair_bars
from planning.drawings.after_packs import PackLine, packs_read
from planning.drawings.drawdown import Draw
from planning.drawings.geometry import Box
from planning.drawings.labels import text_width_mm
from planning.figures import Figures

SAY = Figures()
WIDTH_MM = 92.0
SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = '<script>alert("1")</script> & ' + "x" * 400
ROWS = [
    BarRow("set 1", 75.0, 89.0, "75 min", "89 min"),
    BarRow("set 2", 75.0, None, "75 min", "not noted"),
    BarRow(HOSTILE, None, 40.0, "no plan", "40 min"),
]


def bars(rows=ROWS):
    return ET.fromstring(pair_bars(rows, "Minutes", SAY, width_mm=WIDTH_MM))


def texts(drawing) -> list[Box]:
    """The boxes of all words of a drawing, by the widths no word of the font exceeds."""
    return [
        Box(
            float(one.get("x")),
            float(one.get("y")) - float(one.get("font-size")) * 0.75,
            text_width_mm(one.text, float(one.get("font-size"))),
            float(one.get("font-size")) * 0.95,
        )
        for one in drawing.iter(f"{SVG}text")
    ]


def test_bars_are_as_long_as_their_figures():
    wide = [float(one.get("width")) for one in bars().iter(f"{SVG}rect")]
    # Planned 75, actual 89; planned 75, nothing; nothing, actual 40; then the two of the key.
    assert wide[1] / wide[0] == pytest.approx(89 / 75, abs=0.01)
    assert wide[2] == wide[0]
    assert wide[3] / wide[0] == pytest.approx(40 / 75, abs=0.01)
    assert len(wide) == 6


def test_planned_is_an_outline_and_what_was_is_solid():
    fills = [one.get("fill") for one in bars().iter(f"{SVG}rect")]
    assert fills == ["white", "black", "white", "black", "white", "black"]


def test_every_bar_has_its_figure_in_words_and_none_is_invented():
    said = [one.text for one in bars().iter(f"{SVG}text")]
    for words in ("75 min", "89 min", "not noted", "no plan", "40 min"):
        assert words in said


@pytest.mark.parametrize("drawn", ["bars", "gusts", "packs"])
def test_words_stay_on_the_paper_off_each_other_and_large_enough(drawn):
    drawing = {"bars": bars, "gusts": strips, "packs": read_packs}[drawn]()
    boxes = texts(drawing)
    assert boxes
    for box in boxes:
        assert box.left >= 0
        assert box.right <= WIDTH_MM + 0.01, box
        assert box.top >= 0
        assert box.bottom <= float(drawing.get("viewBox").split()[3])
    assert not [pair for pair in combinations(boxes, 2) if pair[0].overlaps(pair[1])]
    # 9 points are 3.175 mm.
    assert {float(one.get("font-size")) for one in drawing.iter(f"{SVG}text")} == {WORDS_MM}
    assert WORDS_MM >= 3.175


@pytest.mark.parametrize("drawn", ["bars", "gusts", "packs"])
def test_it_is_black_on_white_and_named(drawn):
    drawing = {"bars": bars, "gusts": strips, "packs": read_packs}[drawn]()
    colours = {one.get(name) for one in drawing.iter() for name in ("fill", "stroke")}
    assert colours <= {None, "black", "white", "none"}
    assert drawing.find(f"{SVG}title").text


def test_a_name_is_escaped_and_cut():
    drawn = pair_bars(ROWS, HOSTILE, SAY, width_mm=WIDTH_MM)
    assert "<script" not in drawn
    assert "…" in drawn


def test_the_same_day_is_drawn_the_same_twice():
    assert gusts().svg == gusts().svg
    assert pair_bars(ROWS, "a", SAY, width_mm=WIDTH_MM) == pair_bars(
        ROWS, "a", SAY, width_mm=WIDTH_MM
    )


def row(forecast, met, limits, name="set 1"):
    return GustRow(
        name=name,
        forecast=None if forecast is None else Mark(forecast, f"forecast {forecast} m/s"),
        met=met,
        strongest=Mark(max(met), f"{max(met)} m/s") if met else None,
        limits=tuple(Mark(gust, f"{words} {gust} m/s") for words, gust in limits),
        words="" if met else "not noted",
    )


LIMITS = [("more ballast", 4.1), ("hold", 5.9), ("modifier off", 6.2), ("strike", 11.0)]
CLOSE = [("more ballast", 5.0), ("hold", 5.0), ("modifier off", 5.1), ("strike", 5.2)]


def gusts(*rows):
    return gust_strips(
        rows
        or (
            row(8.0, (4.0, 6.5, 9.0), LIMITS),
            row(5.1, (5.0, 5.2), CLOSE, "set 2"),
            row(None, (), LIMITS, "set 10"),
            row(30.0, (31.0,), LIMITS, "set 11"),
        ),
        "Gusts",
        SAY,
        width_mm=WIDTH_MM,
    )


def strips():
    """The strips with their words; those of the placed labels stand where the labels say."""
    return ET.fromstring(gusts().svg)


def test_no_word_of_a_strip_is_lost_where_there_is_room():
    assert gusts().left_over == ()
    # 4 limits, forecast and strongest; the same; 4 and "not noted"; 6 again.
    assert len(gusts().labels) == 6 + 6 + 5 + 6


def test_no_leader_runs_through_a_word():
    labels = gusts().labels
    for one, other in combinations(labels, 2):
        assert not one.box.overlaps(other.box)


def test_a_gust_stands_where_its_speed_is():
    # On one scale: 9 m/s stands as far right of 6.5 as 6.5 of 4, to the hundredth drawn.
    dots = [float(one.get("cx")) for one in strips().iter(f"{SVG}circle")][:3]
    assert dots[2] - dots[1] == pytest.approx(dots[1] - dots[0], abs=0.02)


def test_a_word_wider_than_the_paper_is_handed_back():
    drawn = gusts(row(5.0, (6.0,), [("y" * 200, 7.0)]))
    assert [label.lines[0][:5] for label in drawn.left_over] == ["yyyyy"]


def packs(lines=None):
    lines = lines or [
        PackLine("B1", ((0.05, 1.0), (0.9, 0.6), (1.1, 0.58), (1.6, 0.1))),
        PackLine("B2", ((1.6, 1.0), (2.9, 0.5))),
    ]
    draws = [Draw("set 1", 0.3), Draw("set 2", 0.5), Draw("set 3", None)]
    return packs_read(draws, lines, "Packs", SAY, width_mm=WIDTH_MM, height_mm=52.0)


def read_packs():
    return ET.fromstring(packs().svg)


def test_each_reading_is_a_dot_and_each_pack_one_line():
    drawing = read_packs()
    assert len(list(drawing.iter(f"{SVG}circle"))) == 4 + 2
    solid = [
        one
        for one in drawing.iter(f"{SVG}line")
        if one.get("stroke-width") == "0.6" and not one.get("stroke-dasharray")
    ]
    # Three strokes of the first pack, one of the second, one in the key.
    assert len(solid) == 3 + 1 + 1


def test_a_full_pack_stands_at_the_top_and_an_empty_one_at_the_foot():
    drawing = ET.fromstring(packs([PackLine("B1", ((0.0, 1.0), (1.0, 0.0)))]).svg)
    full, empty = (float(one.get("cy")) for one in drawing.iter(f"{SVG}circle"))
    scale = {one.text: float(one.get("y")) for one in drawing.iter(f"{SVG}text") if "%" in one.text}
    # The words of a level stand 1.1 mm under its line.
    assert full == pytest.approx(scale["100 %"] - 1.1, abs=0.01)
    assert empty == pytest.approx(scale["0 %"] - 1.1, abs=0.01)


def test_where_a_pack_was_charged_no_line_runs():
    charged = [PackLine("B1", ((0.0, 1.0), (0.9, 0.2), (1.1, 0.9), (1.9, 0.3)))]
    drawing = ET.fromstring(packs(charged).svg)
    strokes = [one for one in drawing.iter(f"{SVG}line") if one.get("stroke-width") == "0.6"]
    assert len(strokes) == 2 + 1  # 100 to 20 %, 90 to 30 %, and the key


def test_packs_read_alike_are_named_beside_each_other():
    alike = [PackLine(f"B{n}", ((0.05, 1.0), (2.9, 0.5))) for n in range(6)]
    drawn = packs(alike)
    assert len(drawn.labels) + len(drawn.left_over) == 6
    assert not [
        pair for pair in combinations([one.box for one in drawn.labels], 2)
        if pair[0].overlaps(pair[1])
    ]  # fmt: skip


def test_nothing_to_draw_is_still_a_drawing():
    assert re.search(r"<title>Minutes</title>", pair_bars([], "Minutes", SAY, width_mm=WIDTH_MM))
    assert ET.fromstring(gust_strips([], "Gusts", SAY, width_mm=WIDTH_MM).svg) is not None
