"""The side view stands lamps, sun and shadows where the sums say, to one scale both ways."""

import math
from dataclasses import replace
from datetime import datetime, timedelta
from xml.etree import ElementTree
from zoneinfo import ZoneInfo

import pytest

from planning.drawings.labels import Drawing
from planning.drawings.side_view import side_view
from planning.figures import Figures
from planning.physics.sun import Place
from planning.plan import evaluate
from tests.sheets.example import full_beach, location, slate_wall

SAY = Figures(timezone="Europe/London")


def shown(inputs, say=SAY, width_mm=110, height_mm=62) -> Drawing:
    return side_view(evaluate(inputs), inputs, say, width_mm=width_mm, height_mm=height_mm)


def drawn(inputs, say=SAY) -> ElementTree.Element:
    return ElementTree.fromstring(shown(inputs, say).svg)


def nodes(root, name):
    return [node for node in root.iter() if node.tag.endswith(f"}}{name}")]


def words(root) -> str:
    return " | ".join(node.text for node in nodes(root, "text"))


def circles(root) -> list[tuple[float, float]]:
    return [(float(one.get("cx")), float(one.get("cy"))) for one in nodes(root, "circle")]


def test_a_lamp_stands_as_far_off_and_as_high_as_its_cord_says():
    # Cord 2.0 m from 2.3 m up to a face at 1.55 m: on the ground sqrt(4 - 0.75^2) = 1.854 m.
    (face_x, face_y), (lamp_x, lamp_y) = circles(drawn(slate_wall()))
    run, rise = face_x - lamp_x, face_y - lamp_y
    assert run > 0, "a lamp before the subject stands on the camera's side"
    assert run / rise == pytest.approx(1.854 / 0.75, rel=0.01)


def test_a_rim_stands_on_the_far_side():
    beach = full_beach()
    places = circles(drawn(beach))
    face, lamps = places[0], places[1:]
    sides = [lamp[0] > face[0] for lamp in lamps]
    assert sides == [abs(light.angle_deg) > 90 for light in beach.lights]


def test_the_ray_of_the_sun_falls_at_its_own_height():
    inputs = slate_wall()
    plan = evaluate(inputs)
    rays = [
        (float(one.get("x2")) - float(one.get("x1")), float(one.get("y2")) - float(one.get("y1")))
        for one in nodes(drawn(inputs), "line")
        if one.get("stroke-dasharray") == "2.2 1"
    ]
    assert rays
    for across, down in rays:
        slope_deg = math.degrees(math.atan2(abs(down), abs(across)))
        assert slope_deg == pytest.approx(plan.sun[0].elevation_deg, abs=0.3)


def test_shadow_and_heights_are_told_in_words():
    told = words(drawn(slate_wall()))
    # 1.75 m under a sun of 60.4 degrees: 1.75 / tan 60.4 = 0.99 m.
    assert "shadow 1.0 m at 14:10" in told.replace("\N{NO-BREAK SPACE}", " ")
    assert "lamp 2.3" in told
    imperial = words(drawn(slate_wall(), Figures(units="imperial", timezone="Europe/London")))
    assert "7 ft 7" in imperial.replace("\N{NO-BREAK SPACE}", " ")  # 2.3 m is 7 ft 6.6 in


def test_a_low_sun_in_the_south_of_the_world_throws_a_long_shadow_told_to_its_end():
    place = location(place=Place(-42.88, 147.33), timezone="Australia/Hobart", horizon=())
    evening = datetime(2026, 11, 13, 18, 30, tzinfo=ZoneInfo("Australia/Hobart"))
    inputs = slate_wall(location=place)
    inputs = replace(inputs, start_at=evening, end_at=evening + timedelta(hours=1))
    row = evaluate(inputs).sun[0]
    assert row.shadow_m > 3
    root = drawn(inputs)
    assert SAY.length(row.shadow_m) in words(root)


def test_with_the_sun_down_there_is_no_ray_and_no_shadow():
    inputs = slate_wall()
    night = timedelta(hours=10)
    inputs = replace(inputs, start_at=inputs.start_at + night, end_at=inputs.end_at + night)
    told = words(drawn(inputs))
    assert "sun" not in told
    assert "shadow" not in told


@pytest.mark.parametrize("inputs", [slate_wall(), full_beach()])
def test_words_lie_in_the_frame_and_on_no_others(inputs):
    root = drawn(inputs)
    plates = [
        tuple(float(one.get(name)) for name in ("x", "y", "width", "height"))
        for one in nodes(root, "rect")
        if one.get("stroke") == "none"
    ]
    assert plates
    for number, (x, y, wide, high) in enumerate(plates):
        assert x >= 0
        assert y >= 0
        assert x + wide <= 110
        assert y + high <= 62
        for ox, oy, owide, ohigh in plates[:number]:
            apart = x + wide <= ox or ox + owide <= x or y + high <= oy or oy + ohigh <= y
            assert apart


@pytest.mark.parametrize("wide_mm", [110, 76, 40])
def test_every_word_is_drawn_or_handed_back_and_the_lamps_have_the_first_choice(wide_mm):
    beach = full_beach()
    view = shown(beach, width_mm=wide_mm, height_mm=46)
    told = [*(one.label for one in view.labels), *view.left_over]
    for light in beach.lights:
        assert any(label.lines[0].startswith(light.name) for label in told), light.name
    names = [one.label.bold_first for one in view.labels]
    assert names == sorted(names, reverse=True)
    boxes = [one.box for one in view.labels]
    assert not any(a.overlaps(b) for n, a in enumerate(boxes) for b in boxes[n + 1 :])
