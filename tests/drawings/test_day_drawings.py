"""The sun through the day and the packs through the day, drawn where the sums say."""

from datetime import datetime, timedelta
from xml.etree import ElementTree
from zoneinfo import ZoneInfo

import pytest

from planning.drawings.drawdown import Draw, drawdown
from planning.drawings.labels import text_width_mm
from planning.drawings.sun_day import Span, sun_day
from planning.figures import Figures
from planning.physics.sun import Place, sun_events

SAY = Figures()
PLACES = {
    "Bude": (Place(50.83, -4.55), "Europe/London"),
    "Hobart": (Place(-42.88, 147.33), "Australia/Hobart"),
    "Tromsø": (Place(69.65, 18.96), "Europe/Oslo"),
    "Quito": (Place(-0.2, -78.5), "America/Guayaquil"),
}


def nodes(svg, name):
    return [node for node in ElementTree.fromstring(svg).iter() if node.tag.endswith(f"}}{name}")]


def texts(svg):
    return [node.text for node in nodes(svg, "text")]


def a_day(name, month=6, day=21):
    place, zone = PLACES[name]
    start = datetime(2027, month, day, 3, tzinfo=ZoneInfo(zone))
    return place, start, start + timedelta(hours=20)


@pytest.mark.parametrize("name", PLACES)
def test_the_curve_is_highest_at_noon(name):
    place, start, end = a_day(name)
    svg = sun_day(
        place, start, end, (), Figures(timezone=str(start.tzinfo)), width_mm=190, height_mm=60
    )
    curve = [one for one in nodes(svg, "line") if one.get("stroke-width") == "0.5"]
    top = min(curve, key=lambda one: float(one.get("y1")))
    share = (float(top.get("x1")) - 9.0) / (190 - 9.0 - 3.0)
    noon = sun_events(place, start.date(), start.tzinfo).noon_at
    # Drawn in steps of ten minutes.
    assert abs(start + share * (end - start) - noon) <= timedelta(minutes=11)


def test_each_set_has_its_bar_at_its_hours():
    place, start, end = a_day("Bude")
    at = start.replace(hour=9)
    span = Span(2, "Slate wall", at, at + timedelta(hours=4))
    svg = sun_day(place, start, end, (span,), SAY, width_mm=190, height_mm=60)
    (bar,) = nodes(svg, "rect")[:1]
    room = 190 - 9.0 - 3.0
    assert float(bar.get("x")) == pytest.approx(9.0 + 6 / 20 * room, abs=0.1)
    assert float(bar.get("width")) == pytest.approx(4 / 20 * room, abs=0.1)
    assert "2 Slate wall" in texts(svg)


def test_sets_that_overlap_stand_on_lines_of_their_own():
    place, start, end = a_day("Bude")
    spans = [
        Span(1, "A", start + timedelta(hours=6), start + timedelta(hours=8)),
        Span(2, "B", start + timedelta(hours=7), start + timedelta(hours=9)),
        Span(3, "C", start + timedelta(hours=8), start + timedelta(hours=10)),
    ]
    svg = sun_day(place, start, end, spans, SAY, width_mm=190, height_mm=70)
    tops = [one.get("y") for one in nodes(svg, "rect") if one.get("fill") == "none"]
    assert tops[0] == tops[2] != tops[1]


def test_without_sun_all_day_nothing_is_drawn_above_the_horizon():
    place, start, end = a_day("Tromsø", 12, 21)
    svg = sun_day(place, start, end, (), SAY, width_mm=190, height_mm=60)
    assert not [one for one in nodes(svg, "line") if one.get("stroke-width") == "0.5"]


def test_packs_are_changed_where_they_are_empty():
    # 0.4 + 0.9 of a pack: the first is empty 0.6 / 0.9 through the second set.
    svg = drawdown([Draw("1 A", 0.4), Draw("2 B", 0.9)], SAY, width_mm=94, height_mm=40)
    room = (94 - 12.0 - 2.0) / 2
    (change,) = [
        one
        for one in nodes(svg, "line")
        if one.get("x1") == one.get("x2") and not one.get("stroke-dasharray")
    ]
    assert float(change.get("x1")) == pytest.approx(12 + room + 0.6 / 0.9 * room, abs=0.05)
    assert [one for one in texts(svg) if one.startswith("pack")] == ["pack 1", "pack 2"]


def test_a_day_that_ends_as_the_pack_does_needs_no_other():
    svg = drawdown([Draw("1 A", 0.5), Draw("2 B", 0.5)], SAY, width_mm=94, height_mm=40)
    assert [one for one in texts(svg) if one.startswith("pack")] == ["pack 1"]


def test_what_is_not_known_is_told_and_draws_no_line():
    svg = drawdown([Draw("1 A", None)], SAY, width_mm=94, height_mm=40)
    assert "not known" in texts(svg)
    assert not [one for one in nodes(svg, "line") if one.get("stroke-width") == "0.5"]


@pytest.mark.parametrize("width_mm", [190.0, 120.0])
@pytest.mark.parametrize("minute", [0, 10, 50])
def test_hours_of_the_day_never_run_into_each_other(width_mm, minute):
    place, start, _end = a_day("Bude")
    start = start.replace(hour=9, minute=minute)
    end = start + timedelta(hours=12)
    say = Figures(clock_hours=12, timezone=str(start.tzinfo))
    svg = sun_day(place, start, end, (), say, width_mm=width_mm, height_mm=60)
    hours = [one for one in nodes(svg, "text") if one.text.endswith(("am", "pm"))]
    assert len(hours) >= 5
    ends = [float(one.get("x")) + text_width_mm(one.text, 2.85) for one in hours]
    lefts = [float(one.get("x")) for one in hours]
    assert all(left - end >= 1.0 - 1e-3 for end, left in zip(ends, lefts[1:], strict=False))
    assert lefts[0] >= 0
