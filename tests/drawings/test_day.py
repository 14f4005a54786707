"""The day drawn: two columns to scale, time down."""

import re
from datetime import UTC, datetime, timedelta

from planning.drawings.day import HOUR_MM, Block, day_columns
from planning.figures import Figures

NINE = datetime(2027, 5, 8, 9, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)


def drawn(*blocks, hours=8):
    columns = [("Today", blocks), ("Proposal", blocks)]
    return day_columns(
        columns, Figures(), start_at=NINE, end_at=NINE + hours * HOUR, title="The day"
    )


def rects(svg):
    found = re.findall(r"<rect ([^>]*)/>", svg)
    return [dict(re.findall(r'(\S+)="([^"]*)"', one)) for one in found]


def test_an_hour_later_is_an_hour_further_down_and_twice_as_long_twice_as_high():
    early = Block("a", NINE, NINE + HOUR, shooting=(NINE, NINE))
    late = Block("b", NINE + HOUR, NINE + 3 * HOUR, shooting=(NINE, NINE))
    first, second = [one for one in rects(drawn(early, late)) if one["fill"] == "white"][:2]
    assert float(second["y"]) - float(first["y"]) == HOUR_MM
    assert float(second["height"]) == 2 * float(first["height"])


def test_a_long_day_still_fits_its_leaf():
    height = re.search(r'height="([\d.]+)mm"', drawn(hours=24))
    assert float(height[1]) < 205


def test_pictures_are_a_black_bar_and_a_break_is_dashed():
    shooting = (NINE + HOUR / 4, NINE + HOUR / 2)
    svg = drawn(Block("set", NINE, NINE + HOUR, shooting=shooting), Block("tea", NINE, NINE + HOUR))
    bars = [one for one in rects(svg) if one["fill"] == "black"]
    assert [float(one["height"]) for one in bars] == [HOUR_MM / 4] * 2
    assert sum("stroke-dasharray" in one for one in rects(svg)) == 2


def test_hostile_titles_are_only_letters_and_short_ones_are_whole():
    svg = drawn(
        Block("<b>&", NINE, NINE + HOUR, shooting=(NINE, NINE)),
        Block("tea", NINE + HOUR, NINE + HOUR * 1.33),
    )
    assert "<b>" not in svg
    assert "tea" in svg
