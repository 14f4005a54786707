"""What no plan can be made from: each refused in a sentence that names the field."""

import dataclasses
import math
from zoneinfo import ZoneInfo

from planning.physics.errors import OutOfRange
from planning.physics.horizon import checked_horizon
from planning.plan.inputs import LightInputs, SetInputs

BEHIND_DEG = 150.0  # from here on an incident dome toward the lens hardly sees the lamp
MOST_SLOPE_DEG = 30.0
MOST_STOPS = 12.0  # beyond this a wish in stops is a slip of the pen
MOST_MINUTES = 24 * 60.0
ROLES = ("key", "fill", "rim", "background")
PLANES = ("backdrop", "face", "shade", "sky")
# Above 0 wherever they stand, and when given at all.
SIZES = {
    "widest_f_number": "an aperture such as f/2.8",
    "smallest_f_number": "an aperture such as f/22",
    "wanted_f_number": "an aperture, or leave it empty",
    "given_f_number": "an aperture, or leave it empty",
    "given_iso": "an ISO, or leave it empty",
    "iso": "the lowest ISO the group works at, such as 100",
    "highest_iso": "the highest ISO, such as 1600",
    "slowest_hand_held_s": "a shutter such as 1/60",
    "focal_mm": "the focal length in millimetres, such as 85",
    "camera_distance_m": "the distance to the subject in metres",
    "face_height_m": "the height of the face in metres",
    "subject_height_m": "the height of the subject in metres",
    "white_balance_k": "a white balance such as 5500",
    "turn_min": "the minutes of one turn",
    "rounds": "how many rounds, 1 or more",
    "sync_s": "the flash sync speed, such as 1/160",
    "fastest_shutter_s": "the fastest shutter, such as 1/4000",
    "lowest_iso": "the lowest native ISO, such as 100",
    "curtain_s": "a shutter time, or leave it empty",
    "sensor_width_mm": "the sensor's width in millimetres",
    "sensor_height_mm": "the sensor's height in millimetres",
    "distance_m": "the cord from front fabric to face in metres",
    "least_power": "the head's least power, such as 1/256",
    "capacity_wh": "the battery's watt-hours",
    "health_share": "what is left of the battery, 1 when new",
    "stops": "the filter's stops",
}
AMOUNTS = frozenset(  # 0 or more
    [
        "rig_min",
        "brief_min",
        "demo_min",
        "changeover_min",
        "critique_min",
        "strike_min",
        "walk_min",
        "demo_frames",
        "frames_per_attendee",
        "set_index",
        "other_heads",
        "gap_behind_m",
        "source_diameter_m",
        "source_offset_m",
        "face_area_m2",
        "face_width_m",
        "stand_mass_kg",
        "top_mass_kg",
        "leg_radius_m",
        "bag_kg",
        "overhang_m",
        "overhang_mass_kg",
        "idle_w",
        "modelling_w",
        "guide_number_spread_stops",
        "spread_stops",
        "lamp_height_m",
        "slope_deg",
        "gust_m_s",
        "humidity_percent",
        "sync_penalty_stops",
        "gel_loss_stops",
        "hss_overhead_stops",
    ]
)
SHARES = frozenset(  # above 0 and up to 1
    [
        "backdrop_reflectance",
        "skin_reflectance",
        "wardrobe_reflectance",
        "health_share",
        "least_power",
    ]
)


def check(inputs: SetInputs) -> None:
    """Raise OutOfRange for the first input a plan cannot stand on; say what to enter."""
    _check_figures("", inputs)
    _check_set(inputs)
    checked_horizon(inputs.location.horizon)
    _check_forecast(inputs)
    for reading in inputs.readings:
        if reading.plane not in PLANES:
            raise OutOfRange(f"reading of {reading.plane!r}: choose {', '.join(PLANES)}")
        if reading.kind == "spot" and reading.plane in ("face", "shade"):
            raise OutOfRange(
                f"reading of the {reading.plane}: a spot reading is of the backdrop: read the "
                "face with the dome"
            )
    names = [light.name for light in inputs.lights]
    for light in inputs.lights:
        if names.count(light.name) > 1:
            raise OutOfRange(f"light {light.name!r}: two lights share this name: rename one")
        _check_light(inputs, light)


def _check_figures(where: str, part) -> None:
    """Every figure finite and on its own side of 0, whatever record it came from."""
    for field in dataclasses.fields(part):
        value = getattr(part, field.name)
        for one in value if isinstance(value, tuple) else (value,):
            if dataclasses.is_dataclass(one):
                _check_figures(_named(where, one), one)
        if isinstance(value, bool) or not isinstance(value, int | float):
            continue
        name = where + field.name
        if not math.isfinite(value):
            raise OutOfRange(f"{name}: {value} is no number: enter a finite one")
        if field.name in SIZES and value <= 0:
            raise OutOfRange(f"{name}: {value:g} must be above 0: enter {SIZES[field.name]}")
        if field.name in AMOUNTS and value < 0:
            raise OutOfRange(f"{name}: {value:g} is below 0: enter 0 or more")
        if field.name in SHARES and not 0 < value <= 1:
            raise OutOfRange(f"{name}: {value:g} must lie above 0 and up to 1")
        if "stops" in field.name and abs(value) > MOST_STOPS:
            raise OutOfRange(f"{name}: {value:g} stops is a slip: enter {MOST_STOPS:g} at most")
        if field.name.endswith("_min") and abs(value) > MOST_MINUTES:
            raise OutOfRange(f"{name}: {value:g} minutes is over a day: enter less")


def _named(where: str, part) -> str:
    if isinstance(part, LightInputs):
        return f"light {part.name!r}: "
    name = getattr(part, "name", "")
    return f"{where}{name}: " if name else where


def _check_set(inputs: SetInputs) -> None:
    if inputs.start_at.tzinfo is None or inputs.end_at.tzinfo is None:
        raise OutOfRange("start_at: a time without a time zone names no instant")
    if inputs.end_at <= inputs.start_at:
        raise OutOfRange("end_at: the set ends before it starts: enter a later end")
    try:
        ZoneInfo(inputs.location.timezone)
    except (KeyError, ValueError):
        raise OutOfRange(
            f"timezone {inputs.location.timezone!r}: enter an IANA name such as Europe/London"
        ) from None
    if inputs.smallest_f_number < inputs.widest_f_number:
        raise OutOfRange(
            "smallest_f_number: smaller openings have larger numbers: enter f/16 or more"
        )
    if inputs.job not in ("key", "fill", "rim"):
        raise OutOfRange(f"job {inputs.job!r}: choose key, fill or rim")
    if inputs.base_kind not in ("incident", "spot", "sky"):
        raise OutOfRange(f"base_kind {inputs.base_kind!r}: choose incident, spot or sky")
    if not 0.0 <= inputs.location.sky_cover_share < 1.0:
        raise OutOfRange(
            f"sky_cover_share: {inputs.location.sky_cover_share:g} must lie from 0 to below 1"
        )
    if not 0.0 <= inputs.location.slope_deg <= MOST_SLOPE_DEG:
        raise OutOfRange(
            f"slope_deg of {inputs.location.name}: {inputs.location.slope_deg:g} must lie from 0 "
            f"to {MOST_SLOPE_DEG:g}: no stand belongs on more"
        )
    if inputs.lights and inputs.job not in {light.role for light in inputs.lights}:
        raise OutOfRange(f"lights: the job of this set is {inputs.job}: add a light with that role")


def _check_forecast(inputs: SetInputs) -> None:
    forecast = inputs.forecast
    if forecast is None or forecast.gust_m_s is None or forecast.wind_m_s is None:
        return
    if forecast.gust_m_s < forecast.wind_m_s:
        raise OutOfRange(
            f"gust_m_s: a gust of {forecast.gust_m_s:g} m/s lies below the mean wind of "
            f"{forecast.wind_m_s:g} m/s: enter the gust, or leave it empty"
        )


def _check_light(inputs: SetInputs, light: LightInputs) -> None:
    where = f"light {light.name!r}: "
    if light.role not in ROLES:
        raise OutOfRange(f"{where}role {light.role!r}: choose {', '.join(ROLES)}")
    if light.guide_number_m is None and light.energy_ws <= 0:
        raise OutOfRange(
            f"{where}energy_ws: {light.energy_ws:g} must be above 0: enter the strobe's "
            "watt-seconds, or its guide number, on the kit kind"
        )
    if light.guide_number_m is not None and light.guide_number_m <= 0:
        raise OutOfRange(f"{where}guide_number_m: {light.guide_number_m:g} must be above 0")
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
