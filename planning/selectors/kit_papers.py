"""Records -> what labels and the list to sign say."""

from collections.abc import Iterable
from itertools import groupby

from django.conf import settings
from django.db.models import QuerySet
from django.urls import reverse

from workshops.models import Booking, Checkout, KitKind, KitUnit, Workshop

HERE = "http://localhost:8000"


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


def signed_lines(workshop: Workshop) -> list[tuple[KitUnit, str, str]]:
    """Return each unit of the kit list with who has it, or is booked with it, and its condition."""
    out = {
        one.unit_id: one
        for one in Checkout.objects.filter(workshop=workshop, in_at=None).select_related("person")
    }
    rows = Booking.objects.live().filter(workshop=workshop).select_related("person")
    booked = {one.trigger_unit_id: str(one.person) for one in rows if one.trigger_unit_id}
    units = KitUnit.objects.filter(reservations__workshop=workshop).select_related("kind")
    lines = []
    for unit in units.order_by("kind__category", "kind__name", "tag", "pk"):
        if one := out.get(unit.pk):
            lines.append((unit, str(one.person), one.condition_out))
        elif unit.state in KitUnit.USABLE:
            lines.append((unit, booked.get(unit.pk, ""), ""))
    return lines
