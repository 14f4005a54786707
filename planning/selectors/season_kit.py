"""What packs gave over a season: their drawdowns against what they should give."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext_noop as _

from planning.after.drawdowns import Drawdown, counted_reasons
from planning.models import PlannedLight, PlannedSet, TallyEvent
from planning.physics.battery import flashes_per_charge
from planning.selectors.own_packs import packs_seen_on
from planning.selectors.season_sets import Day
from planning.selectors.seen import Seen, choices
from workshops.models import KitUnit

Kind = TallyEvent.Kind
LEFT_OUT = _("the house has left it out")
HARDLY_USED = _("less of it was used than its display can show")


@dataclass(frozen=True)
class Packs:
    """The drawdowns that tell something, in order of time, and how many tell nothing, and why."""

    drawdowns: list[Drawdown]
    left_out: dict[str, int]  # reasons marked for translation


def packs_of(day: Day) -> Packs:
    """Return the drawdowns of the packs that were noted, read as the house's own figures are."""
    sets = {
        one.pk: one
        for one in day.sets
        if any(event.kind == Kind.PACK_OUT for event in day.events[one.pk])
    }
    seen = packs_seen_on(sets)
    units = KitUnit.objects.in_bulk({one.detail.pack.unit_id for one in seen})
    lights, chosen = _lights(seen), choices()
    found: list[Drawdown] = []
    why_not: list[str] = []
    for one in seen:
        if one.witness is None:
            why_not.append(one.why)
        elif (one.figure, one.key) in chosen.left_out:
            why_not.append(LEFT_OUT)
        else:
            unit = units[one.detail.pack.unit_id]
            told = _drawdown(one, sets[one.set_id], lights[one.detail.light_id], unit.tag)
            if told.tells:
                found.append(told)
            else:
                why_not.append(HARDLY_USED)
    return Packs(sorted(found, key=lambda row: (row.at, row.tag)), counted_reasons(why_not))


def _lights(seen: Iterable[Seen]) -> dict[int, PlannedLight]:
    rows = PlannedLight.objects.select_related("strobe__battery_kind", "strobe_unit", "battery")
    return rows.in_bulk({one.detail.light_id for one in seen})


def _drawdown(seen: Seen, planned: PlannedSet, light: PlannedLight, tag: str) -> Drawdown:
    read, nominal = seen.witness, _nominal(light, seen.detail.pack.capacity_wh)
    return Drawdown(
        at=seen.at,
        unit_id=seen.detail.pack.unit_id,
        tag=tag,
        strobe=light.strobe.name,
        workshop=planned.workshop.title,
        set_title=planned.title,
        full_power_flashes=read.full_power_flashes,
        used_share=read.in_share - read.out_share - read.idle_share,
        within_share=read.within_share,
        cold_share=read.cold_share,
        nominal=nominal[0],
        nominal_source=nominal[1],
    )


def _nominal(light: PlannedLight, capacity_wh: float) -> tuple[float | None, str]:
    """Return what such a pack gives new in this head, at 20 C: counted, else by watt-hours."""
    counted = light.strobe_unit.flashes_at_full if light.strobe_unit else None
    if counted or light.strobe.flashes_at_full:
        return counted or light.strobe.flashes_at_full, "own"
    if not light.strobe.energy_ws:
        return None, ""
    return flashes_per_charge(capacity_wh, light.strobe.energy_ws), "estimate"
