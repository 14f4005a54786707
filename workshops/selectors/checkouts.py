"""Questions about who has which kit."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet

from workshops.models import (
    LIVE,
    Booking,
    Checkout,
    KitKind,
    KitUnit,
    Person,
    Reservation,
    Workshop,
    WorkshopRole,
)
from workshops.selectors.needs import COMING

AROUND = timedelta(days=7)  # a workshop this near is of this week


@dataclass(frozen=True)
class Taker:
    """Somebody of a workshop kit can be signed out to."""

    person: Person
    part: str  # attendee, or the role
    trigger_id: int | None  # unit the booking names


def still_out(rows: QuerySet[Checkout] | None = None) -> QuerySet[Checkout]:
    """Return the check-outs nobody closed, by person and tag."""
    rows = Checkout.objects.all() if rows is None else rows
    named = rows.filter(in_at=None).select_related("person", "unit__kind", "workshop")
    return named.order_by("person__name", "person_id", "unit__tag", "pk")


def takers(workshop: Workshop) -> list[Taker]:
    """Return everybody of the workshop once: attendees by seat, then who teaches and helps."""
    bookings = workshop.bookings.filter(state__in=LIVE).exclude(state=Booking.State.ABSENT)
    found = {
        one.person_id: Taker(one.person, "", one.trigger_unit_id)
        for one in bookings.select_related("person").order_by("seat__number", "pk")
    }
    order = list(WorkshopRole.Role)
    roles = list(workshop.roles.select_related("person"))
    for role in sorted(roles, key=lambda role: (order.index(role.role), role.pk)):
        found.setdefault(role.person_id, Taker(role.person, role.get_role_display(), None))
    return list(found.values())


def listed_units(workshop: Workshop) -> QuerySet[KitUnit]:
    """Return the units of the kit list, by kind and tag."""
    rows = KitUnit.objects.filter(reservations__workshop=workshop).select_related("kind")
    return rows.order_by("kind__category", "kind__name", "tag", "pk")


def free_units(workshop: Workshop) -> list[KitUnit]:
    """Return the units of the kit list that can be signed out now, triggers first."""
    taken = Checkout.objects.filter(unit=OuterRef("pk"), in_at=None)
    ready = listed_units(workshop).filter(state=KitUnit.State.READY)
    free = ready.exclude(Exists(taken))
    # What everybody gets at a briefing; the rest stays with who carries it. Common practice.
    return sorted(free, key=lambda unit: unit.kind.category != KitKind.Category.TRIGGER)


def faulty_units(workshop: Workshop) -> list[KitUnit]:
    """Return the units of the kit list, or handed out there, that have a fault now."""
    listed = Q(reservations__workshop=workshop) | Q(checkouts__workshop=workshop)
    rows = KitUnit.objects.filter(listed, state=KitUnit.State.FAULT).select_related("kind")
    return list(rows.order_by("tag", "pk").distinct())


def came_back(workshop: Workshop) -> list[Checkout]:
    """Return what was handed out at a workshop and is back, the last first."""
    rows = workshop.checkouts.exclude(in_at=None).select_related("person", "unit")
    return list(rows.order_by("-in_at", "-pk"))


def open_of(unit: KitUnit) -> Checkout | None:
    """Return the open check-out of a unit, if somebody has it."""
    return still_out(Checkout.objects.filter(unit=unit)).first()


def promises(unit: KitUnit, own: QuerySet[Workshop]) -> list[Reservation]:
    """Return for which of the account's own workshops a unit is promised, the next first."""
    rows = Reservation.objects.filter(unit=unit, workshop__in=own).select_related("workshop")
    return list(rows.exclude(workshop__status="cancelled").order_by("start_at", "pk"))


def promised_now(rows: Iterable[Reservation], now: datetime) -> list[Reservation]:
    """Return the promises whose half-open span holds an instant."""
    return [row for row in rows if row.start_at <= now < row.end_at]


def with_kit_out(own: QuerySet[Workshop], now: datetime) -> tuple[list[Workshop], list[Workshop]]:
    """Return the workshops of this week or with something out, and those to come later.

    Each has ``out``, its open check-outs.
    """
    out = Checkout.objects.filter(workshop=OuterRef("pk"), in_at=None)
    near = Q(start_at__lte=now + AROUND, end_at__gte=now - AROUND) & ~Q(status="cancelled")
    rows = own.order_by("start_at", "pk").prefetch_related(
        Prefetch("checkouts", still_out(), to_attr="out")
    )
    week = list(rows.filter(near | Exists(out)))
    later = rows.filter(start_at__gt=now + AROUND, status__in=COMING).exclude(Exists(out))
    return week, list(later[:20])


@dataclass(frozen=True)
class Whereabouts:
    """One unit as an account may see it."""

    unit: KitUnit
    holder: Checkout | None  # at one of the account's own workshops
    elsewhere: bool  # out at another workshop
    promises: list[Reservation]  # to own workshops
    workshop: Workshop | None  # at which it is signed out: chosen, or the only one
    is_now: bool  # promised to that workshop at this instant

    @property
    def others(self) -> list[Workshop]:
        """Return the own workshops it could be signed out at instead."""
        return [one.workshop for one in self.promises if one.workshop != self.workshop]

    @property
    def concerns(self) -> bool:
        """Whether the unit is any business of the account's."""
        return bool(self.holder or self.promises)


def whereabouts(
    unit: KitUnit, own: QuerySet[Workshop], now: datetime, wanted: str = ""
) -> Whereabouts:
    """Return who has a unit and at which own workshop it can be signed out.

    That is ``wanted`` by its number, the only one it is promised to now, or the only one at all;
    with several, or none, the account has to choose.
    """
    rows = promises(unit, own)
    today = promised_now(rows, now)
    named = [row for row in rows if str(row.workshop_id) == wanted]
    found = next((few[0] for few in (named, today or rows) if len(few) == 1), None)
    somebody = open_of(unit)
    ours = somebody and own.filter(pk=somebody.workshop_id).exists()
    return Whereabouts(
        unit=unit,
        holder=somebody if ours else None,
        elsewhere=bool(somebody and not ours),
        promises=rows,
        workshop=found.workshop if found else None,
        is_now=found in today,
    )
