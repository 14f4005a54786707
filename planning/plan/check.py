"""What no plan can be made from: each refused in a sentence that names the field."""

import dataclasses
import math
from zoneinfo import ZoneInfo

from planning.physics.horizon import checked_horizon
from planning.plan.inputs import LightInputs, SetInputs
from planning.plan.refusal import no_plan
from planning.plan.words import gettext_noop as _
from planning.plan.words import say

BEHIND_DEG = 150.0  # from here on an incident dome toward the lens hardly sees the lamp
MOST_SLOPE_DEG = 30.0
MOST_STOPS = 12.0  # beyond this a wish in stops is a slip of the pen
MOST_MINUTES = 24 * 60.0
ROLES = ("key", "fill", "rim", "background")
PLANES = ("backdrop", "face", "shade", "sky")
# Above 0 wherever they stand, and when given at all.
SIZES = {
    "widest_f_number": _("an aperture such as f/2.8"),
    "smallest_f_number": _("an aperture such as f/22"),
    "wanted_f_number": _("an aperture, or leave it empty"),
    "given_f_number": _("an aperture, or leave it empty"),
    "given_iso": _("an ISO, or leave it empty"),
    "iso": _("the lowest ISO the group works at, such as 100"),
    "highest_iso": _("the highest ISO, such as 1600"),
    "slowest_hand_held_s": _("a shutter such as 1/60"),
    "focal_mm": _("the focal length in millimetres, such as 85"),
    "camera_distance_m": _("the distance to the subject in metres"),
    "face_height_m": _("the height of the face in metres"),
    "subject_height_m": _("the height of the subject in metres"),
    "white_balance_k": _("a white balance such as 5500"),
    "turn_min": _("the minutes of one turn"),
    "rounds": _("how many rounds, 1 or more"),
    "sync_s": _("the flash sync speed, such as 1/160"),
    "fastest_shutter_s": _("the fastest shutter, such as 1/4000"),
    "lowest_iso": _("the lowest native ISO, such as 100"),
    "curtain_s": _("a shutter time, or leave it empty"),
    "sensor_width_mm": _("the sensor's width in millimetres"),
    "sensor_height_mm": _("the sensor's height in millimetres"),
    "distance_m": _("the cord from front fabric to face in metres"),
    "least_power": _("the head's least power, such as 1/256"),
    "capacity_wh": _("the battery's watt-hours"),
    "health_share": _("what is left of the battery, 1 when new"),
    "stops": _("the filter's stops"),
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
    """Raise NoPlan for the first input a plan cannot stand on; say what to enter."""
    _check_figures(inputs)
    _check_set(inputs)
    checked_horizon(inputs.location.horizon)
    _check_forecast(inputs)
    for reading in inputs.readings:
        if reading.plane not in PLANES:
            raise _not_one_of("reading", reading.plane, PLANES)
        if reading.kind == "spot" and reading.plane in ("face", "shade"):
            raise no_plan(
                "reading", _("a spot reading is of the backdrop: read the face with the dome")
            )
    names = [light.name for light in inputs.lights]
    for light in inputs.lights:
        if names.count(light.name) > 1:
            raise no_plan(
                "name", _("two lights share this name: rename one"), part=light.name, is_light=True
            )
        _check_light(inputs, light)


def _check_figures(part, name: str = "", is_light: bool = False) -> None:
    """Every figure finite and on its own side of 0, whatever record it came from."""
    for field in dataclasses.fields(part):
        value = getattr(part, field.name)
        for one in value if isinstance(value, tuple) else (value,):
            if dataclasses.is_dataclass(one):
                own = getattr(one, "name", "")
                _check_figures(one, own or name, is_light=isinstance(one, LightInputs))
        if isinstance(value, bool) or not isinstance(value, int | float):
            continue
        if wrong := _wrong(field.name, value):
            message, told = wrong
            figures = {"value": (f"{value:g}", "text")} | told
            raise no_plan(field.name, message, part=name, is_light=is_light, **figures)


def _wrong(field: str, value: float) -> tuple[str, dict] | None:
    """Return the sentence and its figures for a figure no plan can stand on."""
    if not math.isfinite(value):
        return _("{value} is no number: enter a finite one"), {}
    if field in SIZES and value <= 0:
        return _("{value} must be above 0: enter {what}"), {"what": (say(SIZES[field]), "words")}
    if field in AMOUNTS and value < 0:
        return _("{value} is below 0: enter 0 or more"), {}
    if field in SHARES and not 0 < value <= 1:
        return _("{value} must lie above 0 and up to 1"), {}
    if "stops" in field and abs(value) > MOST_STOPS:
        most = {"most": (MOST_STOPS, "whole")}
        return _("{value} stops is a slip: enter {most} at most"), most
    if field.endswith("_min") and abs(value) > MOST_MINUTES:
        return _("{value} minutes is over a day: enter less"), {}
    return None


def _not_one_of(field: str, value: str, known: tuple[str, ...], **part) -> Exception:
    told = {"value": (value, "text"), "known": (", ".join(known), "text")}
    return no_plan(field, _("“{value}” is none of these: {known}"), **told, **part)


def _check_set(inputs: SetInputs) -> None:
    if inputs.start_at.tzinfo is None or inputs.end_at.tzinfo is None:
        raise no_plan("start_at", _("a time without a time zone names no instant"))
    if inputs.end_at <= inputs.start_at:
        raise no_plan("end_at", _("the set ends before it starts: enter a later end"))
    try:
        ZoneInfo(inputs.location.timezone)
    except (KeyError, ValueError):
        name = {"name": (inputs.location.timezone, "text")}
        sentence = _("“{name}” is no time zone: enter an IANA name such as Europe/London")
        raise no_plan("timezone", sentence, **name) from None
    if inputs.smallest_f_number < inputs.widest_f_number:
        raise no_plan(
            "smallest_f_number", _("smaller openings have larger numbers: enter f/16 or more")
        )
    if inputs.job not in ("key", "fill", "rim"):
        raise _not_one_of("job", inputs.job, ("key", "fill", "rim"))
    if inputs.base_kind not in ("incident", "spot", "sky"):
        raise _not_one_of("base_kind", inputs.base_kind, ("incident", "spot", "sky"))
    if not 0.0 <= inputs.location.sky_cover_share < 1.0:
        cover = {"value": (f"{inputs.location.sky_cover_share:g}", "text")}
        raise no_plan("sky_cover_share", _("{value} must lie from 0 to below 1"), **cover)
    if not 0.0 <= inputs.location.slope_deg <= MOST_SLOPE_DEG:
        raise no_plan(
            "slope_deg",
            _("{value} must lie from 0 to {most}: no stand belongs on more"),
            part=inputs.location.name,
            value=(f"{inputs.location.slope_deg:g}", "text"),
            most=(MOST_SLOPE_DEG, "whole"),
        )
    if inputs.lights and inputs.job not in {light.role for light in inputs.lights}:
        sentence = _("the job of this set is {job}: add a light with that role")
        raise no_plan("lights", sentence, job=(say(inputs.job), "words"))


def _check_forecast(inputs: SetInputs) -> None:
    forecast = inputs.forecast
    if forecast is None or forecast.gust_m_s is None or forecast.wind_m_s is None:
        return
    if forecast.gust_m_s < forecast.wind_m_s:
        raise no_plan(
            "gust_m_s",
            _(
                "a gust of {gust} lies below the mean wind of {mean}: enter the gust, or leave it "
                "empty"
            ),
            gust=(forecast.gust_m_s, "m_s"),
            mean=(forecast.wind_m_s, "m_s"),
        )


def _check_light(inputs: SetInputs, light: LightInputs) -> None:
    part = {"part": light.name, "is_light": True}
    if light.role not in ROLES:
        raise _not_one_of("role", light.role, ROLES, **part)
    if light.guide_number_m is None and light.energy_ws <= 0:
        sentence = _(
            "{value} must be above 0: enter the strobe's watt-seconds, or its guide number, on "
            "the kit kind"
        )
        raise no_plan("energy_ws", sentence, value=(f"{light.energy_ws:g}", "text"), **part)
    if light.guide_number_m is not None and light.guide_number_m <= 0:
        value = {"value": (f"{light.guide_number_m:g}", "text")}
        raise no_plan("guide_number_m", _("{value} must be above 0"), **value, **part)
    if light.role in ("key", "fill") and abs(light.angle_deg) >= BEHIND_DEG:
        sentence = _(
            "at {angle} the lamp stands behind the subject: make it a rim, or bring it round to "
            "the front"
        )
        raise no_plan("angle_deg", sentence, angle=(light.angle_deg, "deg"), **part)
    rise_m = abs(light.lamp_height_m - inputs.face_height_m)
    if light.distance_m < rise_m:
        sentence = _(
            "a cord of {cord} does not reach from the face at {face} to a lamp at {lamp}: lower "
            "the lamp or lengthen the cord"
        )
        figures = {
            "cord": (light.distance_m, "m"),
            "face": (inputs.face_height_m, "m"),
            "lamp": (light.lamp_height_m, "m"),
        }
        raise no_plan("distance_m", sentence, **figures, **part)
