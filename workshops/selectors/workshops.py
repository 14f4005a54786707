"""Questions about workshops."""

from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from django.db.models import Count, Q, QuerySet

from workshops.models import LIVE, KitUnit, Workshop, WorkshopKit
from workshops.selectors.needs import COMING, USABLE
from workshops.selectors.search import search

SEARCHED = ("title", "notes", "locations__name", "roles__person__name", "bookings__person__name")


@dataclass(frozen=True)
class KitChoice:
    """A unit that may come along: on the list or not, and what speaks against it."""

    unit: KitUnit
    chosen: bool
    usable: bool
    elsewhere: tuple[str, ...]  # other workshops of these hours whose list it is on


def workshop_list(question: str = "") -> QuerySet[Workshop]:
    """Return the workshops a question finds, counted: seats as ``all_seats``, live as ``held``."""
    rows = search(Workshop.objects.order_by("-start_at", "pk"), question, *SEARCHED)
    held = Count("bookings", filter=Q(bookings__state__in=LIVE), distinct=True)
    counted = rows.annotate(all_seats=Count("seats", distinct=True), held=held)
    return counted.prefetch_related("places__location")


def split_by_time(rows: QuerySet[Workshop], now: datetime) -> tuple[QuerySet, QuerySet]:
    """Return the workshops to come, the next first, and those over or called off."""
    ahead = Q(end_at__gte=now, status__in=COMING)
    return rows.filter(ahead).order_by("start_at", "pk"), rows.exclude(ahead)


def kit_choices(workshop: Workshop) -> list[tuple[str, list[KitChoice]]]:
    """Return every unit of the shelf by kind of kit; retired ones only while on the list."""
    chosen = set(workshop.kit.values_list("unit_id", flat=True))
    meanwhile = WorkshopKit.objects.filter(
        workshop__start_at__lt=workshop.end_at,
        workshop__end_at__gt=workshop.start_at,
        workshop__status__in=COMING,
    ).exclude(workshop=workshop)
    taken: dict[int, list[str]] = {}
    for row in meanwhile.select_related("workshop"):
        taken.setdefault(row.unit_id, []).append(row.workshop.title)
    units = KitUnit.objects.select_related("kind").order_by("kind__category", "kind__name", "tag")
    choices = [
        KitChoice(unit, unit.pk in chosen, unit.state in USABLE, tuple(taken.get(unit.pk, ())))
        for unit in units
        if unit.pk in chosen or unit.state != KitUnit.State.RETIRED
    ]
    by_category = groupby(choices, key=lambda choice: choice.unit.kind.get_category_display())
    return [(category, list(found)) for category, found in by_category]


def kit_list(workshop: Workshop) -> tuple[list[tuple[str, list[KitUnit]]], float]:
    """Return the workshop's units by kind of kit, and their mass in kilograms together."""
    rows = workshop.kit.select_related("unit__kind")
    units = [row.unit for row in rows.order_by("unit__kind__category", "unit__kind__name", "unit")]
    by_category = groupby(units, key=lambda unit: unit.kind.get_category_display())
    groups = [(category, list(found)) for category, found in by_category]
    return groups, sum(unit.kind.mass_kg for unit in units)
