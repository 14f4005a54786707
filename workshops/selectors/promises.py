"""What of the shelf is promised to whom, and what is free for a workshop."""

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from workshops.models import House, KitKind, KitUnit, Reservation, Workshop
from workshops.selectors.house import house
from workshops.words import clock_text, date_text

Status = Workshop.Status
# Whose promises lie ahead, and move with the house's margins.
AHEAD = (Status.DRAFT, Status.OPEN, Status.CONFIRMED, Status.RUN)
_PLACE = {category: place for place, category in enumerate(KitKind.Category)}


def promised_span(workshop: Workshop, rules: House | None = None) -> tuple[datetime, datetime]:
    """Return the half-open span for which a workshop needs its kit, margins included."""
    rules = rules or house()
    return (
        workshop.start_at - timedelta(hours=rules.preparation_hours),
        workshop.end_at + timedelta(hours=rules.return_hours),
    )


def tag_order(tag: str) -> list[tuple[int, str]]:
    """Return what sorts asset tags as people count: T2 before T10."""
    return [
        (int(part), "") if part.isdigit() else (0, part)
        for part in re.findall(r"[0-9]+|[^0-9]+", tag)
    ]


def clashes(
    span: tuple[datetime, datetime], *, without: Workshop, units: Iterable[int] | None = None
) -> QuerySet[Reservation]:
    """Return the promises to other workshops that overlap a half-open span, the first first."""
    rows = Reservation.objects.filter(start_at__lt=span[1], end_at__gt=span[0])
    if units is not None:
        rows = rows.filter(unit__in=list(units))
    rows = rows.exclude(workshop=without).select_related("workshop", "unit")
    return rows.order_by("start_at", "pk")


def promised_words(row: Reservation) -> str:
    """Return a clash in words: unit, the other workshop, its day, and until when."""
    zone, hours = row.workshop.timezone_name, int(house().clock)
    told = {
        "unit": row.unit.tag,
        "workshop": row.workshop,
        "day": date_text(row.workshop.start_at, zone),
        "until": f"{date_text(row.end_at, zone)}, {clock_text(row.end_at, zone, hours)}",
    }
    return _("%(unit)s is promised to %(workshop)s on %(day)s, until %(until)s.") % told


@dataclass(frozen=True)
class UnitHere:
    """A unit as one workshop sees it."""

    unit: KitUnit
    here: bool  # on its list
    elsewhere: tuple[Reservation, ...]  # promises to others that overlap its span

    @property
    def usable(self) -> bool:
        return self.unit.state in KitUnit.USABLE

    @property
    def free(self) -> bool:
        return self.usable and not self.here and not self.elsewhere


@dataclass(frozen=True)
class Elsewhere:
    """Units of one kind promised to one other workshop."""

    workshop: Workshop
    until: datetime
    tags: list[str]


@dataclass(frozen=True)
class KindHere:
    """The units of one kind as one workshop sees them, by tag."""

    kind: KitKind
    units: list[UnitHere]

    @property
    def here(self) -> list[UnitHere]:
        return [one for one in self.units if one.here]

    @property
    def usable(self) -> list[UnitHere]:
        return [one for one in self.units if one.usable]

    @property
    def free(self) -> list[UnitHere]:
        return [one for one in self.units if one.free]

    @property
    def elsewhere(self) -> list["Elsewhere"]:
        """What speaks against units of the kind, one row for each other workshop."""
        rows = defaultdict(list)
        for one in self.units:
            for row in one.elsewhere:
                rows[row.workshop, row.end_at].append(one.unit.tag)
        return [Elsewhere(workshop, until, tags) for (workshop, until), tags in rows.items()]

    @property
    def unfit(self) -> list[KitUnit]:
        return [one.unit for one in self.units if not one.usable]


@dataclass(frozen=True)
class CategoryHere:
    """The kinds of one category."""

    name: str
    kinds: list[KindHere]

    @property
    def here(self) -> list[KindHere]:
        return [one for one in self.kinds if one.here]


def shelf_for(workshop: Workshop) -> list[CategoryHere]:
    """Return the whole shelf as a workshop sees it, in three queries and those of the house."""
    elsewhere = defaultdict(list)
    for row in clashes(promised_span(workshop), without=workshop):
        elsewhere[row.unit_id].append(row)
    mine = set(workshop.kit.values_list("unit_id", flat=True))
    seen = [
        UnitHere(unit, unit.pk in mine, tuple(elsewhere[unit.pk]))
        for unit in KitUnit.objects.select_related("kind")
    ]

    def place(one: UnitHere) -> tuple:
        kind = one.unit.kind
        order = _PLACE.get(kind.category, len(_PLACE))
        return order, kind.name, kind.pk, tag_order(one.unit.tag)

    groups: list[CategoryHere] = []
    for _pk, found in groupby(sorted(seen, key=place), key=lambda one: one.unit.kind_id):
        units = list(found)
        kind = units[0].unit.kind
        category = kind.get_category_display()
        if not groups or groups[-1].name != category:
            groups.append(CategoryHere(category, []))
        groups[-1].kinds.append(KindHere(kind, units))
    return groups


def carried_kg(groups: Iterable[CategoryHere]) -> float:
    """Return what everything on the list weighs."""
    kinds = (one for group in groups for one in group.kinds)
    return sum(one.kind.mass_kg * len(one.here) for one in kinds)


def coming_promises(kind: KitKind, now: datetime) -> QuerySet[Reservation]:
    """Return the promises of a kind's units that are not over yet, in order of time."""
    rows = Reservation.objects.filter(unit__kind=kind.pk, end_at__gt=now)
    return rows.select_related("workshop", "unit").order_by("start_at", "unit__tag", "pk")
