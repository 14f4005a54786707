"""The chart of a season: dates down, hours across, ink where the light is."""

import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from planning.drawings.labels import text_width_mm
from planning.drawings.season import LEFT_MM, LINE_MM, TOP_MM, ChartRow, season_chart
from planning.figures import Figures

SAY = Figures()
HOURS = [f"{hour:02d}" for hour in range(25)]
ROW = ChartRow("1 Jan", "", "", ((14.0, 16.0),), (), (8.0,), (18.0,), "14:00–16:00, 120 min")
WIDE_MM, HIGH_MM = 190.0, 200.0


def chart(rows, **sizes) -> ElementTree.Element:
    sizes = {"width_mm": WIDE_MM, "height_mm": HIGH_MM} | sizes
    return ElementTree.fromstring(season_chart(rows, HOURS, "Light", SAY, **sizes))


def nodes(drawn: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [node for node in drawn.iter() if node.tag.endswith(f"}}{name}")]


def bars(drawn) -> list[ElementTree.Element]:
    return [node for node in nodes(drawn, "rect") if node.get("fill") == "black"]


def texts(drawn) -> dict[str, tuple[float, float]]:
    return {
        node.text: (float(node.get("x")), float(node.get("y"))) for node in nodes(drawn, "text")
    }


def x_of(drawn, hour: str) -> float:
    left, _y = texts(drawn)[hour]
    return left + text_width_mm(hour, 2.9) / 2


def year() -> list[ChartRow]:
    return [
        replace(
            ROW,
            label=f"day {index}",
            month=f"month {index // 30}" if index % 30 == 0 else "",
            tick="10" if index % 30 == 9 else "",
            chief=index % 30 == 3,
        )
        for index in range(365)
    ]


@pytest.mark.parametrize("rows", [[ROW] * 7, year()], ids=["a week", "a year"])
def test_a_bar_stands_at_its_hours_and_in_its_row(rows):
    drawn = chart(rows)
    for bar in bars(drawn):
        assert float(bar.get("x")) == pytest.approx(x_of(drawn, "14"), abs=0.05)
        wide_mm = x_of(drawn, "16") - x_of(drawn, "14")
        assert float(bar.get("width")) == pytest.approx(wide_mm, abs=0.05)
    tops = [float(bar.get("y")) for bar in bars(drawn)]
    steps = [later - earlier for earlier, later in pairwise(tops)]
    assert max(steps[:-1]) - min(steps) < 0.03  # the last date is ruled whatever its place
    assert tops == sorted(tops)


def test_a_week_has_a_bar_a_day():
    assert len(bars(chart([ROW] * 7))) == 7


def test_a_year_is_ruled_and_not_black():
    # 600 dots an inch is common, 300 the least of laser printers (common practice, no source): two
    # dots of 300 are 0.17 mm, so that both the rules and the white between them stay.
    drawn = chart(year())
    tall_mm = {float(bar.get("height")) for bar in bars(drawn)}
    tops = [float(bar.get("y")) for bar in bars(drawn)]
    step_mm = tops[1] - tops[0]
    assert min(tall_mm) >= 0.3
    assert max(tall_mm) <= step_mm / 2
    assert step_mm - max(tall_mm) >= 0.3
    assert step_mm < 1.5  # still read as one area


def test_the_light_of_a_single_date_is_never_left_out():
    rows = [replace(row, light=()) for row in year()]
    for index in (100, 101, 203):
        one = [*rows[:index], replace(rows[index], light=((14.0, 16.0),)), *rows[index + 1 :]]
        assert len(bars(chart(one))) == 1


def test_the_whole_drawing_keeps_to_the_size_asked_for():
    for rows in ([ROW], [ROW] * 40, year()):
        drawn = chart(rows)
        assert float(drawn.get("width").removesuffix("mm")) == WIDE_MM
        high_mm = float(drawn.get("height").removesuffix("mm"))
        assert high_mm <= HIGH_MM + 0.01
        for words, (x, y) in texts(drawn).items():
            assert -0.01 <= x <= WIDE_MM - text_width_mm(words, 2.4) + 0.01, words
            assert 0 < y < high_mm, words


def test_no_words_beside_the_chart_stand_over_others():
    crowded = [replace(row, chief=index % 4 == 0) for index, row in enumerate(year())][:160]
    for rows in ([ROW] * 40, crowded, year()):
        drawn = chart(rows)
        beside = sorted(
            float(node.get("y")) for node in nodes(drawn, "text") if "120 min" in node.text
        )
        assert beside
        assert all(later - earlier >= LINE_MM - 0.02 for earlier, later in pairwise(beside))


def test_each_date_is_told_where_there_is_room_and_else_the_chief_ones_with_their_date():
    assert list(texts(chart([ROW] * 7))).count(ROW.words) == 1  # a dict: seven alike
    assert "day 3 14:00–16:00, 120 min" in texts(chart(year()))
    assert ROW.words not in texts(chart(year()))


def test_what_the_horizon_hides_is_dashed_and_no_bar():
    hidden = replace(ROW, light=(), hidden=((14.0, 16.0),))
    drawn = chart([hidden] * 3)
    assert not bars(drawn)
    ruled = [
        node
        for node in nodes(drawn, "line")
        if node.get("y1") == node.get("y2")
        and float(node.get("x1")) == pytest.approx(x_of(drawn, "14"), abs=0.05)
    ]
    assert len(ruled) == 3
    assert all(node.get("stroke-dasharray") for node in ruled)
    assert any("dashes" in words for words in texts(drawn))
    assert not any("dashes" in words for words in texts(chart([ROW] * 3)))


def test_sunrise_and_sunset_run_on_over_a_change_of_the_clock_and_end_at_polar_day():
    summer = replace(ROW, rises=(7.0,), sets=(19.0,))
    midnight_sun = replace(ROW, rises=(), sets=())
    drawn = chart([ROW] * 3 + [summer] * 3 + [midnight_sun] * 2 + [summer] * 2)
    assert len(nodes(drawn, "polyline")) == 4  # both broken once
    lengths = [len(node.get("points").split()) for node in nodes(drawn, "polyline")]
    assert lengths == [6, 2, 6, 2]


def test_a_chart_without_any_light_or_sun_shows_the_whole_day():
    drawn = chart([replace(ROW, light=(), rises=(), sets=(), words="")] * 30)
    assert {"00", "24"} <= set(texts(drawn))
    assert not bars(drawn)


def test_hours_keep_clear_of_each_other_whatever_the_clock():
    hours = [f"{hour} o’clock" for hour in range(25)]
    night = replace(ROW, light=((0.0, 24.0),))
    drawn = ElementTree.fromstring(season_chart([night] * 30, hours, "Light", SAY))
    told = sorted((x, words) for words, (x, _y) in texts(drawn).items() if "o’clock" in words)
    for (x, words), (after, _words) in pairwise(told):
        assert x + text_width_mm(words, 2.9) <= after + 0.05


def test_only_ink_no_colour():
    for found in re.findall(r'(?:fill|stroke)="([^"]*)"', season_chart(year(), HOURS, "x", SAY)):
        assert found in ("black", "none")


def test_dates_are_ticked_where_rows_are_low():
    drawn = chart(year())
    ticks = [node for node in nodes(drawn, "text") if node.text == "10"]
    assert len([node for node in ticks if float(node.get("x")) < LEFT_MM]) == 12
    assert min(float(node.get("y")) for node in ticks) > TOP_MM - 3


def test_names_are_escaped():
    row = replace(ROW, words="<b>&", label="<i>")
    assert "<b>" not in season_chart([row], HOURS, "<t>", SAY)
