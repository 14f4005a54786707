"""Counts and reasons of a suggested kit list, kind by kind."""

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planning.plan.inputs import LightInputs, SetInputs, TriggerInputs
from planning.plan.result import Light, SetPlan
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _


@dataclass(frozen=True)
class SetOfDay:
    """One set by its inputs and its plan, or in words why there is none."""

    name: str
    inputs: SetInputs
    plan: SetPlan | None
    reason: str = ""


@dataclass(frozen=True)
class Shelf:
    """One kind on the shelf, as the workshop sees it."""

    name: str
    category: str
    mass_kg: float = 0.0
    here: int = 0  # on the workshop's list
    free: int = 0  # fit for use and promised to nobody in these hours
    stops: float = 0.0  # ND filter
    reads_spot: bool = False  # meter
    slots: int = 1  # charger: packs at once
    fills: str = ""  # charger: the kind of pack it is made for, empty: any
    trigger: TriggerInputs | None = None  # the kind's own figures, named as the kind
    units: tuple[TriggerInputs, ...] = ()  # triggers to be had, here or free

    @property
    def stock(self) -> int:
        return self.here + self.free


@dataclass(frozen=True)
class Spares:
    """How many go along on top; the house's own figures.

    Source: heads 1:2, triggers 1:3 and two at least, trigger cells twice, stands 1:3, one sync
    cord: common practice, no source.
    """

    heads_per_spare: int = 2
    triggers_per_spare: int = 3
    least_spare_triggers: int = 2
    stands_per_spare: int = 3
    spare_cell_sets: int = 2
    spare_sync_cords: int = 1


@dataclass(frozen=True)
class Line:
    """So many of a kind, why, and how far the list holds them already."""

    category: str
    kind: str
    count: int
    why: tuple[Words, ...]
    mass_kg: float = 0.0  # of one
    here: int = 0
    free: int = 0

    @property
    def missing(self) -> int:
        return max(self.count - self.here, 0)

    @property
    def to_reserve(self) -> int:
        return min(self.missing, self.free)

    @property
    def not_to_be_had(self) -> int:
        return self.missing - self.to_reserve


@dataclass(frozen=True)
class SuggestedKit:
    """The whole list: lines, what is packed with it unregistered, and what was left open."""

    lines: tuple[Line, ...]
    beside: tuple[Words, ...]
    open: tuple[Words, ...]

    @property
    def mass_kg(self) -> float:
        return sum(line.count * line.mass_kg for line in self.lines)


@dataclass(frozen=True)
class Lamp:
    """A light of one set, with what the plan makes of it where there is a plan."""

    given: LightInputs
    planned: Light | None


class Tally:
    """Counts and reasons by kind, in the order they were first asked for."""

    def __init__(self, shelf: Iterable[Shelf]):
        self.shelf = {kind.name: kind for kind in shelf}
        self.counts: Counter[tuple[str, str]] = Counter()
        self.why: dict[tuple[str, str], list[Words]] = defaultdict(list)

    def add(self, category: str, kind: str, number: int, *why: Words) -> None:
        if number > 0:
            self.counts[category, kind] += number
            self.why[category, kind] += why

    def of(self, category: str) -> list[Shelf]:
        return [kind for kind in self.shelf.values() if kind.category == category]

    def left(self, kind: str) -> int:
        """How many of a kind are to be had beyond those asked for already."""
        known = self.shelf.get(kind)
        asked = sum(number for (_c, name), number in self.counts.items() if name == kind)
        return max(known.stock - asked, 0) if known else 0

    def spread(self, category: str, number: int, kinds: Sequence[str]) -> dict[str, int]:
        """Share a number out over kinds in order as far as they are there; the rest is the first's.

        Empty without a kind to take.
        """
        if not kinds or number <= 0:
            return {}
        given: dict[str, int] = {}
        for kind in kinds:
            given[kind] = min(self.left(kind), number - sum(given.values()))
        given[kinds[0]] += number - sum(given.values())
        return {kind: share for kind, share in given.items() if share}

    def lines(self) -> tuple[Line, ...]:
        none = Shelf("", "")
        return tuple(
            Line(
                category,
                kind,
                number,
                tuple(self.why[category, kind]),
                **{
                    name: getattr(self.shelf.get(kind, none), name)
                    for name in ("mass_kg", "here", "free")
                },
            )
            for (category, kind), number in self.counts.items()
        )


def spare_number(number: int, per: int, least: int = 0) -> int:
    """One for every ``per`` begun, and ``least`` at least; none where nothing is in use."""
    if number <= 0:
        return 0
    return max(math.ceil(number / per) if per else 0, least)


def spare_words(number: int, per: int) -> Words:
    if not per:
        return say(_("{number} spare, the house's least"), number=(number, "whole"))
    return say(
        _("{number} spare: one for every {per} begun, common practice"),
        number=(number, "whole"),
        per=(per, "whole"),
    )
