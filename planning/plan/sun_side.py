"""Where the lamp stands to the sun: which side, how high, and when that changes."""

import math
from datetime import datetime, timedelta

from planning.physics import constants as c
from planning.physics.sun import SunPosition, matching_lamp_height_m, shadow_length_m
from planning.plan.ambient import clear_of_profile, local, sky_word, sun_at
from planning.plan.inputs import LightInputs, SetInputs
from planning.plan.result_sky import SunRow

SUN_CHANGE_STEP = timedelta(minutes=1)


def level_distance_m(inputs: SetInputs, light: LightInputs) -> float:
    """The lamp's distance over the ground; the cord runs slanting up to it."""
    rise_m = light.lamp_height_m - inputs.face_height_m
    return math.sqrt(max(light.distance_m**2 - rise_m**2, 0.0))


def sun_side_at(inputs: SetInputs, light: LightInputs, at: datetime) -> str:
    """same, opposite, behind subject (the sun is the rim) or none (no sun on the set)."""
    sun = sun_at(inputs, at)
    lit = inputs.subject_in_sun or inputs.backdrop_in_sun
    if not lit or sky_word(inputs) == "overcast" or not clear_of_profile(inputs, sun):
        return "none"
    off_deg = from_camera_deg(inputs, sun.azimuth_deg)
    if abs(off_deg) < c.SUN_AHEAD_DEG:
        return "behind subject"
    return "same" if off_deg * light.angle_deg >= 0.0 else "opposite"


def from_camera_deg(inputs: SetInputs, azimuth_deg: float) -> float:
    """A bearing against the camera's facing, -180 to 180, positive to the right."""
    return (azimuth_deg - inputs.camera_facing_deg + 180.0) % 360.0 - 180.0


def stands(inputs: SetInputs, sun: SunPosition) -> str:
    """Where the sun stands from the camera: ahead, side, behind (the photographer) or down."""
    if sun.elevation_deg <= 0.0:
        return "down"
    off_deg = abs(from_camera_deg(inputs, sun.azimuth_deg))
    if off_deg < c.SUN_AHEAD_DEG:
        return "ahead"
    return "behind" if off_deg > c.SUN_BEHIND_DEG else "side"


def sun_row(inputs: SetInputs, at: datetime) -> SunRow:
    """Return where the sun stands at an instant, for the camera and for what throws a shadow."""
    sun = sun_at(inputs, at)
    up = sun.elevation_deg > 0.0
    return SunRow(
        at=sun.at,
        elevation_deg=sun.elevation_deg,
        geometric_elevation_deg=sun.geometric_elevation_deg,
        azimuth_deg=sun.azimuth_deg,
        from_camera_deg=from_camera_deg(inputs, sun.azimuth_deg),
        shadow_toward_deg=(sun.azimuth_deg + 180.0) % 360.0 if up else None,
        shadow_length_ratio=1.0 / math.tan(math.radians(sun.elevation_deg)) if up else None,
        above_horizon_profile=clear_of_profile(inputs, sun),
        stands=stands(inputs, sun),
        compass_deg=compass_deg(inputs, sun.azimuth_deg),
        shadow_m=shadow_length_m(inputs.subject_height_m, sun.elevation_deg) if up else None,
    )


def compass_deg(inputs: SetInputs, true_deg: float) -> float | None:
    """A true bearing as the compass shows it; None where no declination is recorded."""
    declination_deg = inputs.location.declination_deg
    return None if declination_deg is None else (true_deg - declination_deg) % 360.0


def sun_side(inputs: SetInputs, light: LightInputs) -> tuple[str, datetime | None, str]:
    """Return the side over the whole set, and when it changes to which if it does."""
    first = sun_side_at(inputs, light, inputs.start_at)
    at = inputs.start_at
    while at < inputs.end_at:
        at = min(at + SUN_CHANGE_STEP, inputs.end_at)
        side = sun_side_at(inputs, light, at)
        # A sun passing straight behind the photographer changes sides before anybody can tell.
        if side != first and (side in ("none", "behind subject") or not _far_behind(inputs, at)):
            return "changes", local(inputs, at), side
    return first, None, first


def _far_behind(inputs: SetInputs, at: datetime) -> bool:
    off_deg = from_camera_deg(inputs, sun_at(inputs, at).azimuth_deg)
    return abs(off_deg) > c.SUN_BEHIND_DEG


def matching_height_m(inputs: SetInputs, light: LightInputs, side: str) -> float | None:
    """Lamp height that meets the sun's angle at mid-set, capped by the stand; None: no rule."""
    middle = inputs.start_at + (inputs.end_at - inputs.start_at) / 2
    sun = sun_at(inputs, middle)
    if side in ("none", "behind subject") or sun.elevation_deg <= 0.0:
        return None
    height_m = matching_lamp_height_m(
        inputs.face_height_m, level_distance_m(inputs, light), sun.elevation_deg
    )
    return min(height_m, light.top_height_m) if light.top_height_m else height_m
