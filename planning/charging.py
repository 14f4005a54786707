"""The charge plan of a workshop: its kit list in, which pack goes where when out."""

from collections import Counter
from dataclasses import dataclass
from datetime import timedelta

from planning.plan.charging import ChargePlan, ChargerUnit, Pack, charge_plan
from planning.suggesting import suggested
from workshops.models import Battery, Charger, House, KitUnit, Reservation, Workshop
from workshops.models.base import in_zone

READY_HOUR = 22  # of the day before: nothing charges while everybody sleeps; common practice
EVENING_HOUR = 17  # before it, it takes more than an evening; common practice


@dataclass(frozen=True)
class Asked:
    """How many packs of a kind the planned sets ask for, and how many are on the list."""

    kind: str
    wanted: int
    here: int

    @property
    def missing(self) -> int:
        return max(self.wanted - self.here, 0)


@dataclass(frozen=True)
class Charging:
    plan: ChargePlan
    packs: int
    chargers: int
    asked: tuple[Asked, ...]
    unknown: tuple[str, ...]  # kinds of charger whose power nobody entered


def charging_of(workshop: Workshop, house: House) -> Charging:
    """Return the charge plan with what the sets ask for beside it."""
    plan, units = charge_plan_of(workshop)
    asked = [row.line for row in suggested(workshop, house).rows if row.line.category == "battery"]
    here = Counter(unit.kind.name for unit in units if unit.kind.category == "battery")
    chargers = [unit for unit in units if unit.kind.category == "charger"]
    return Charging(
        plan=plan,
        packs=sum(here.values()),
        chargers=len(chargers),
        asked=tuple(Asked(line.kind, line.count, here[line.kind]) for line in asked),
        unknown=tuple(_without_power(chargers)),
    )


def charge_plan_of(workshop: Workshop) -> tuple[ChargePlan, list[KitUnit]]:
    """Return the charge plan of what stands on the list, and the usable units read for it."""
    units = _units(workshop)
    kinds = {unit.kind_id for unit in units}
    batteries = Battery.objects.in_bulk(kinds)
    known = Charger.objects.select_related("battery_kind").in_bulk(kinds)
    packs = [
        Pack(unit.tag, unit.kind.name, kind.capacity_wh, kind.charge_min)
        for unit in units
        if (kind := batteries.get(unit.kind_id))
    ]
    chargers = [
        _charger(unit, known.get(unit.kind_id)) for unit in units if unit.kind.category == "charger"
    ]
    eve = in_zone(workshop.start_at, workshop.timezone_name) - timedelta(days=1)
    ready_at, before_at = (
        eve.replace(hour=hour, minute=0, second=0, microsecond=0)
        for hour in (READY_HOUR, EVENING_HOUR)
    )
    return charge_plan(packs, chargers, ready_at=ready_at, before_at=before_at), units


def _units(workshop: Workshop) -> list[KitUnit]:
    rows = Reservation.objects.filter(workshop=workshop, unit__state__in=KitUnit.USABLE)
    wanted = rows.filter(unit__kind__category__in=("battery", "charger"))
    return [row.unit for row in wanted.select_related("unit__kind").order_by("unit__tag")]


def _charger(unit: KitUnit, kind: Charger | None) -> ChargerUnit:
    """A charger brought in by a list has no figures: one pack at a time, of any kind."""
    if kind is None:
        return ChargerUnit(unit.tag, unit.kind.name)
    fills = kind.battery_kind.name if kind.battery_kind else ""
    return ChargerUnit(unit.tag, kind.name, kind.slots, kind.power_w, fills)


def _without_power(chargers: list[KitUnit]) -> list[str]:
    known = Charger.objects.exclude(power_w=None).values_list("pk", flat=True)
    with_power = set(known.filter(pk__in=[unit.kind_id for unit in chargers]))
    return sorted({unit.kind.name for unit in chargers if unit.kind_id not in with_power})
