"""What comes along: triggers, filters, battery packs."""

from collections import defaultdict
from collections.abc import Iterable

from planning.plan.inputs import FilterInputs, TriggerInputs
from workshops.models import KitUnit, Reservation, Trigger

USABLE = (KitUnit.State.READY, KitUnit.State.OUT)


def _usable(kit: Iterable[Reservation], category: str) -> list[KitUnit]:
    return [
        row.unit for row in kit if row.unit.kind.category == category and row.unit.state in USABLE
    ]


def trigger_name(unit: KitUnit) -> str:
    """Return what a trigger is called on the sheet: its kind and the tag taped to it."""
    return f"{unit.kind.name} {unit.tag}"


def trigger_inputs(unit: KitUnit, kind: Trigger) -> TriggerInputs:
    """Return one unit with its own measured penalty if it has one, else its kind's."""
    own = unit.sync_penalty_stops
    return TriggerInputs(
        name=trigger_name(unit),
        advanced=kind.advanced,
        sync_penalty_stops=kind.sync_penalty_stops if own is None else own,
        fits=kind.fits,
        channel=unit.channel or kind.channel,
    )


def triggers(kit: Iterable[Reservation], *, advanced: bool) -> tuple[TriggerInputs, ...]:
    """Return the triggers on the list, the advanced ones only where they are used."""
    units = [(unit, unit.kind.trigger) for unit in _usable(kit, "trigger")]
    return tuple(trigger_inputs(*pair) for pair in units if advanced or not pair[1].advanced)


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
