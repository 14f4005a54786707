"""The tallies of a workshop -> the tables of its day, in words and with what is known of packs."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from planning.after.day_tally import (
    PackDay,
    StrobeDay,
    by_pack,
    by_person,
    by_strobe,
    flashes,
    frames,
    swaps,
    turns,
)
from planning.after.results import PersonUse, SetTally
from planning.figures import Figures
from planning.selectors.packs import tallied_cycles
from planning.selectors.tally import set_tallies
from planning.sheets.options import print_options
from workshops.models import House, KitUnit, Workshop


@dataclass(frozen=True)
class SetRow:
    """One set of the day."""

    tally: SetTally
    position: int
    say: Figures
    flashes: int | None
    swaps: int
    packs: int
    turns: int
    frames: int | None
    missing: tuple[str, ...]  # in words


@dataclass(frozen=True)
class PackRow:
    """One pack of the day, and what is known of it for good."""

    day: PackDay
    unit: KitUnit
    cycles: float  # by all tallies so far, this day's among them


@dataclass(frozen=True)
class DayTally:
    sets: tuple[SetRow, ...]
    people: tuple[PersonUse, ...]
    strobes: tuple[StrobeDay, ...]
    packs: tuple[PackRow, ...]


def day_tally(workshop: Workshop, house: House) -> DayTally:
    """Return the tables of a workshop's day, in as many questions for many sets as for one."""
    tallies = set_tallies(workshop)
    sets = {one.pk: one for one in workshop.sets.select_related("location")}
    options = print_options(house)
    packs = by_pack(tallies)
    units = KitUnit.objects.select_related("kind").in_bulk([one.unit_id for one in packs])
    cycles = tallied_cycles(units)
    return DayTally(
        sets=tuple(
            _row(one, sets[one.set_id].position, options.figures(zone))
            for one in tallies
            for zone in (sets[one.set_id].location.timezone_name,)
        ),
        people=by_person(tallies),
        strobes=by_strobe(tallies),
        packs=tuple(
            PackRow(one, units[one.unit_id], cycles.get(one.unit_id, 0.0)) for one in packs
        ),
    )


def _row(tally: SetTally, position: int, say: Figures) -> SetRow:
    words = {
        "times": _("beginning or end"),
        "flashes": _("flashes of a lamp"),
        "turns": _("turns"),
        "packs": _("packs of a lamp"),
    }
    return SetRow(
        tally=tally,
        position=position,
        say=say,
        flashes=flashes(tally),
        swaps=swaps(tally),
        packs=sum(len(head.packs) for head in tally.heads),
        turns=turns(tally),
        frames=frames(tally),
        missing=tuple(words[name] for name in tally.missing),
    )
