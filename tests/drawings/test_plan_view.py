"""The plan view is to scale, turned with the camera, and its words never collide."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from django.utils.translation import override

from planning.drawings.geometry import Box, crosses
from planning.drawings.plan_view import plan_view
from planning.drawings.scene import fitted_scale, lamp_ground
from planning.drawings.side_view import side_view
from planning.figures import Figures
from planning.physics.sun import Place
from planning.plan import evaluate
from planning.plan.inputs import Landmark
from planning.sheets.handout import DRAWING_MM, SIDE_MM
from tests.sheets.example import FILL, OCTA, RIM, full_beach, location, slate_wall

SAY = Figures(timezone="Europe/London")
DRAWN = {"svg", "title", "line", "path", "circle", "polygon", "rect", "text", "tspan", "g"}
FRAME = Box(0, 0, 113, 96)
AUCKLAND = location(place=Place(-36.85, 174.76), timezone="Pacific/Auckland", declination_deg=19.8)

AWKWARD = {
    "worked day": slate_wall(),
    "everything at once": full_beach(),
    "lamps side by side": slate_wall(
        lights=(OCTA, replace(FILL, angle_deg=-42, distance_m=2.1), replace(RIM, angle_deg=-50))
    ),
    "lamp at the camera": slate_wall(lights=(replace(OCTA, angle_deg=0, distance_m=3.2),)),
    "lamp behind the subject": slate_wall(lights=(OCTA, replace(RIM, angle_deg=180))),
    "long lens": slate_wall(focal_mm=300, camera_distance_m=28.0),
    "very near": slate_wall(camera_distance_m=0.6, lights=(replace(OCTA, distance_m=0.8),)),
    "no lamp": slate_wall(lights=()),
    "southern": slate_wall(location=AUCKLAND),
    "many landmarks": slate_wall(
        location=location(
            landmarks=tuple(Landmark(f"Landmark number {n}", 40.0 + 3 * n) for n in range(9))
        )
    ),
    "water at the feet": full_beach(
        location=replace(full_beach().location, water_distance_m=2.0, water_bearing_deg=320)
    ),
    "no forecast, no declination": slate_wall(
        forecast=None, location=location(declination_deg=None)
    ),
}


def drawn(inputs, **size):
    return plan_view(evaluate(inputs), inputs, SAY, **{"width_mm": 113, "height_mm": 96, **size})


def crossed(drawing) -> list:
    """Return which labels a line to another label runs through."""
    return [
        (one.label.lines, other.label.lines)
        for one in drawing.labels
        for other in drawing.labels
        if one.leader and other is not one and crosses(*one.leader, other.box)
    ]


@pytest.mark.parametrize("height_mm", [60, 96, 124])
@pytest.mark.parametrize("case", AWKWARD)
def test_labels_do_not_overlap_and_stay_in_the_frame(case, height_mm):
    drawing = drawn(AWKWARD[case], height_mm=height_mm)
    boxes = [spot.box for spot in drawing.labels]
    clashes = [
        (a.label.lines, b.label.lines)
        for i, a in enumerate(drawing.labels)
        for b in drawing.labels[i + 1 :]
        if a.box.overlaps(b.box)
    ]
    assert not clashes
    assert not crossed(drawing)
    frame = Box(0, 0, 113, height_mm)
    assert all(frame.holds(box) for box in boxes)
    if height_mm > 60:  # at the least height the page prints what is left over below
        assert not drawing.left_over


@pytest.mark.parametrize("case", AWKWARD)
def test_no_line_runs_through_a_label_where_words_are_long(case):
    # Spanish, in feet and inches, in the handout's small frames: what does not fit is told below.
    inputs, say = AWKWARD[case], Figures(units="imperial", clock_hours=12)
    plan = evaluate(inputs)
    with override("es"):
        above = plan_view(plan, inputs, say, width_mm=DRAWING_MM[0], height_mm=DRAWING_MM[1])
        aside = side_view(plan, inputs, say, width_mm=SIDE_MM[0], height_mm=SIDE_MM[1])
    assert not crossed(above)
    assert not crossed(aside)
    assert len(above.left_over) <= 3


@pytest.mark.parametrize("case", AWKWARD)
def test_only_shapes_the_page_renderer_draws_are_used(case):
    root = ElementTree.fromstring(drawn(AWKWARD[case]).svg)
    tags = {node.tag.split("}")[1] for node in root.iter()}
    assert tags <= DRAWN
    assert root[0].tag.endswith("title")
    assert root[0].text.startswith("Plan view: ")


@pytest.mark.parametrize("case", AWKWARD)
def test_nothing_is_drawn_outside_the_frame(case):
    root = ElementTree.fromstring(drawn(AWKWARD[case]).svg)
    for node in root.iter():
        for key, limit in (("x1", 113), ("x2", 113), ("cx", 113), ("y1", 96), ("y2", 96)):
            if key in node.attrib:
                assert -0.01 <= float(node.attrib[key]) <= limit + 0.01


def test_the_photographers_left_is_left_on_the_page():
    scale = fitted_scale(slate_wall(), FRAME)
    lamp = lamp_ground(2.0, 1.55, 1.55, -45)
    assert scale.paper(lamp.right_m, lamp.ahead_m).x < scale.subject.x


def test_the_camera_stands_below_the_subject_and_looks_up():
    scale = fitted_scale(slate_wall(), FRAME)
    assert scale.paper(0, -3.2).y > scale.subject.y
    facing = scale.toward(320.0)
    assert (facing.x, facing.y) == pytest.approx((0, -1))


def test_a_bearing_right_of_the_camera_is_right_on_the_page():
    scale = fitted_scale(slate_wall(), FRAME)
    # East of a camera that faces 320 is 130 degrees to its right: right, and behind it.
    east = scale.toward(90.0)
    assert east.x > 0
    assert east.y > 0


def test_distances_are_to_the_scale_that_is_printed():
    scale = fitted_scale(slate_wall(), FRAME)
    metre = scale.paper(1.0, 0).minus(scale.paper(0, 0))
    assert metre.length() == pytest.approx(1000 / scale.ratio)  # millimetres of paper
    assert f"1:{scale.ratio}" in drawn(slate_wall()).svg


def test_a_raised_lamp_stands_nearer_on_the_ground_than_its_cord_is_long():
    # 3-4-5 triangle: cord 2.5 m, lamp 1.5 m above the face, 2.0 m on the ground.
    lamp = lamp_ground(2.5, 3.05, 1.55, 90)
    assert lamp.right_m == pytest.approx(2.0)
    assert lamp.ahead_m == pytest.approx(0.0, abs=1e-9)


def test_a_lamp_at_140_degrees_stands_behind_the_subject_on_the_right():
    lamp = lamp_ground(2.0, 1.55, 1.55, 140)
    assert lamp.right_m > 0
    assert lamp.ahead_m > 0


def test_the_shadow_ends_at_the_backdrop():
    # Camera north, sun from the south: the shadow runs up the page into the wall 1 m behind.
    inputs = slate_wall(camera_facing_deg=19.0, gap_behind_m=0.8)
    svg = drawn(inputs).svg
    thick = re.findall(
        r'<line x1="([\d.]+)" y1="([\d.]+)" x2="([\d.]+)" y2="([\d.]+)"[^>]*"0.9"', svg
    )
    wall_y = min(float(row[1]) for row in thick)
    assert all(float(row[3]) >= wall_y - 0.02 for row in thick)


def test_the_sun_of_the_southern_hemisphere_stands_north():
    plan = evaluate(
        slate_wall(location=AUCKLAND, camera_facing_deg=0.0, start_at=_noon(), end_at=_later())
    )
    assert abs((plan.sun[0].azimuth_deg + 180) % 360 - 180) < 60


def _noon():
    from datetime import UTC, datetime

    return datetime(2026, 12, 1, 0, 30, tzinfo=UTC)  # 13:30 in Auckland


def _later():
    from datetime import timedelta

    return _noon() + timedelta(minutes=60)


def test_hostile_words_are_escaped_and_cut():
    inputs = slate_wall(
        title="<script>alert(1)</script>",
        backdrop="]]><script>&" * 200,
        location=location(landmarks=(Landmark('"><script>', 300.0), Landmark("", 20.0))),
    )
    svg = drawn(inputs).svg
    assert "<script" not in svg
    ElementTree.fromstring(svg)


def test_the_same_inputs_draw_the_same():
    assert drawn(full_beach()).svg == drawn(full_beach()).svg


def test_feet_are_drawn_for_a_house_that_thinks_in_feet():
    feet = Figures(units="imperial", timezone="Europe/London")
    inputs = slate_wall()
    svg = plan_view(evaluate(inputs), inputs, feet, width_mm=113, height_mm=96).svg
    assert "cord 6\N{NO-BREAK SPACE}ft\N{NO-BREAK SPACE}7\N{NO-BREAK SPACE}in" in svg
    assert re.search(r">\d+\N{NO-BREAK SPACE}ft, 1:", svg)
