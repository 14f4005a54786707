"""The lamps: what each must read alone, at which power, and how it stands to the sun."""

import math
from dataclasses import dataclass, replace

from planning.physics import constants as c
from planning.physics.colour import filtered_kelvin
from planning.physics.errors import OutOfRange
from planning.physics.exposure import f_mark, nearest_f_number
from planning.physics.flash import (
    beam_cover_m,
    distance_for,
    dome_weight,
    estimated_guide_number_m,
    fall_off_stops,
    power_for,
    power_mark,
    power_setting,
)
from planning.plan.exposure import Settled
from planning.plan.inputs import LightInputs, SetInputs
from planning.plan.result import FallOff, Light, Stand
from planning.plan.sun_side import level_distance_m, matching_height_m, sun_side
from planning.plan.words import Words, own_measurement, say
from planning.plan.words import gettext_noop as _

FRONTAL = ("key", "fill")
FULL_POWER_SLACK = 2.0**c.SAME_STOPS  # a head this little short still makes it


@dataclass(frozen=True)
class Lamp:
    """One light with the reading it must give alone, before power is marked."""

    given: LightInputs
    reading_f_number: float  # dome toward the lamp; 0: nothing left for it to do
    weight: float  # of its reading in the all-in one, dome toward the lens

    @property
    def frontal(self) -> bool:
        return self.given.role in FRONTAL


def solve(inputs: SetInputs, settled: Settled) -> tuple[Lamp, ...]:
    """Return what each lamp must read alone, so that the all-in reading is the working aperture.

    Frontal lamps share it: sum N_i^2 (1 + cos a_i)/2 + N_ambient^2 = N_work^2. A fill lamp
    reads its target under the working aperture; the keys share what is left in the ratio of
    their targets (one key takes it all); rim and background lamps are read alone and stay out
    of the sum. In a fill set the fill lamp adds to the shadow side what is missing there,
    against the sunny side's own light.
    """
    working_2 = settled.working_f_number**2
    if inputs.job == "fill":
        return _solve_fill(inputs, settled)
    reading_2 = {}
    taken = settled.face_f_number**2
    for light in inputs.lights:
        if light.role != "key":
            reading_2[light.name] = working_2 * 2.0**light.target_stops
        if light.role == "fill":
            taken += reading_2[light.name] * dome_weight(light.angle_deg)
    keys = [light for light in inputs.lights if light.role == "key"]
    left, shares = max(working_2 - taken, 0.0), sum(2.0**light.target_stops for light in keys)
    for light in keys:
        part = left * 2.0**light.target_stops / shares
        reading_2[light.name] = part / dome_weight(light.angle_deg)
    return tuple(
        Lamp(light, math.sqrt(reading_2[light.name]), dome_weight(light.angle_deg))
        for light in inputs.lights
    )


def _solve_fill(inputs: SetInputs, settled: Settled) -> tuple[Lamp, ...]:
    fills = [light for light in inputs.lights if light.role in FRONTAL]
    share_2 = 0.0
    if settled.fill_stops is not None and fills:
        share_2 = settled.face_f_number**2 * 2.0**settled.fill_stops / len(fills)
    working = settled.working_f_number
    return tuple(
        # The fill is judged on the side it fills, so its weight is whole there.
        Lamp(light, math.sqrt(share_2), 1.0)
        if light.role in FRONTAL
        else Lamp(light, working * 2.0 ** (light.target_stops / 2.0), dome_weight(light.angle_deg))
        for light in inputs.lights
    )


def all_in_f_number(settled: Settled, lamps: tuple[Lamp, ...]) -> float:
    """What an incident meter at the chin shows with everything on, dome toward the lens."""
    total = settled.face_f_number**2
    total += sum(lamp.reading_f_number**2 * lamp.weight for lamp in lamps)
    return math.sqrt(total)


def key_lamp(lamps: tuple[Lamp, ...]) -> Lamp | None:
    """The lamp the strip, options and remedies speak of: the key, else the fill, else the first."""
    for role in (*FRONTAL, None):
        for lamp in lamps:
            if role in (None, lamp.given.role):
                return lamp
    return None


def guide_number_m(light: LightInputs) -> float:
    """The lamp's guide number with modifier and gel; from watt-seconds when nothing better."""
    bare = light.guide_number_m
    if bare is None:
        bare = estimated_guide_number_m(light.energy_ws, light.modifier_stops)
    return bare * 2.0 ** (-light.gel_loss_stops / 2.0)


def guide_number_spread_stops(light: LightInputs) -> float:
    if light.guide_number_spread_stops is not None:
        return light.guide_number_spread_stops
    if light.guide_number_source == "estimate":
        return c.ESTIMATED_GUIDE_NUMBER_SPREAD_STOPS
    return c.OWN_GUIDE_NUMBER_SPREAD_STOPS


def guide_number_told(light: LightInputs) -> Words:
    """Where the guide number comes from and how far it may be off, as a page says it."""
    spread = (guide_number_spread_stops(light), "tenths")
    if light.guide_number_source == "own":
        return own_measurement(light.guide_number_readings, spread)
    if light.guide_number_readings:
        return say(
            _("estimate from {count} readings of the bare head, ±{spread} stop"),
            count=(light.guide_number_readings, "whole"),
            spread=spread,
        )
    return say(_("estimate, ±{spread} stop"), spread=spread)


def needed_power(light: LightInputs, reading_f_number: float, iso: float) -> float:
    """The share of full power the reading takes, not limited; 0 when there is nothing to do."""
    if reading_f_number <= 0.0:
        return 0.0
    return power_for(
        reading_f_number,
        guide_number_m(light),
        light.distance_m,
        iso,
        light.source_diameter_m,
        light.source_offset_m,
    )


def reach_m(light: LightInputs, reading_f_number: float, power: float, iso: float) -> float | None:
    """The cord at which a power gives the reading; None where even touching is too far."""
    try:
        return distance_for(
            reading_f_number,
            guide_number_m(light),
            power,
            iso,
            light.source_diameter_m,
            light.source_offset_m,
        )
    except OutOfRange:
        return None


def direction_deg(inputs: SetInputs, light: LightInputs) -> float:
    """True bearing from the subject to the lamp; the camera stands behind its own facing.

    Camera right lies to the subject's left: from the subject, turning toward camera right
    runs against the compass.
    """
    return (inputs.camera_facing_deg + 180.0 - light.angle_deg) % 360.0


def in_frame(inputs: SetInputs, light: LightInputs) -> bool:
    """Whether the stand, as wide as its box, shows in the picture."""
    level_m = level_distance_m(inputs, light)
    angle = math.radians(light.angle_deg)
    ahead_m = inputs.camera_distance_m - level_m * math.cos(angle)
    if ahead_m <= 0.0:
        return False
    aside_m = abs(level_m * math.sin(angle)) - light.face_width_m / 2.0
    half_width_m = ahead_m * inputs.camera.sensor_width_mm / (2.0 * inputs.focal_mm)
    return aside_m < half_width_m


def fall_off(inputs: SetInputs, light: LightInputs) -> FallOff:
    level_m = level_distance_m(inputs, light)

    def against_face(height_m: float) -> float:
        reach_m = math.hypot(level_m, light.lamp_height_m - height_m)
        return fall_off_stops(
            light.distance_m, reach_m, light.source_diameter_m, light.source_offset_m
        )

    return FallOff(
        face_stops=0.0,
        waist_stops=against_face(inputs.subject_height_m * c.WAIST_SHARE),
        feet_stops=against_face(0.0),
        ten_cm_stops=fall_off_stops(
            light.distance_m,
            light.distance_m + 0.1,
            light.source_diameter_m,
            light.source_offset_m,
        ),
        beam_cover_m=beam_cover_m(light.distance_m, light.beam_deg) if light.beam_deg else None,
    )


def _ground_stops(inputs: SetInputs, settled: Settled, lamp: Lamp) -> float | None:
    """The lamp's light on the ground at the subject's feet against the sun's there."""
    sun_ev = settled.levels.ground_sun_ev100
    if sun_ev is None or lamp.reading_f_number <= 0.0:
        return None
    over = 2.0 * math.log2(lamp.reading_f_number / settled.working_f_number)
    return settled.camera_ev100 + over + fall_off(inputs, lamp.given).feet_stops - sun_ev


def verdict(light: LightInputs, power: float, margin_low_stops: float) -> str:
    if power <= 0.0:
        return "nothing to do: the light there is enough"
    if power > FULL_POWER_SLACK:
        return "too weak"
    if power * FULL_POWER_SLACK < light.least_power:
        return "too strong"
    return "may be too weak" if margin_low_stops < 0.0 else "fits"


def set_power(settled: Settled, lamp: Lamp) -> float:
    """The head's own setting nearest to the need; 0 for a lamp with nothing to do."""
    power = needed_power(lamp.given, lamp.reading_f_number, settled.iso)
    if not power:
        return 0.0
    return power_setting(min(power, 1.0), lamp.given.power_step_stops, lamp.given.least_power)


def as_set(settled: Settled, lamps: tuple[Lamp, ...]) -> tuple[Lamp, ...]:
    """The lamps as their heads can really be set: what the meter will show comes from these."""
    rows = []
    for lamp in lamps:
        need = needed_power(lamp.given, lamp.reading_f_number, settled.iso)
        ratio = math.sqrt(set_power(settled, lamp) / need) if need else 0.0
        rows.append(replace(lamp, reading_f_number=lamp.reading_f_number * ratio))
    return tuple(rows)


def light_row(
    inputs: SetInputs, settled: Settled, lamp: Lamp, lamps: tuple[Lamp, ...], stand: Stand | None
) -> Light:
    light = lamp.given
    power = needed_power(light, lamp.reading_f_number, settled.iso)
    setting = set_power(settled, lamp)
    shown = as_set(settled, lamps)
    shown_alone = next(one for one in shown if one.given is light).reading_f_number
    shown_all_in = all_in_f_number(settled, shown)
    margin = -math.log2(power) if power else math.inf
    side, changes_at, then = sun_side(inputs, light)
    spread = guide_number_spread_stops(light)
    return Light(
        name=light.name,
        role=light.role,
        target_stops=light.target_stops,
        guide_number_m=guide_number_m(light),
        guide_number_source=light.guide_number_source,
        guide_number_spread_stops=spread,
        source_diameter_m=light.source_diameter_m,
        source_offset_m=light.source_offset_m,
        distance_m=light.distance_m,
        reading_f_number=lamp.reading_f_number,
        all_in_f_number=all_in_f_number(settled, lamps),
        power=power,
        power_mark=power_mark(setting, light.power_step_stops, light.power_scale)
        if power
        else "off",
        residual_stops=math.log2(setting / power) if power else 0.0,
        margin_stops=margin,
        in_frame=in_frame(inputs, light),
        sun_side=side,
        matching_height_m=matching_height_m(inputs, light, side),
        stand=stand,
        shown_f_number=shown_alone,
        shown_all_in_f_number=shown_all_in,
        reading_mark=_mark(shown_alone),
        all_in_mark=_mark(shown_all_in),
        set_power=setting,
        margin_low_stops=margin - spread,
        dome_weight=lamp.weight,
        angle_deg=light.angle_deg,
        direction_deg=direction_deg(inputs, light),
        modifier=light.modifier,
        gel=light.gel,
        colour_k=filtered_kelvin(c.FLASH_COLOUR_K, light.gel_shift_mired),
        fall_off=fall_off(inputs, light),
        sun_side_changes_at=changes_at,
        sun_side_then=then,
        ground_stops=_ground_stops(inputs, settled, lamp),
        guide_number_readings=light.guide_number_readings,
        guide_number_days=light.guide_number_days,
        guide_number_told=guide_number_told(light),
        verdict=verdict(light, power, margin - spread),
    )


def _mark(f_number: float) -> str:
    return f_mark(nearest_f_number(f_number)) if f_number >= 1.0 else ""
