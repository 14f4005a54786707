"""Records -> the kit sheet of a workshop: what leaves, with whom, and what it weighs."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from planning.selectors import kit_papers as asks
from planning.sheets.kit import Kind, KitSheet, Load, Unit
from workshops.models import Workshop
from workshops.words import date_text


def kit_sheet(workshop: Workshop) -> KitSheet:
    """Return the units of the kit list by kind in the order of the shelf, and who carries them."""
    lines = asks.signed_lines(workshop)
    leaving = [line for line in lines if line.leaves]
    return KitSheet(
        title=str(workshop),
        day=date_text(workshop.start_at, workshop.timezone_name),
        timezone=workshop.timezone_name,
        kinds=tuple(
            Kind(kind.name, kind.mass_kg, tuple(_unit(line) for line in found))
            for kind, found in asks.lines_by_kind(leaving)
        ),
        loads=tuple(_loads(leaving)),
        all=_load("", leaving),
        stays=tuple(line.unit.tag for line in lines if not line.leaves),
        here_only=asks.opens_here_only(),
    )


def _unit(line: asks.SignedLine) -> Unit:
    address = asks.unit_address(line.unit)
    return Unit(address, line.unit.tag, line.person, line.condition, line.last)


def _loads(lines: Iterable[asks.SignedLine]) -> list[Load]:
    """Return what each person carries by name; what nobody is named for comes last."""
    by_person: dict[str, list[asks.SignedLine]] = defaultdict(list)
    for line in lines:
        by_person[line.person].append(line)
    names = sorted(by_person, key=lambda name: (not name, name.casefold(), name))
    return [_load(name, by_person[name]) for name in names]


def _load(person: str, lines: Sequence[asks.SignedLine]) -> Load:
    masses_kg = [line.unit.kind.mass_kg for line in lines]
    return Load(person, len(lines), sum(masses_kg), sum(not mass_kg for mass_kg in masses_kg))
