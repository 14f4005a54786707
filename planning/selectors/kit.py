"""What comes along: triggers, filters, battery packs."""

from collections import defaultdict
from collections.abc import Iterable

from planning.plan.inputs import FilterInputs, TriggerInputs
from workshops.models import KitUnit, Reservation

USABLE = (KitUnit.State.READY, KitUnit.State.OUT)


def _usable(kit: Iterable[Reservation], category: str) -> list[KitUnit]:
    return [
        row.unit for row in kit if row.unit.kind.category == category and row.unit.state in USABLE
    ]


def trigger_name(unit: KitUnit) -> str:
    """Return what a trigger is called on the sheet: its kind and the tag taped to it."""
    return f"{unit.kind.name} {unit.tag}"


def triggers(kit: Iterable[Reservation], *, advanced: bool) -> tuple[TriggerInputs, ...]:
    """Return the triggers on the list, each unit with its own measured penalty if it has one."""
    found = []
    for unit in _usable(kit, "trigger"):
        kind = unit.kind.trigger
        if kind.advanced and not advanced:
            continue
        own = unit.sync_penalty_stops
        found.append(
            TriggerInputs(
                name=trigger_name(unit),
                advanced=kind.advanced,
                sync_penalty_stops=kind.sync_penalty_stops if own is None else own,
                fits=kind.fits,
                channel=unit.channel or kind.channel,
            )
        )
    return tuple(found)


def filters(kit: Iterable[Reservation]) -> tuple[FilterInputs, ...]:
    """Return the ND filters on the list, weakest first."""
    found = [unit.kind.ndfilter for unit in _usable(kit, "nd filter")]
    return tuple(
        FilterInputs(kind.name, kind.stops)
        for kind in sorted(found, key=lambda kind: (kind.stops, kind.name))
    )


def packs_by_kind(kit: Iterable[Reservation]) -> dict[int, list[KitUnit]]:
    """Return the battery packs on the list by the id of their kind."""
    found = defaultdict(list)
    for unit in _usable(kit, "battery"):
        found[unit.kind_id].append(unit)
    return found
