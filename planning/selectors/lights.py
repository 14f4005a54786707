"""A planned light as the plan takes it, with what the house has measured."""

import math
import statistics
from collections.abc import Mapping

from planning.models import PlannedLight
from planning.plan.inputs import BatteryInputs, LightInputs
from planning.selectors.own import Own, energy_ws, flashes_of_pack, packs_of_light
from planning.selectors.own import guide_number as learned_guide_number
from planning.selectors.own_flash import source_shape
from workshops.models import KitUnit, Modifier, Strobe


def guide_number(
    strobe: Strobe, modifier: Modifier | None, own: Own
) -> dict[str, float | str | int | None]:
    """Return the guide number fields of LightInputs.

    With readings of the very pair it is learned from them; with readings of the bare head it is
    the head's, less the modifier's usual stops; else the maker's; else nothing, and the plan
    guesses from the watt-seconds.
    """
    pair = learned_guide_number(strobe, modifier, own)
    head = learned_guide_number(strobe, None, own)
    if not (pair.witnesses or head.witnesses or strobe.guide_number_m):
        return {"guide_number_m": None, "guide_number_spread_stops": None}
    return {
        "guide_number_m": 2.0 ** (pair.middle / 2.0),
        "guide_number_source": "own" if pair.witnesses else "estimate",
        "guide_number_spread_stops": pair.within,
        "guide_number_readings": pair.witnesses or head.witnesses,
        "guide_number_days": pair.days or head.days,
    }


def light_inputs(light: PlannedLight, own: Own, packs: Mapping[int, list[KitUnit]]) -> LightInputs:
    """Return one light of a set; ``packs`` are the usable units on the kit list by kind."""
    strobe, modifier, gel = light.strobe, light.modifier, light.gel
    diameter_m, offset_m = source_shape(modifier)
    head_area_m2 = math.pi / 4 * strobe.head_width_m**2
    return LightInputs(
        name=light.name,
        role=light.role,
        strobe=strobe.name,
        energy_ws=energy_ws(strobe),
        distance_m=light.distance_m,
        angle_deg=light.angle_deg,
        lamp_height_m=light.lamp_height_m,
        target_stops=light.target_stops,
        **guide_number(strobe, modifier, own),
        modifier=modifier.name if modifier else "",
        modifier_stops=modifier.stops if modifier else 0.0,
        gel=gel.name if gel else "",
        gel_loss_stops=gel.loss_stops if gel else 0.0,
        gel_shift_mired=gel.shift_mired if gel else 0.0,
        source_diameter_m=diameter_m,
        source_offset_m=offset_m,
        beam_deg=modifier.beam_deg if modifier else None,
        face_area_m2=max(modifier.face_area_m2 if modifier else 0.0, head_area_m2),
        face_width_m=max(modifier.width_m if modifier else 0.0, strobe.head_width_m),
        **_drag(modifier),
        least_power=strobe.least_power,
        power_step_stops=strobe.power_step_stops,
        power_scale=strobe.power_scale,
        flash_duration_s=strobe.flash_duration_s,
        recycle_s=strobe.recycle_s,
        overheat_flashes=strobe.overheat_flashes,
        idle_w=strobe.idle_w,
        modelling_w=strobe.modelling_w,
        hss=strobe.hss,
        hss_overhead_stops=strobe.hss_overhead_stops,
        mains=strobe.mains,
        **_flashes(light, packs, own),
        battery=_battery(light, packs),
        hand_held=light.hand_held,
        **_stand(light),
    )


def _drag(modifier: Modifier | None) -> dict[str, float]:
    if modifier is None:
        return {}
    return {
        "drag_coefficient": modifier.drag_coefficient,
        "overhang_m": modifier.overhang_m,
        "overhang_mass_kg": modifier.mass_kg,
    }


def _stand(light: PlannedLight) -> dict[str, str | float | None]:
    stand, modifier = light.stand, light.modifier
    if stand is None:
        return {}
    return {
        "stand": stand.name,
        "stand_mass_kg": stand.mass_kg,
        "top_mass_kg": light.strobe.mass_kg + (modifier.mass_kg if modifier else 0.0),
        "leg_radius_m": stand.leg_radius_m,
        "top_height_m": stand.top_height_m,
        "rated_load_kg": stand.rated_load_kg,
        "bag_kg": light.bag_kg,
    }


def _flashes(
    light: PlannedLight, packs: Mapping[int, list[KitUnit]], own: Own
) -> dict[str, float | int | None]:
    """Return the flashes of one charge: of the packs it may get if any was read, else counted."""
    head, strobe = light.strobe_unit, light.strobe
    kind = light.battery or strobe.battery_kind
    listed = packs.get(kind.pk, []) if kind else []
    figures = [
        flashes_of_pack(strobe, pack, own, head) for pack in packs_of_light(light, listed, own)
    ]
    drawdowns = sum(one.witnesses for one in figures)
    if not drawdowns:
        counted = head.flashes_at_full if head else None
        return {"flashes_at_full": counted or strobe.flashes_at_full}
    return {
        "flashes_at_full": statistics.fmean(2.0**one.middle for one in figures),
        "flashes_within_stops": max(one.within for one in figures),
        "flashes_readings": drawdowns,
        "flashes_days": sum(one.days for one in figures),
    }


def _battery(light: PlannedLight, packs: Mapping[int, list[KitUnit]]) -> BatteryInputs | None:
    kind = light.battery or light.strobe.battery_kind
    if kind is None:
        return None
    units = packs.get(kind.pk, [])
    health = statistics.fmean(unit.health_share for unit in units) if units else 1.0
    return BatteryInputs(
        name=kind.name,
        capacity_wh=kind.capacity_wh,
        health_share=health,
        # The head goes out with one pack at least, listed or not.
        charged_count=light.battery_count or len(units) or 1,
    )
