"""What packs gave over a season: their drawdowns against what they should give."""

from collections.abc import Iterable
from dataclasses import dataclass

from planning.after.drawdowns import Drawdown, Told, left_out, told_by
from planning.after.results import HeadUse
from planning.after.tally import AsPlanned, set_tally
from planning.models import PlannedLight, PlannedSet, TallyEvent
from planning.physics.battery import flashes_per_charge
from planning.selectors.season_sets import Day
from planning.selectors.tally import noted

Kind = TallyEvent.Kind


@dataclass(frozen=True)
class Packs:
    """The drawdowns that tell something, in order of time, and how many tell nothing, and why."""

    drawdowns: list[Drawdown]
    left_out: dict[str, int]


def packs_of(day: Day) -> Packs:
    """Return the drawdowns of the packs that were noted.

    Only flashes at a locked power are told: planning every set of a season anew takes minutes.
    """
    with_packs = [
        one
        for one in day.sets
        if any(event.kind in (Kind.PACK_IN, Kind.PACK_OUT) for event in day.events[one.pk])
    ]
    lights = _lights(with_packs)
    found: list[Drawdown] = []
    told: list[Told] = []
    for planned in with_packs:
        for head in _heads_with_packs(planned):
            told.append(told_by(head))
            if not told[-1].why_not:
                light = lights.get((planned.pk, head.light))
                found.append(_drawdown(planned, head, told[-1], light))
    return Packs(found, left_out(told))


def _heads_with_packs(planned: PlannedSet) -> list[HeadUse]:
    """Return the heads that had packs, by what was noted alone."""
    unplanned = AsPlanned(planned.pk, planned.title, planned.start_at, planned.end_at)
    return [head for head in set_tally(unplanned, noted(planned)).heads if head.packs]


def _lights(sets: Iterable[PlannedSet]) -> dict[tuple[int, str], PlannedLight]:
    rows = PlannedLight.objects.filter(planned_set__in=[one.pk for one in sets])
    rows = rows.select_related("strobe__battery_kind", "strobe_unit", "battery")
    return {(one.planned_set_id, one.name): one for one in rows}


def _drawdown(
    planned: PlannedSet, head: HeadUse, told: Told, light: PlannedLight | None
) -> Drawdown:
    pack = head.packs[0]
    nominal, source = _nominal(light)
    return Drawdown(
        at=pack.in_at,
        unit_id=pack.unit_id,
        tag=pack.tag,
        strobe=light.strobe.name if light else "",
        workshop=planned.workshop.title,
        set_title=planned.title,
        full_power_flashes=told.full_power_flashes,
        used_share=told.used_share,
        within_share=max(one.within_share for one in head.packs) * len(head.packs) ** 0.5,
        nominal=nominal,
        nominal_source=source,
    )


def _nominal(light: PlannedLight | None) -> tuple[float | None, str]:
    """Return what a new pack gives in this head, at 20 C: counted, else from its watt-hours."""
    if light is None:
        return None, ""
    counted = light.strobe_unit.flashes_at_full if light.strobe_unit else None
    if counted or light.strobe.flashes_at_full:
        return counted or light.strobe.flashes_at_full, "own"
    pack = light.battery or light.strobe.battery_kind
    if pack is None or not light.strobe.energy_ws:
        return None, ""
    return flashes_per_charge(pack.capacity_wh, light.strobe.energy_ws), "estimate"
