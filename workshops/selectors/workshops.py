"""Questions about workshops."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from django.db.models import Count, F, Q, QuerySet

from workshops.models import LIVE, Booking, KitKind, KitUnit, Workshop, WorkshopRole
from workshops.selectors.needs import COMING
from workshops.selectors.search import search
from workshops.selectors.seats import seat_count

SEARCHED = ("title", "notes", "locations__name", "roles__person__name", "bookings__person__name")


ORDER = {category: place for place, category in enumerate(KitKind.Category)}


@dataclass(frozen=True)
class KitChoice:
    """A unit on the list."""

    unit: KitUnit

    @property
    def usable(self) -> bool:
        return self.unit.state in KitUnit.USABLE


@dataclass(frozen=True)
class KitLine:
    """The units of one kind."""

    kind: KitKind
    units: list

    @property
    def mass_kg(self) -> float:
        return self.kind.mass_kg * len(self.units)


@dataclass(frozen=True)
class KitGroup:
    """The kinds of one category."""

    category: str
    lines: list[KitLine]


def workshop_list(question: str, now: datetime) -> QuerySet[Workshop]:
    """Return the workshops a question finds, counted.

    Seats are ``all_seats``, of them ``free``, ``offered`` and live bookings ``held``, of those
    ``confirmed``; ``waiting`` are on the waitlist without an offer; ``missing`` confirmed bookings
    are still needed to run, 0 or fewer when none is.
    """
    rows = search(Workshop.objects.order_by("-start_at", "pk"), question, *SEARCHED)
    held = Count("bookings", filter=Q(bookings__state__in=LIVE), distinct=True)
    sure = Q(bookings__state=Booking.State.CONFIRMED)
    confirmed = Count("bookings", filter=sure, distinct=True)
    offer = Q(bookings__offer_expires_at__gt=now)
    waits = Q(bookings__state=Booking.State.WAITLISTED)
    counted = rows.annotate(
        all_seats=Count("seats", distinct=True),
        held=held,
        confirmed=confirmed,
        offered=Count("bookings", filter=offer, distinct=True),
        waiting=Count("bookings", filter=waits, distinct=True) - F("offered"),
    ).annotate(
        free=F("all_seats") - F("held") - F("offered"),
        missing=F("minimum_to_run") - F("confirmed"),
    )
    return counted.prefetch_related("places__location")


def bookable(now: datetime) -> QuerySet[Workshop]:
    """Return the workshops that take bookings now, the next first."""
    open_ones = (Workshop.Status.OPEN, Workshop.Status.CONFIRMED)
    return Workshop.objects.filter(status__in=open_ones, start_at__gt=now).order_by(
        "start_at", "pk"
    )


def seats_by_workshop(rows: QuerySet[Workshop], now: datetime) -> dict[int, int]:
    """Return the free seats of each workshop by its number."""
    known = rows.prefetch_related("seats", "bookings")
    return {workshop.pk: seat_count(workshop, now).free for workshop in known}


def split_by_time(rows: QuerySet[Workshop], now: datetime) -> tuple[QuerySet, QuerySet]:
    """Return the workshops to come, the next first, and those over or called off."""
    ahead = Q(end_at__gte=now, status__in=COMING)
    return rows.filter(ahead).order_by("start_at", "pk"), rows.exclude(ahead)


def roles_in_order(workshop: Workshop) -> list[WorkshopRole]:
    """Return who is there without a seat, the lead first; it comes from ``needs.with_parts``."""
    order = list(WorkshopRole.Role)
    return sorted(workshop.roles.all(), key=lambda role: (order.index(role.role), role.pk))


def kit_list(workshop: Workshop) -> list[KitGroup]:
    """Return the units on a workshop's list; it comes from ``needs.with_parts``."""
    return _grouped(KitChoice(row.unit) for row in workshop.kit.all())


def _grouped(choices: Iterable[KitChoice]) -> list[KitGroup]:
    """Return the choices by category in the order of the shelf, by kind, by tag."""

    def place(choice: KitChoice) -> tuple:
        kind = choice.unit.kind
        return ORDER.get(kind.category, len(ORDER)), kind.name, kind.pk, choice.unit.tag

    groups: list[KitGroup] = []
    by_kind = groupby(sorted(choices, key=place), key=lambda choice: choice.unit.kind_id)
    for _kind, found in by_kind:
        line = list(found)
        kind = line[0].unit.kind
        category = kind.get_category_display()
        if not groups or groups[-1].category != category:
            groups.append(KitGroup(category, []))
        groups[-1].lines.append(KitLine(kind, line))
    return groups


def total_kg(groups: Iterable[KitGroup]) -> float:
    """Return what everything on a list weighs."""
    return sum(line.mass_kg for group in groups for line in group.lines)
