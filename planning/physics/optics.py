"""What the lens holds sharp and how much the frame takes in; thin lens throughout."""

import math

from planning.physics.constants import CONFUSION_DIAGONAL_SHARE
from planning.physics.errors import OutOfRange
from planning.physics.ranges import require_positive


def depth_of_field_m(
    focal_mm: float, f_number: float, distance_m: float, coc_mm: float
) -> tuple[float, float]:
    """Return the near and far limits of sharpness in metres from the lens.

    Far is infinite at and past the hyperfocal distance. Raises OutOfRange for a size not
    above 0, or a distance not beyond the focal length.

    Source: exact thin-lens form, H = f^2 / (N c) + f, near s (H - f) / (H + s - 2 f),
    far s (H - f) / (H - s); not the form that drops f against s.
    """
    require_positive(focal_mm=focal_mm, f_number=f_number, coc_mm=coc_mm)
    _require_beyond_focus(focal_mm, distance_m)
    focal_m, confusion_m = focal_mm / 1000, coc_mm / 1000
    past_focal_m = focal_m**2 / (f_number * confusion_m)
    ahead_m = distance_m - focal_m
    near_m = distance_m * past_focal_m / (past_focal_m + ahead_m)
    if ahead_m >= past_focal_m:
        return near_m, math.inf
    return near_m, distance_m * past_focal_m / (past_focal_m - ahead_m)


def circle_of_confusion_mm(sensor_width_mm: float, sensor_height_mm: float) -> float:
    """Return the largest blur that still counts as sharp: the diagonal over 1500.

    Raises OutOfRange for a size not above 0. Source: common practice.
    """
    require_positive(sensor_width_mm=sensor_width_mm, sensor_height_mm=sensor_height_mm)
    return math.hypot(sensor_width_mm, sensor_height_mm) * CONFUSION_DIAGONAL_SHARE


def frame_size_m(
    focal_mm: float, sensor_width_mm: float, sensor_height_mm: float, distance_m: float
) -> tuple[float, float]:
    """Return the width and height of the frame in metres in the plane of focus.

    Raises OutOfRange for a size not above 0, or a distance not beyond the focal length.

    Source: thin lens, magnification f / (s - f).
    """
    require_positive(
        focal_mm=focal_mm, sensor_width_mm=sensor_width_mm, sensor_height_mm=sensor_height_mm
    )
    _require_beyond_focus(focal_mm, distance_m)
    metres_per_mm = (distance_m - focal_mm / 1000) / focal_mm
    return sensor_width_mm * metres_per_mm, sensor_height_mm * metres_per_mm


def _require_beyond_focus(focal_mm: float, distance_m: float) -> None:
    require_positive(distance_m=distance_m)
    if distance_m <= focal_mm / 1000:
        raise OutOfRange(
            f"distance_m must be more than the focal length, {focal_mm / 1000:g} m,"
            f" not {distance_m}"
        )
