"""What no plan can be made from: each refused in a sentence that names the field."""

import math

from planning.physics.errors import OutOfRange
from planning.physics.horizon import checked_horizon
from planning.plan.inputs import LightInputs, SetInputs

BEHIND_DEG = 150.0  # from here on an incident dome toward the lens hardly sees the lamp


def check(inputs: SetInputs) -> None:
    """Raise OutOfRange for the first input a plan cannot stand on; say what to enter."""
    if inputs.end_at <= inputs.start_at:
        raise OutOfRange("end_at: the set ends before it starts: enter a later end")
    if inputs.start_at.tzinfo is None or inputs.end_at.tzinfo is None:
        raise OutOfRange("start_at: a time without a time zone names no instant")
    _positive("widest_f_number", inputs.widest_f_number, "an aperture such as f/2.8")
    _positive("smallest_f_number", inputs.smallest_f_number, "an aperture such as f/22")
    if inputs.smallest_f_number < inputs.widest_f_number:
        raise OutOfRange(
            "smallest_f_number: smaller openings have larger numbers: enter f/16 or more"
        )
    _positive("iso", inputs.iso, "the lowest ISO the group works at, such as 100")
    _positive("focal_mm", inputs.focal_mm, "the focal length in millimetres, such as 85")
    _positive("camera_distance_m", inputs.camera_distance_m, "the distance to the subject in m")
    for name in ("wanted_f_number", "given_f_number", "given_iso"):
        if getattr(inputs, name) is not None:
            _positive(name, getattr(inputs, name), "a value above 0, or leave it empty")
    if inputs.job not in ("key", "fill", "rim"):
        raise OutOfRange(f"job {inputs.job!r}: choose key, fill or rim")
    if inputs.base_kind not in ("incident", "spot", "sky"):
        raise OutOfRange(f"base_kind {inputs.base_kind!r}: choose incident, spot or sky")
    _share("backdrop_reflectance", inputs.backdrop_reflectance)
    _share("skin_reflectance", inputs.skin_reflectance)
    _share("wardrobe_reflectance", inputs.wardrobe_reflectance)
    checked_horizon(inputs.location.horizon)
    _check_forecast(inputs)
    names = [light.name for light in inputs.lights]
    for light in inputs.lights:
        if names.count(light.name) > 1:
            raise OutOfRange(f"light {light.name!r}: two lights share this name: rename one")
        _check_light(inputs, light)


def _check_forecast(inputs: SetInputs) -> None:
    forecast = inputs.forecast
    if forecast is None:
        return
    if (
        forecast.gust_m_s is not None
        and forecast.wind_m_s is not None
        and forecast.gust_m_s < forecast.wind_m_s
    ):
        raise OutOfRange(
            f"gust_m_s: a gust of {forecast.gust_m_s:g} m/s lies below the mean wind of "
            f"{forecast.wind_m_s:g} m/s: enter the gust, or leave it empty"
        )


def _check_light(inputs: SetInputs, light: LightInputs) -> None:
    where = f"light {light.name!r}: "
    _positive(where + "distance_m", light.distance_m, "the cord from front fabric to face in m")
    if light.guide_number_m is None:
        _positive(
            where + "energy_ws",
            light.energy_ws,
            "the strobe's watt-seconds, or its guide number, on the kit kind",
        )
    if light.role in ("key", "fill") and abs(light.angle_deg) >= BEHIND_DEG:
        raise OutOfRange(
            f"{where}angle_deg: at {light.angle_deg:g} degrees the lamp stands behind the subject: "
            "make it a rim, or bring it round to the front"
        )
    rise_m = abs(light.lamp_height_m - inputs.face_height_m)
    if light.distance_m < rise_m:
        raise OutOfRange(
            f"{where}distance_m: a cord of {light.distance_m:g} m does not reach from the face at "
            f"{inputs.face_height_m:g} m to a lamp at {light.lamp_height_m:g} m: lower the lamp or "
            "lengthen the cord"
        )


def _positive(name: str, value: float, enter: str) -> None:
    if not (math.isfinite(value) and value > 0):
        raise OutOfRange(f"{name}: {value:g} must be above 0: enter {enter}")


def _share(name: str, value: float) -> None:
    if not 0.0 < value <= 1.0:
        raise OutOfRange(f"{name}: {value:g} must lie above 0 and up to 1 (0.18 is mid-grey)")
