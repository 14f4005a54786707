"""The stand in the gust: force, what tips it, what holds it, and what is decided."""

import math
from dataclasses import replace

from planning.physics.wind import (
    EDGE_ARM_SHARE,
    FOOT_ARM_SHARE,
    StandLoad,
    ballast_kg,
    ballast_on_foot_kg,
    drag_n,
    gust_from_mean_m_s,
    more_ballast_kg,
    stability,
    tipping_speed_m_s,
)
from planning.plan.inputs import LightInputs, SetInputs
from planning.plan.refusal import no_plan
from planning.plan.result import Stand
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _

ROUNDING_KG = 1e-6
GUST_FIGURES = (
    "force_n",
    "ballast_kg",
    "ballast_on_foot_kg",
    "need_hung_kg",
    "need_on_foot_kg",
    "safety_factor",
)


def expected_gust(inputs: SetInputs) -> tuple[float | None, str]:
    """Return (gust_m_s, where it comes from): forecast, from the mean, or none.

    A forecast gust is never reduced for height; an exposed place raises it.
    """
    forecast = inputs.forecast
    factor = max(inputs.location.wind_exposure_factor, 1.0)
    if forecast is None:
        return None, "none"
    if forecast.gust_m_s is not None:
        return forecast.gust_m_s * factor, "forecast"
    if forecast.wind_m_s is not None:
        house = inputs.house
        at_sea = inputs.location.at_sea
        ratio = house.gust_factor_sea if at_sea else house.gust_factor_inland
        return gust_from_mean_m_s(forecast.wind_m_s, ratio) * factor, "from the mean"
    return None, "none"


def clear_circle_m(light: LightInputs) -> float:
    """How far round the pole nobody stands: the lamp's height and half its box."""
    return light.lamp_height_m + light.face_width_m / 2.0


def stand_row(inputs: SetInputs, light: LightInputs) -> Stand | None:
    """Return the stand's figures and its verdict; None for a lamp in somebody's hands.

    ``ballast_kg``, ``ballast_on_foot_kg`` and the tipping speed stand on level ground with
    the load over the pole; the needs, the safety factor and the verdict also count slope,
    overhang and swinging wind. Raises NoPlan naming the light without its figures.
    """
    if light.hand_held:
        return None
    _require_figures(light)
    gust_m_s, gust_source = expected_gust(inputs)
    shape = _shape(light)
    verdict, reason = _verdict(inputs, light, gust_m_s)
    forecast = inputs.forecast
    from_deg = forecast.wind_from_deg if forecast else None
    return Stand(
        lamp_height_m=light.lamp_height_m,
        gust_m_s=gust_m_s,
        tipping_speed_m_s=tipping_speed_m_s(**shape, ballast_kg=light.bag_kg),
        bag_kg=light.bag_kg,
        verdict=verdict,
        fall_toward_deg=None if from_deg is None else (from_deg + 180.0) % 360.0,
        clear_circle_m=clear_circle_m(light),
        reason=reason,
        off_above_m_s=_off_above_m_s(inputs, light),
        gust_source=gust_source,
        bag_holds_to_m_s=bag_holds_to_m_s(inputs, light),
        hold_above_m_s=_hold_above_m_s(inputs, light),
        strike_above_m_s=inputs.house.gust_limit_m_s,
        **_in_gust(inputs, light, gust_m_s),
    )


def _require_figures(light: LightInputs) -> None:
    if not (light.face_area_m2 > 0 and light.leg_radius_m > 0):
        field = "face_area_m2" if light.leg_radius_m > 0 else "leg_radius_m"
        sentence = _("is not known: enter it on the kit kind, or mark the light as hand held")
        raise no_plan(field, sentence, part=light.name, is_light=True)


def _shape(light: LightInputs) -> dict[str, float]:
    return {
        "area_m2": light.face_area_m2,
        "drag_coefficient": light.drag_coefficient,
        "lamp_height_m": light.lamp_height_m,
        "mass_kg": light.stand_mass_kg + light.top_mass_kg,
        "leg_radius_m": light.leg_radius_m,
    }


def _in_gust(
    inputs: SetInputs, light: LightInputs, gust_m_s: float | None
) -> dict[str, float | None]:
    """What the gust asks of the stand; nothing is known without one."""
    if gust_m_s is None:
        return dict.fromkeys(GUST_FIGURES)
    factor = inputs.house.safety_factor
    force_n = drag_n(gust_m_s, light.face_area_m2, light.drag_coefficient)
    bagged = replace(_load(inputs, light), hung_kg=light.bag_kg)
    figures = (
        force_n,
        ballast_kg(gust_m_s, **_shape(light), safety_factor=factor),
        ballast_on_foot_kg(gust_m_s, **_shape(light), safety_factor=factor),
        full_ballast_kg(inputs, light, gust_m_s),
        on_foot_kg(inputs, light, gust_m_s),
        stability(force_n, light.lamp_height_m, bagged).safety_factor,
    )
    return dict(zip(GUST_FIGURES, figures, strict=True))


def _load(inputs: SetInputs, light: LightInputs) -> StandLoad:
    return StandLoad(
        mass_kg=light.stand_mass_kg + light.top_mass_kg,
        leg_radius_m=light.leg_radius_m,
        overhang_mass_kg=light.overhang_mass_kg,
        overhang_m=light.overhang_m,
        slope_deg=inputs.location.slope_deg,
    )


def on_foot_kg(inputs: SetInputs, light: LightInputs, gust_m_s: float) -> float | None:
    """The ballast laid on the windward foot that holds every edge; None where none does."""
    need_kg = full_ballast_kg(inputs, light, gust_m_s) * EDGE_ARM_SHARE / FOOT_ARM_SHARE
    force_n = drag_n(gust_m_s, light.face_area_m2, light.drag_coefficient)
    load = replace(_load(inputs, light), on_foot_kg=need_kg + ROUNDING_KG)
    lacking = more_ballast_kg(force_n, light.lamp_height_m, load, inputs.house.safety_factor)
    return None if lacking > 0.0 else need_kg


def full_ballast_kg(inputs: SetInputs, light: LightInputs, gust_m_s: float) -> float:
    """The ballast hung at the centre with slope and overhang counted, weakest edge, never below 0.

    Wind 45 degrees either way counted.
    """
    force_n = drag_n(gust_m_s, light.face_area_m2, light.drag_coefficient)
    load = _load(inputs, light)
    return more_ballast_kg(force_n, light.lamp_height_m, load, inputs.house.safety_factor)


def _verdict(inputs: SetInputs, light: LightInputs, gust_m_s: float | None) -> tuple[str, Words]:
    """Bag always; hold, modifier off, strike as the house's limits say.

    Source: common practice; every limit is the house's own.
    """
    house = inputs.house
    if inputs.forecast and inputs.forecast.thunder:
        return "strike", say(_("thunder forecast"))
    if _overloaded(light):
        return "modifier off", say(
            _("head and modifier {load} are over the stand's rated {rated}"),
            load=(light.top_mass_kg, "kg"),
            rated=(light.rated_load_kg, "kg"),
        )
    if gust_m_s is None:
        return "no forecast", say(
            _("no wind forecast: bag, and measure at lamp height before rigging")
        )
    if gust_m_s > house.gust_limit_m_s:
        return "strike", say(_("gust over the house's limit"))
    force_n = drag_n(gust_m_s, light.face_area_m2, light.drag_coefficient)
    if force_n > house.modifier_off_force_n:
        return "modifier off", say(_("more force than one person holds"))
    if full_ballast_kg(inputs, light, gust_m_s) > house.carry_cap_kg:
        return "modifier off", say(_("needs more ballast than anybody carries"))
    if force_n >= house.hold_force_n:
        return "hold", say(_("one person on the stand all the time"))
    return "bag", say(_("bag it, always"))


def _overloaded(light: LightInputs) -> bool:
    return light.rated_load_kg is not None and light.top_mass_kg > light.rated_load_kg


def bag_holds_to_m_s(inputs: SetInputs, light: LightInputs) -> float:
    """The gust up to which what is hung keeps the house's safety factor; 0 where nothing does.

    Slope, overhang and wind 45 degrees aside counted. Force and moment grow with the square
    of the speed, so the factor at 1 m/s says it.
    Source: light-method section 7, moments about each edge.
    """
    load = replace(_load(inputs, light), hung_kg=light.bag_kg)
    force_n = drag_n(1.0, light.face_area_m2, light.drag_coefficient)
    factor = stability(force_n, light.lamp_height_m, load).safety_factor
    return math.sqrt(max(factor, 0.0) / inputs.house.safety_factor)


def _hold_above_m_s(inputs: SetInputs, light: LightInputs) -> float | None:
    """The gust from which somebody holds the stand; None where it comes off or down before.

    Source: common practice, the house's force at which a person holds.
    """
    force_n = drag_n(1.0, light.face_area_m2, light.drag_coefficient)
    speed_m_s = math.sqrt(inputs.house.hold_force_n / force_n)
    return speed_m_s if speed_m_s < _off_above_m_s(inputs, light) else None


def _off_above_m_s(inputs: SetInputs, light: LightInputs) -> float | None:
    """The gust above which the verdict turns to modifier off or strike, by bisection."""
    house = inputs.house
    low, high = 0.0, house.gust_limit_m_s

    def off(gust_m_s: float) -> bool:
        force_n = drag_n(gust_m_s, light.face_area_m2, light.drag_coefficient)
        return (
            force_n > house.modifier_off_force_n
            or full_ballast_kg(inputs, light, gust_m_s) > house.carry_cap_kg
        )

    if _overloaded(light) or off(0.0):
        return 0.0
    if not off(high):
        return high
    while high - low > 0.01:
        middle = (low + high) / 2.0
        low, high = (low, middle) if off(middle) else (middle, high)
    return math.floor(low * 100.0) / 100.0
