"""The horizon's strip puts every pair and every way of the sun where the sums say."""

from datetime import date
from itertools import combinations
from xml.etree import ElementTree

import pytest

from planning.drawings.geometry import Box
from planning.drawings.horizon import BASE_SHARE, TALL_SHARE, horizon_strip
from planning.drawings.labels import text_width_mm
from planning.drawings.sun_way import SunPath, pieces
from planning.figures import Figures
from planning.horizon import sun_paths
from planning.physics.errors import OutOfRange
from planning.physics.sun import Place

SAY = Figures()
HILLS = [(0.0, 3.0), (60.0, 12.5), (110.0, 4.0), (200.0, 0.0), (250.0, 18.0), (300.0, 8.0)]
PLACES = {  # latitude, longitude, zone: north, south, far north, equator
    "London": (Place(51.5, -0.12), "Europe/London"),
    "Sydney": (Place(-33.86, 151.21), "Australia/Sydney"),
    "Tromsø": (Place(69.65, 18.96), "Europe/Oslo"),
    "Quito": (Place(-0.2, -78.5), "America/Guayaquil"),
}
# The strip is 170 mm by 68: 9 mm left and 3 right leave 158 for 360 degrees; 8.5 above and 9.5
# below leave 50 for the elevations.


def nodes(svg: str, name: str) -> list[ElementTree.Element]:
    return [node for node in ElementTree.fromstring(svg).iter() if node.tag.endswith(f"}}{name}")]


def texts(svg: str) -> list[str]:
    return [node.text for node in nodes(svg, "text")]


def points(node: ElementTree.Element) -> list[tuple[float, float]]:
    return [tuple(map(float, pair.split(","))) for pair in node.get("points").split()]


def sun_over(name: str, today: date) -> tuple[list[SunPath], Figures]:
    place, zone = PLACES[name]
    say = Figures(timezone=zone)
    days = [("today", today), ("21 June", date(2027, 6, 21)), ("21 December", date(2027, 12, 21))]
    return sun_paths(place, days, say), say


def test_a_pair_has_its_dot_where_it_was_typed():
    [dot] = nodes(horizon_strip([(90.0, 20.0)], [], SAY), "circle")
    # 9 + 158 x 90/360 = 48.5; the scale ends at 40: 8.5 + 50 x (40 - 20)/40 = 33.5.
    assert (float(dot.get("cx")), float(dot.get("cy"))) == (48.5, 33.5)


def test_the_ground_joins_round_north():
    [ground] = nodes(horizon_strip([(90.0, 10.0), (270.0, 20.0)], [], SAY), "polygon")
    # Half way from west to east over north stands 15: 8.5 + 50 x 25/40 = 39.75, at both ends.
    assert points(ground) == [
        (9.0, 39.75),
        (48.5, 46.0),  # 8.5 + 50 x 30/40
        (127.5, 33.5),  # 9 + 158 x 3/4, 8.5 + 50 x 20/40
        (167.0, 39.75),
        (167.0, 58.5),
        (9.0, 58.5),
    ]


def test_a_level_horizon_is_a_line_at_nought():
    [ground] = nodes(horizon_strip([], [], SAY), "polygon")
    assert {y for _x, y in points(ground)} == {58.5}


def test_the_scale_names_directions_degrees_and_heights():
    words = texts(horizon_strip([], [], SAY))
    assert " ".join(word for word in words if word.isalpha()) == "N NE E SE S SW W NW N"
    assert {"0°", "45°", "315°", "360°", "10°", "30°", "40°"} <= set(words)


def test_the_scale_reaches_over_the_highest_and_under_the_lowest():
    words = texts(horizon_strip([(0.0, 62.0), (180.0, -4.0)], [], SAY))
    assert "70°" in words
    assert "80°" not in words
    [ground] = nodes(horizon_strip([(0.0, 62.0), (180.0, -4.0)], [], SAY), "polygon")
    # -4 of a scale from 70 down to -10: 8.5 + 50 x 74/80 = 54.75.
    assert (88.0, 54.75) in points(ground)


def test_the_sun_is_dashed_exactly_behind_the_ground():
    path = SunPath("day", ((90.0, 0.0, ""), (100.0, 20.0, ""), (120.0, 40.0, "")))
    behind, before = pieces([(0.0, 10.0)], path, 0.0)
    # From 0 at 90 to 20 at 100 it is 10 high at 95.
    assert (behind.hidden, behind.ends) == (True, ((90.0, 0.0), (95.0, 10.0)))
    assert (before.hidden, before.ends) == (False, ((95.0, 10.0), (100.0, 20.0), (120.0, 40.0)))
    drawn = nodes(horizon_strip([(0.0, 10.0)], [path], SAY), "polyline")
    assert [node.get("stroke-dasharray") is not None for node in drawn] == [True, False]


def test_a_way_over_north_goes_to_both_edges():
    eastward = SunPath("day", ((350.0, 20.0, ""), (10.0, 30.0, "")))
    assert [piece.ends for piece in pieces([], eastward, 0.0)] == [
        ((350.0, 20.0), (360.0, 25.0)),
        ((0.0, 25.0), (10.0, 30.0)),
    ]
    westward = SunPath("day", ((5.0, 20.0, ""), (345.0, 40.0, "")))
    assert [piece.ends for piece in pieces([], westward, 0.0)] == [
        ((5.0, 20.0), (0.0, 25.0)),
        ((360.0, 25.0), (345.0, 40.0)),
    ]


def test_a_way_begins_and_ends_at_the_level_horizon():
    path = SunPath("day", ((80.0, -10.0, ""), (100.0, 10.0, ""), (130.0, -20.0, "")))
    [piece] = pieces([], path, 0.0)
    assert piece.ends == ((90.0, 0.0), (100.0, 10.0), (110.0, 0.0))


def test_a_sun_that_is_always_down_is_told_in_words():
    night = SunPath("21 December", ((170.0, -3.0, "12:00"), (190.0, -3.0, "14:00")))
    svg = horizon_strip([], [night], SAY)
    assert "21 December: the sun does not rise" in texts(svg)
    assert not nodes(svg, "polyline")
    assert "12:00" not in texts(svg)


def test_dashes_are_explained_only_where_there_are_any():
    told = "dashed: the sun is behind the ground"
    paths, say = sun_over("London", date(2027, 5, 8))
    assert told in texts(horizon_strip(HILLS, paths, say))
    assert told not in texts(horizon_strip([], paths, say))


def test_the_day_that_matters_most_is_drawn_thicker():
    paths, say = sun_over("London", date(2027, 5, 8))
    widths = [
        float(node.get("stroke-width")) for node in nodes(horizon_strip([], paths, say), "polyline")
    ]
    assert widths[0] == 2 * widths[1] == 2 * widths[2]


@pytest.mark.parametrize("name", PLACES)
@pytest.mark.parametrize("today", [date(2027, 3, 20), date(2027, 5, 8), date(2027, 11, 25)])
def test_words_keep_clear_of_each_other_and_inside(name, today):
    paths, say = sun_over(name, today)
    svg = horizon_strip(HILLS, paths, say)
    boxes = []
    for node in nodes(svg, "text"):
        size = float(node.get("font-size"))
        top = float(node.get("y")) - size * (TALL_SHARE - BASE_SHARE)
        wide = text_width_mm(node.text, size)
        boxes.append(Box(float(node.get("x")), top, wide, size * TALL_SHARE))
    paper = Box(-0.01, -0.01, 170.02, 68.02)
    assert all(paper.holds(box) for box in boxes)
    slack = -0.02  # coordinates are written to a hundredth of a millimetre
    assert not [pair for pair in combinations(boxes, 2) if pair[0].grown(slack).overlaps(pair[1])]


def test_the_drawing_is_plain_line_art_with_a_title():
    paths, say = sun_over("Sydney", date(2027, 5, 8))
    svg = horizon_strip(HILLS, paths, say)
    root = ElementTree.fromstring(svg)
    assert root.get("viewBox") == "0 0 170 68"
    assert nodes(svg, "title")[0].text == "The horizon and the sun over it"
    used = {key for node in root.iter() for key in node.attrib}
    assert not used & {"style", "id", "class"}
    inks = {node.get(key) for node in root.iter() for key in ("fill", "stroke")}
    assert inks <= {None, "none", "black", "white", "#d9d9d9"}


def test_words_from_outside_are_escaped():
    path = SunPath("<b>&", ((90.0, 10.0, '"<i>'), (100.0, 20.0, "")))
    svg = horizon_strip([], [path], SAY)
    assert "<b>" not in svg
    assert "<b>&" in texts(svg)


@pytest.mark.parametrize("name", PLACES)
def test_the_noon_sun_stands_as_high_as_the_obliquity_says(name):
    place, _zone = PLACES[name]
    paths, _say = sun_over(name, date(2027, 3, 20))
    highest = {path.label: path.highest()[1] for path in paths}
    # The sun's declination is the obliquity, 23.44 degrees (Astronomical Almanac), at a solstice.
    for label, declination_deg in (("21 June", 23.44), ("21 December", -23.44)):
        expected = 90 - abs(place.latitude_deg - declination_deg)
        if expected < 0:
            assert highest[label] < 0
        else:
            # Air lifts it a little: 0.06 degrees at 15, less above.
            assert highest[label] == pytest.approx(expected, abs=0.1)


@pytest.mark.parametrize(("name", "north_deg"), [("London", 180.0), ("Sydney", 0.0)])
def test_at_noon_the_sun_stands_south_in_the_north_and_north_in_the_south(name, north_deg):
    paths, _say = sun_over(name, date(2027, 5, 8))
    for path in paths:
        azimuth, _elevation = path.highest()
        assert abs((azimuth - north_deg + 180) % 360 - 180) < 4  # five minutes of a high sun


def test_far_north_the_june_sun_goes_all_the_way_round():
    paths, say = sun_over("Tromsø", date(2027, 5, 8))
    june, december = paths[1], paths[2]
    assert min(elevation for _azimuth, elevation, _hour in june.points) > 0
    assert max(elevation for _azimuth, elevation, _hour in december.points) < 0
    assert "21 December: the sun does not rise" in texts(horizon_strip([], paths, say))


def test_every_other_hour_is_told_once_on_the_clock_of_the_place():
    paths, _say = sun_over("Sydney", date(2027, 3, 20))
    hours = [hour for _azimuth, _elevation, hour in paths[0].points if hour]
    assert hours == [f"{hour:02d}:00" for hour in range(0, 24, 2)]


def test_a_day_near_a_more_wanted_one_goes_without_hours():
    paths, _say = sun_over("London", date(2027, 6, 1))
    told = [any(hour for _azimuth, _elevation, hour in path.points) for path in paths]
    assert told == [True, False, True]


def test_a_day_of_23_hours_has_23_hours_of_sun():
    # Clocks went forward in the United Kingdom on 28 March 2027 (last Sunday, EU rule kept).
    paths, _say = sun_over("London", date(2027, 3, 28))
    assert len(paths[0].points) == 23 * 12 + 1


def test_a_place_off_the_globe_is_refused():
    with pytest.raises(OutOfRange, match="latitude_deg"):
        sun_paths(Place(95.0, 0.0), [("today", date(2027, 5, 8))], SAY)
