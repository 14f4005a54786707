"""Kit kinds, units, what comes along, and what was metered with it."""

from collections.abc import Iterable

from django.db import transaction

from workshops import audit
from workshops.models import (
    GuideNumberReading,
    KitKind,
    KitUnit,
    Modifier,
    Strobe,
    User,
    Workshop,
    WorkshopKit,
)


@transaction.atomic
def add_kind(*, by: User | None, of: type[KitKind] = KitKind, **figures) -> KitKind:
    """Return a new kind of kit; ``of`` is Strobe, Modifier, Stand and so on.

    Raises Refused for a name in use or a figure out of range.
    """
    return audit.write(of(**figures), by=by)


@transaction.atomic
def add_unit(*, by: User | None, kind: KitKind, tag: str, **details) -> KitUnit:
    """Return a new unit of a kind. Raises Refused for an asset tag in use."""
    # The unit points at the kind's shared row, whichever table holds the figures.
    shared = KitKind.objects.get(pk=kind.pk)
    return audit.write(KitUnit(kind=shared, tag=tag, **details), by=by)


@transaction.atomic
def bring_along(
    *, by: User | None, workshop: Workshop, units: Iterable[KitUnit]
) -> list[WorkshopKit]:
    """Return the rows that put units on a workshop's list. Raises Refused for one twice."""
    return [audit.write(WorkshopKit(workshop=workshop, unit=unit), by=by) for unit in units]


@transaction.atomic
def record_guide_number(
    *, by: User | None, strobe: Strobe, modifier: Modifier | None = None, **reading
) -> GuideNumberReading:
    """Return a kept flash reading of a head and a modifier, None the standard reflector.

    Raises Refused for a reading with daylight in it or a figure out of range.
    """
    record = GuideNumberReading(strobe=strobe, modifier=modifier, **reading)
    return audit.write(record, by=by)
