"""Depth of field and frame against published examples and the lens equation itself."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.physics.errors import OutOfRange
from planning.physics.optics import (
    circle_of_confusion_mm,
    depth_of_field_m,
    frame_size_m,
)
from tests.published import published


@pytest.mark.parametrize("row", published("depth_of_field"))
def test_depth_of_field_matches_published_examples(row):
    near_m, far_m = depth_of_field_m(
        float(row["focal_mm"]), float(row["f_number"]), float(row["distance_m"]), 0.03
    )
    tolerance = float(row["tolerance_share"])
    assert near_m == pytest.approx(float(row["near_m"]), rel=tolerance)
    assert far_m == pytest.approx(float(row["far_m"]), rel=tolerance)


# The exact form by hand, 85 mm f/2.8 at 3 m and 35 mm f/11 at 2 m, c 0.03 mm.
@pytest.mark.parametrize(
    ("focal_mm", "f_number", "distance_m", "near_m", "far_m"),
    [(85, 2.8, 3, 2.9017, 3.1052), (35, 11, 2, 1.3077, 4.2494), (50, 8, 5.23333, 3.4945, 10.4165)],
)
def test_depth_of_field_is_the_exact_form(focal_mm, f_number, distance_m, near_m, far_m):
    limits_m = depth_of_field_m(focal_mm, f_number, distance_m, 0.03)
    assert limits_m == pytest.approx((near_m, far_m), abs=1e-3)


@settings(derandomize=True, database=None)
@given(st.floats(20, 200), st.floats(1, 22), st.floats(1, 8))
def test_a_point_at_either_limit_blurs_to_the_circle_of_confusion(focal_mm, f_number, distance_m):
    # Independent of the form: similar triangles behind the lens, blur = f/N |v' - v| / v'.
    def image_mm(subject_m):
        return 1 / (1 / focal_mm - 1 / (subject_m * 1000))

    focus_mm = image_mm(distance_m)
    for limit_m in depth_of_field_m(focal_mm, f_number, distance_m, 0.03):
        if math.isfinite(limit_m) and limit_m < 1000:
            shift_mm = abs(image_mm(limit_m) - focus_mm)
            blur_mm = focal_mm / f_number * shift_mm / image_mm(limit_m)
            assert blur_mm == pytest.approx(0.03, rel=1e-6)


def test_past_the_hyperfocal_distance_all_is_sharp_to_infinity():
    # H = 50^2 / (8 x 0.03) + 50 = 10 466.7 mm.
    assert math.isinf(depth_of_field_m(50, 8, 10.4667, 0.03)[1])
    assert math.isfinite(depth_of_field_m(50, 8, 10.46, 0.03)[1])


def test_closing_down_deepens_both_ways():
    open_near_m, open_far_m = depth_of_field_m(85, 2.8, 3, 0.03)
    near_m, far_m = depth_of_field_m(85, 11, 3, 0.03)
    assert near_m < open_near_m < 3 < open_far_m < far_m


# Diagonals over 1500: 43.27, 28.21 and 21.64 mm.
@pytest.mark.parametrize(
    ("width_mm", "height_mm", "coc_mm"),
    [(36, 24, 0.0288), (23.5, 15.6, 0.0188), (17.3, 13, 0.0144)],
)
def test_circle_of_confusion_follows_the_sensor(width_mm, height_mm, coc_mm):
    assert circle_of_confusion_mm(width_mm, height_mm) == pytest.approx(coc_mm, abs=5e-5)


# w (s - f) / f by hand, at 3 m.
@pytest.mark.parametrize(("focal_mm", "width_m"), [(50, 2.124), (85, 1.235), (24, 4.464)])
def test_frame_is_that_of_the_thin_lens(focal_mm, width_m):
    frame_m = frame_size_m(focal_mm, 36, 24, 3)
    assert frame_m == pytest.approx((width_m, width_m * 2 / 3), abs=1e-3)


# Angles of view printed for 36 x 24 mm; far away the frame fills 2 s tan(angle / 2).
@pytest.mark.parametrize(
    ("focal_mm", "angle_deg"), [(24, 73.74), (50, 39.60), (85, 23.91), (200, 10.29)]
)
def test_far_away_the_frame_fills_the_printed_angle(focal_mm, angle_deg):
    width_m, _ = frame_size_m(focal_mm, 36, 24, 10_000)
    assert width_m == pytest.approx(20_000 * math.tan(math.radians(angle_deg) / 2), rel=5e-4)


@pytest.mark.parametrize("bad", [0, -5, math.nan, math.inf])
@pytest.mark.parametrize("name", ["focal_mm", "f_number", "distance_m", "coc_mm"])
def test_a_size_that_is_none_is_refused_by_name(name, bad):
    good = {"focal_mm": 50, "f_number": 8, "distance_m": 3, "coc_mm": 0.03}
    with pytest.raises(OutOfRange, match=name):
        depth_of_field_m(**{**good, name: bad})


def test_focus_inside_the_focal_length_is_refused():
    with pytest.raises(OutOfRange, match="distance_m"):
        depth_of_field_m(200, 8, 0.2, 0.03)
    with pytest.raises(OutOfRange, match="distance_m"):
        frame_size_m(200, 36, 24, 0.1)


def test_a_sensor_without_size_is_refused():
    with pytest.raises(OutOfRange, match="sensor_width_mm"):
        circle_of_confusion_mm(0, 24)
