"""The charts of a season: lengths and places by their figures, words that lie on nothing."""

import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from planning.drawings.labels import text_width_mm
from planning.drawings.season_charts import (
    DOT_MM,
    SIZE_MM,
    WIDE_MM,
    Dot,
    DotRow,
    Level,
    SeatBar,
    along_the_dates,
    count_bars,
    dot_rows,
    seat_bars,
    steps,
)
from planning.figures import Figures

SAY = Figures()
MONTHS = [(number / 12, name) for number, name in enumerate("JFMAMJJASOND")]


def tree(drawn: str) -> ElementTree.Element:
    return ElementTree.fromstring(drawn)


def nodes(drawn: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [node for node in drawn.iter() if node.tag.endswith(f"}}{name}")]


def texts(drawn) -> list[tuple[str, float, float]]:
    return [(one.text, float(one.get("x")), float(one.get("y"))) for one in nodes(drawn, "text")]


def at_of(drawn, words: str) -> tuple[float, float]:
    return next((x, y) for told, x, y in texts(drawn) if told == words)


def rects(drawn, fill: str) -> list[ElementTree.Element]:
    return [one for one in nodes(drawn, "rect") if one.get("fill") == fill]


def wide(one) -> float:
    return float(one.get("width"))


def seat_rows():
    return [
        SeatBar("3 May Harbour wall", 8, 6, 5, "6 of 8 booked, 5 came"),
        SeatBar("9 May Dunes", 4, 4, None, "4 of 4 booked"),
        SeatBar("11 May Nobody", 6, 0, None, "0 of 6 booked"),
    ]


def gust_chart(dots=None, level=None):
    dots = dots or [Dot(0.1, 6.0, against=8.0), Dot(0.5, 12.5, words="8 May"), Dot(0.9, 3.0)]
    level = level or Level(11.0, "everything down above 11 m/s")
    return tree(along_the_dates(dots, level, MONTHS, "Gusts in m/s", "Gusts", SAY))


def all_charts():
    rows = [DotRow("Wall", (-4.0, 3.0, 21.0), 3.0, "+3 min, 3 times")]
    return [
        tree(seat_bars(seat_rows(), "Seats", SAY)),
        tree(count_bars([("empty cell", 8), ("out of range", 2)], "Causes", SAY)),
        tree(dot_rows(rows, "as planned", "Over", SAY)),
        gust_chart(),
    ]


@pytest.mark.parametrize("number", range(4))
def test_each_chart_names_itself_keeps_to_its_paper_and_needs_no_colour(number):
    drawn = all_charts()[number]
    assert nodes(drawn, "title")[0].text.strip()
    high_mm = float(drawn.get("height").removesuffix("mm"))
    assert drawn.get("width") == f"{WIDE_MM:g}mm"
    for words, x, y in texts(drawn):
        assert -0.01 <= x <= WIDE_MM - text_width_mm(words, SIZE_MM) + 0.01, words
        assert 0 < y <= high_mm, words
    colours = set(re.findall(r'(?:fill|stroke)="([^"]+)"', ElementTree.tostring(drawn).decode()))
    assert colours <= {"black", "white", "none"}


def test_words_are_read_on_a_phone():
    # 390 CSS pixels less the page's margins of 0.8 rem and the chart's of 0.4 rem on both sides;
    # WCAG 2.2 names no least size, common practice is 12 pixels.
    pixels = (390 - 2 * 16 * (0.8 + 0.4)) / WIDE_MM
    assert pixels * SIZE_MM >= 12.0


def test_bars_are_as_long_as_their_seats():
    drawn = tree(seat_bars(seat_rows(), "Seats", SAY))
    (came,) = rects(drawn, "black")
    offered = [wide(one) for one in rects(drawn, "none")]
    each_mm = wide(came) / 5
    # The outlines: booked beyond who came, then all seats, for each workshop in turn.
    assert [round(one / each_mm, 2) for one in offered] == [1.0, 8.0, 4.0, 4.0, 6.0]


def test_a_workshop_of_which_nobody_noted_who_came_has_no_black_bar():
    drawn = tree(seat_bars(seat_rows()[1:], "Seats", SAY))
    assert rects(drawn, "black") == []


def test_no_seats_at_all_are_drawn_without_a_fault():
    assert rects(tree(seat_bars([SeatBar("Empty", 0, 0, None, "0")], "Seats", SAY)), "black") == []


def test_the_longest_cause_fills_the_width_and_the_others_are_in_proportion():
    drawn = tree(count_bars([("cell", 8), ("range", 2)], "Causes", SAY))
    longest, shorter = (wide(one) for one in rects(drawn, "black"))
    assert longest / shorter == pytest.approx(4, abs=0.01)
    assert longest > 0.9 * WIDE_MM
    for number in ("8", "2"):
        at_of(drawn, number)


def test_dots_lie_by_their_minutes_and_the_line_at_nought():
    rows = [DotRow("Wall", (-10.0, 0.0, 20.0), 0.0, "0 min, 3 times")]
    drawn = tree(dot_rows(rows, "as planned", "Over", SAY))
    low, middle, high = sorted(float(one.get("cx")) for one in nodes(drawn, "circle"))
    assert (high - middle) / (middle - low) == pytest.approx(2, abs=0.01)
    x, _y = at_of(drawn, "as planned")
    assert x + text_width_mm("as planned", SIZE_MM) / 2 == pytest.approx(middle, abs=0.1)


def test_a_set_that_was_never_late_is_drawn_left_of_the_plan():
    drawn = tree(dot_rows([DotRow("Wall", (-7.0,), -7.0, "")], "as planned", "Over", SAY))
    (dot,) = nodes(drawn, "circle")
    zero = next(one for one in nodes(drawn, "line") if one.get("x1") == one.get("x2"))
    assert float(dot.get("cx")) < float(zero.get("x1"))


def test_a_gust_over_the_limit_stands_over_its_line():
    drawn = gust_chart()
    level_y = {float(one.get("y1")) for one in nodes(drawn, "line")
               if one.get("stroke-dasharray") == "2 1.2"}  # fmt: skip
    line_y = max(level_y)  # the other is the sample beside its words
    black = [one for one in nodes(drawn, "circle") if one.get("fill") == "black"]
    over = [float(one.get("cy")) < line_y for one in black]
    assert over == [False, True, False]
    # Nought at the foot: 12.5 is as high over it as 12.5 / 11 of the limit.
    level = [one for one in nodes(drawn, "line") if one.get("y1") == one.get("y2")]
    foot = max(float(one.get("y1")) for one in level if not one.get("stroke-dasharray"))
    heights = sorted(foot - float(one.get("cy")) for one in black)
    assert heights[-1] / (foot - line_y) == pytest.approx(12.5 / 11, abs=0.01)
    assert [round(one / heights[0], 2) for one in heights] == [1.0, 2.0, 4.17]


def test_dots_of_one_day_stand_beside_one_another_also_on_the_last():
    drawn = gust_chart([Dot(0.99, float(value)) for value in (5, 6, 7, 8)])
    places = sorted(float(one.get("cx")) for one in nodes(drawn, "circle"))
    assert all(later - earlier >= 2 * DOT_MM for earlier, later in pairwise(places))
    assert places[-1] <= WIDE_MM - DOT_MM / 2


def test_no_word_of_a_dot_lies_on_a_dot_or_on_another_word():
    # Too near one another for all their words: a word is 10 mm wide, a dot comes every 7 mm.
    dots = [Dot(day / 12, (4.0, 12.0, 12.0)[day % 3], words=f"{day} May") for day in range(12)]
    drawn = gust_chart(dots)
    told = [(words, x, y) for words, x, y in texts(drawn) if words.endswith("May")]
    assert 0 < len(told) < 12
    boxes = [(x, y - 1.1 - SIZE_MM / 2, x + text_width_mm(words, SIZE_MM), y - 1.1 + SIZE_MM / 2)
             for words, x, y in told]  # fmt: skip
    for one in nodes(drawn, "circle"):
        x, y = float(one.get("cx")), float(one.get("cy"))
        assert not any(left < x < right and top < y < foot for left, top, right, foot in boxes)


def test_a_spread_that_reaches_far_leaves_the_figures_apart():
    dots = [Dot(0.2, 200.0, low=150.0, high=9000.0), Dot(0.8, 400.0, low=380.0, high=420.0)]
    drawn = gust_chart(dots, Level(420.0, "new: 420"))
    first, second = (float(one.get("cy")) for one in nodes(drawn, "circle"))
    assert first - second > 8.0
    assert min(float(one.get("y2")) for one in nodes(drawn, "line")) > 0


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [(0, 12.5, [0, 5, 10, 15]), (-7, 21, [-10, 0, 10, 20, 30]), (0, 0, [0, 1]),
     (0, 3249, [0, 1000, 2000, 3000, 4000]), (-3, 0, [-3, -2, -1, 0])],
)  # fmt: skip
def test_scales_go_by_round_steps(low, high, told):
    assert steps(low, high) == told
