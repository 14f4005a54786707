"""The suggested kit list of a workshop: records and plans in, lines with their reasons out."""

from dataclasses import dataclass

from planning.models import PlannedSet
from planning.plan.inputs import TriggerInputs
from planning.plan.suggested_kit import suggest
from planning.plan.tally import Line, SetOfDay, Shelf, Spares, SuggestedKit
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _
from planning.selectors import inputs_of
from planning.selectors.kit import trigger_inputs
from planning.showing import planned
from workshops.models import Charger, House, KitKind, Meter, NdFilter, Trigger, Workshop
from workshops.selectors.promises import KindHere, shelf_for


@dataclass(frozen=True)
class Row:
    """One line of the list with the kind's record, if the shelf has the kind."""

    line: Line
    kind: KitKind | None
    here: KindHere | None


@dataclass(frozen=True)
class Suggested:
    """The list as a page shows it."""

    kit: SuggestedKit
    groups: list[tuple[str, list[Row]]]  # by category, in the order of the shelf
    open: list[Words]
    sets: int

    @property
    def rows(self) -> list[Row]:
        return [row for _name, rows in self.groups for row in rows]

    def wanted(self, pick: str = "all") -> dict[KitKind, int]:
        """Return how many are missing of every kind, or of the one with that number."""
        return {
            row.kind: row.line.missing
            for row in self.rows
            if row.kind and row.line.missing and pick in ("all", str(row.kind.pk))
        }


def suggested(workshop: Workshop, house: House) -> Suggested:
    """Return the kit a workshop's planned sets ask for; queries do not grow with sets or kinds."""
    seen = {line.kind.name: line for group in shelf_for(workshop) for line in group.kinds}
    kinds = {kind.name: kind for kind in KitKind.objects.all()}
    sets, left_open = _sets(workshop, house)
    kit = suggest(sets, _shelf(seen, kinds), _spares(house))
    groups = []
    for category in KitKind.Category:
        lines = [line for line in kit.lines if line.category == category]
        rows = [Row(line, kinds.get(line.kind), seen.get(line.kind)) for line in lines]
        if rows:
            groups.append((category.label, rows))
    return Suggested(kit, groups, [*left_open, *kit.open], len(sets) + len(left_open))


def _sets(workshop: Workshop, house: House) -> tuple[list[SetOfDay], list[Words]]:
    """Return the sets with their plans, and those of which nothing can be counted."""
    rows = list(PlannedSet.objects.filter(workshop=workshop).order_by("position", "pk"))
    inputs = inputs_of([row.pk for row in rows])
    found, left_open = [], []
    for row in rows:
        one = planned(inputs[row.pk], house)
        if one.inputs is None:
            sentence = _("set {set} is not counted: {reason}")
            left_open.append(say(sentence, set=(str(row), "text"), reason=(one.reason, "text")))
        else:
            found.append(SetOfDay(str(row), one.inputs, one.plan, one.reason))
    return found, left_open


def _spares(house: House) -> Spares:
    return Spares(**{name: getattr(house, name) for name in Spares.__dataclass_fields__})


def _shelf(seen: dict[str, KindHere], kinds: dict[str, KitKind]) -> list[Shelf]:
    triggers, filters = Trigger.objects.in_bulk(), NdFilter.objects.in_bulk()
    chargers = Charger.objects.select_related("battery_kind").in_bulk()
    spot = set(Meter.objects.filter(reads_spot=True).values_list("pk", flat=True))
    return [
        Shelf(
            name=name,
            category=kind.category,
            mass_kg=kind.mass_kg,
            # What is on the list but not fit for use does not count as there.
            here=sum(one.usable for one in seen[name].here) if name in seen else 0,
            free=len(seen[name].free) if name in seen else 0,
            stops=filters[kind.pk].stops if kind.pk in filters else 0.0,
            reads_spot=kind.pk in spot,
            **(_as_charger(chargers[kind.pk]) if kind.pk in chargers else {}),
            **(_as_trigger(triggers[kind.pk], seen.get(name)) if kind.pk in triggers else {}),
        )
        for name, kind in sorted(kinds.items())
    ]


def _as_charger(kind: Charger) -> dict:
    return {"slots": kind.slots, "fills": kind.battery_kind.name if kind.battery_kind else ""}


def _as_trigger(kind: Trigger, seen: KindHere | None) -> dict:
    figures = TriggerInputs(
        name=kind.name,
        advanced=kind.advanced,
        sync_penalty_stops=kind.sync_penalty_stops,
        fits=kind.fits,
    )
    had = [one for one in seen.units if one.usable and (one.here or one.free)] if seen else []
    return {"trigger": figures, "units": tuple(trigger_inputs(one.unit, kind) for one in had)}
