"""Records -> what labels and the kit sheet say."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from urllib.parse import urlsplit

from django.conf import settings
from django.db.models import QuerySet
from django.urls import reverse

from workshops.models import Booking, Checkout, KitKind, KitUnit, Workshop
from workshops.selectors.promises import tag_order
from workshops.selectors.workshops import ORDER

HERE = "http://localhost:8000"
THIS_MACHINE = ("localhost", "127.0.0.1", "::1")


def label_units() -> QuerySet[KitUnit]:
    """Return every unit a label may be printed for, by kind and tag."""
    rows = KitUnit.objects.exclude(state=KitUnit.State.RETIRED).select_related("kind")
    return rows.order_by("kind__category", "kind__name", "tag", "pk")


def by_kind(units: Iterable[KitUnit]) -> list[tuple[KitKind, list[KitUnit]]]:
    """Return the units of ``label_units`` under their kinds."""
    return [(kind, list(rows)) for kind, rows in groupby(units, key=lambda unit: unit.kind)]


def unit_address(unit: KitUnit) -> str:
    """Return the whole address of a unit's page, as its label holds it."""
    return (settings.SITE_URL or HERE) + reverse("unit-page", args=[unit.pk])


@dataclass(frozen=True)
class SignedLine:
    """A unit of the kit list: who has it or is booked with it, and its state in words."""

    unit: KitUnit
    person: str
    condition: str  # as it was signed out, while it is
    last: str  # as it came back the last time

    @property
    def leaves(self) -> bool:
        return bool(self.person) or self.unit.state in KitUnit.USABLE


def signed_lines(workshop: Workshop) -> list[SignedLine]:
    """Return each unit of the kit list, in the order of the shelf, by kind and tag."""
    out = {
        one.unit_id: one
        for one in Checkout.objects.filter(workshop=workshop, in_at=None).select_related("person")
    }
    rows = Booking.objects.live().filter(workshop=workshop).select_related("person")
    booked = {one.trigger_unit_id: str(one.person) for one in rows if one.trigger_unit_id}
    units = list(KitUnit.objects.filter(reservations__workshop=workshop).select_related("kind"))
    closed = Checkout.objects.filter(unit__in=units).exclude(in_at=None)
    last = {one.unit_id: one.condition_in for one in closed.order_by("in_at", "pk")}
    return [
        _signed(unit, out.get(unit.pk), booked.get(unit.pk, ""), last.get(unit.pk, ""))
        for unit in sorted(units, key=_on_the_shelf)
    ]


def _signed(unit: KitUnit, out: Checkout | None, booked: str, last: str) -> SignedLine:
    if out:
        return SignedLine(unit, str(out.person), out.condition_out, "")
    usable = unit.state in KitUnit.USABLE
    return SignedLine(unit, booked if usable else "", "", last)


def _on_the_shelf(unit: KitUnit) -> tuple:
    kind = unit.kind
    return ORDER.get(kind.category, len(ORDER)), kind.name, kind.pk, tag_order(unit.tag)


def lines_by_kind(
    lines: Iterable[SignedLine],
) -> Iterator[tuple[KitKind, list[SignedLine]]]:
    """Yield the lines of ``signed_lines`` under their kinds."""
    for kind, rows in groupby(lines, key=lambda line: line.unit.kind):
        yield kind, list(rows)


def opens_here_only() -> bool:
    """Whether the address of a unit's page means nothing to a phone."""
    return urlsplit(settings.SITE_URL or HERE).hostname in THIS_MACHINE
