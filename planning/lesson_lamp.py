"""A set's lamp -> the figures its lesson may ask for, and how a figure is said in a lesson."""

from math import log2

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.figures import NO_BREAK, NOT_KNOWN, Figures
from planning.physics import flash
from planning.plan.inputs import LightInputs, SetInputs
from planning.plan.result import Light, SetPlan
from planning.templatetags import figures

FRONTAL_SIDES = ("same", "opposite", "changes")  # where the rule of the sun's side applies
SECOND_FACE_M = 0.5
FULL_POWER_SLACK = 1.0001


def lamp_figures(plan: SetPlan, inputs: SetInputs, say: Figures) -> dict[str, str | None]:
    """The lamp that does the set's job: what it is, what it reads, how it falls off."""
    pairs = zip(plan.lights, inputs.lights, strict=True)
    light, given = next((pair for pair in pairs if pair[0].role == plan.set.job), (None, None))
    if light is None:
        return {}
    return {**_placed(plan, light, given, say), **_set(plan, light, given, say)}


def _placed(plan: SetPlan, light: Light, given: LightInputs, say: Figures) -> dict[str, str | None]:
    """What holds of the lamp where it stands, lit or not."""
    fall = light.fall_off
    return {
        "key": light.modifier or light.name,
        "distance": say.length(light.distance_m),
        "lamp_height": say.length(given.lamp_height_m),
        "half_distance": say.length(light.distance_m / 2),
        "double_distance": say.length(light.distance_m * 2),
        "ten_cm": figures.stops(fall.ten_cm_stops, say),
        "second_face": figures.stops(_farther(light, SECOND_FACE_M), say),
        "waist": figures.stops(fall.waist_stops, say),
        "feet": figures.stops(fall.feet_stops, say),
        "gap": say.length(plan.exposure.least_gap_m) if light.role == "key" else None,
        "recycle": _seconds(given.recycle_s, say),
        "flash_time": known(figures.shutter(given.flash_duration_s)),
        "gel": light.gel or None,
        "gel_loss": in_stops(given.gel_loss_stops, say, finest=2) if light.gel else None,
        "flash_k": figures.kelvin(light.colour_k, say) if light.gel else None,
        "sun_match": known(say.length(light.matching_height_m)) if side_counts(light) else None,
    }


def _set(plan: SetPlan, light: Light, given: LightInputs, say: Figures) -> dict[str, str | None]:
    """What the lamp gives; nothing where the light there is enough and it stays off."""
    if not light.set_power:
        return {}
    half_m, double_m = light.distance_m / 2, light.distance_m * 2
    return {
        "power": about(light.power_mark),
        "key_alone": known(light.reading_mark),
        "all_in": known(light.all_in_mark),
        "half_power": about(_power_at(plan, light, given, half_m)),
        "double_power": about(_power_at(plan, light, given, double_m)),
        "double_short": in_stops(max(0.0, log2(_needed(plan, light, double_m))), say),
    }


def _power_at(plan: SetPlan, light: Light, given: LightInputs, distance_m: float) -> str | None:
    """Return the setting that reads the same at another distance; None where the head has none."""
    needed = _needed(plan, light, distance_m)
    if not given.least_power <= needed * FULL_POWER_SLACK <= FULL_POWER_SLACK**2:
        return None
    setting = flash.power_setting(needed, given.power_step_stops, given.least_power)
    return flash.power_mark(setting, given.power_step_stops, given.power_scale)


def _needed(plan: SetPlan, light: Light, distance_m: float) -> float:
    """Return the share of full power that reads the same at another distance; over 1: too much."""
    return flash.power_for(
        light.reading_f_number,
        light.guide_number_m,
        distance_m,
        plan.exposure.iso,
        light.source_diameter_m,
        light.source_offset_m,
    )


def _farther(light: Light, more_m: float) -> float:
    return flash.fall_off_stops(
        light.distance_m,
        light.distance_m + more_m,
        light.source_diameter_m,
        light.source_offset_m,
    )


def _seconds(value_s: float | None, say: Figures) -> str | None:
    return f"{say.number(value_s, 1)}{NO_BREAK}s" if value_s else None


def about(figure: str | None, source: str = "estimate") -> str | None:
    """Return a figure nobody has metered as what it is: a guess to begin with."""
    if not figure or figure == NOT_KNOWN or source == "metered":
        return known(figure)
    return _("about %(figure)s") % {"figure": figure}


def known(figure: str | None) -> str | None:
    return None if not figure or figure == NOT_KNOWN else figure


def in_stops(value: float | None, say: Figures, *, finest: int = 1) -> str | None:
    """Return an amount of stops with its unit; None where it rounds to nothing."""
    if value is None or abs(value) < 0.05:
        return None
    near = (places for places in range(finest) if abs(value - round(value, places)) < 0.001)
    shown = say.number(value, next(near, finest))
    many = 1 if abs(value) < 1.05 else 2
    words = ngettext("%(amount)s stop", "%(amount)s stops", many) % {"amount": shown}
    return words.replace(" ", NO_BREAK)


def side_counts(light: Light) -> bool:
    return light.role == "key" and light.sun_side in FRONTAL_SIDES
