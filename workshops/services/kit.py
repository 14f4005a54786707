"""Kit kinds, units, what comes along, and what was metered with it."""

from collections import Counter
from collections.abc import Iterable, Mapping

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import Refused
from workshops.models import (
    Battery,
    GuideNumberReading,
    KitKind,
    KitUnit,
    Modifier,
    Strobe,
    User,
)
from workshops.ready_made import BY_ENGLISH, ReadyMade
from workshops.selectors.kit import free_tags, kind_named


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
def add_units(*, by: User | None, kind: KitKind, tags: Iterable[str], **details) -> list[KitUnit]:
    """Return new units of a kind, all of them with the same details.

    Raises Refused, naming the tags, for one that is in use or stands twice in the list; then
    none is added.
    """
    tags = list(tags)
    twice = [tag for tag, times in Counter(tags).items() if times > 1]
    if twice:
        raise Refused({"tags": _("Twice in the list: %(tags)s.") % {"tags": ", ".join(twice)}})
    rows = KitUnit.objects.filter(tag__in=tags).order_by("tag")
    if taken := list(rows.values_list("tag", flat=True)):
        sentence = _("In use already: %(tags)s. None is added: give these another tag.")
        raise Refused({"tags": sentence % {"tags": ", ".join(taken)}})
    return [add_unit(by=by, kind=kind, tag=tag, **details) for tag in tags]


@transaction.atomic
def add_ready_made(*, by: User | None, counts: Mapping[str, int]) -> list[KitKind]:
    """Return the ready-made kinds put on the shelf, with so many units of each.

    ``counts`` has their English names. A strobe brings its battery, one for each head, if that
    kind is not there.
    Raises Refused for a kind whose name is on the shelf; then nothing is added.
    """
    wanted = Counter(counts)
    for english in counts:
        battery = BY_ENGLISH[english].battery
        if battery and battery not in counts and not kind_named(BY_ENGLISH[battery].names):
            wanted[battery] += counts[english]
    # Batteries first: the strobes point at them.
    order = sorted(wanted, key=lambda english: BY_ENGLISH[english].of is not Battery)
    return [_add(BY_ENGLISH[english], wanted[english], by=by) for english in order]


def _add(ready: ReadyMade, count: int, *, by: User | None) -> KitKind:
    if kind_named(ready.names):
        sentence = _("%(name)s is on the shelf already: it is not added again.")
        raise Refused(sentence % {"name": ready.name})
    record = ready.record()
    if ready.battery and (shared := kind_named(BY_ENGLISH[ready.battery].names)):
        # Whatever else goes by that name is no battery.
        record.battery_kind = Battery.objects.filter(pk=shared.pk).first()
    audit.write(record, by=by)
    # A tag is what people say on the day: short, in capitals, numbered.
    add_units(by=by, kind=record, tags=free_tags(ready.name.upper()[:30], count))
    return record


@transaction.atomic
def record_guide_number(
    *, by: User | None, strobe: Strobe, modifier: Modifier | None = None, **reading
) -> GuideNumberReading:
    """Return a kept flash reading of a head and a modifier, None the standard reflector.

    Raises Refused for a reading with daylight in it or a figure out of range.
    """
    record = GuideNumberReading(strobe=strobe, modifier=modifier, **reading)
    return audit.write(record, by=by)
