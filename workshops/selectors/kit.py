"""Questions about the shelf."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.core.exceptions import ObjectDoesNotExist
from django.db.models import Case, Count, Exists, IntegerField, OuterRef, Q, QuerySet, Value, When

from workshops.models import GuideNumberReading, KitKind, KitUnit, Strobe
from workshops.ready_made import says_typical
from workshops.selectors.search import search

Category, State = KitKind.Category, KitUnit.State
# Where a kind's own figures are kept, by its category: the name of the one-to-one link.
LINKS = {one: one.value.replace(" ", "") for one in Category if one not in KitKind.PLAIN}
ORDER = Case(
    *(When(category=one, then=Value(place)) for place, one in enumerate(Category)),
    output_field=IntegerField(),
)


@dataclass(frozen=True)
class OnShelf:
    """A kind as the shelf shows it; ``own`` is the row with its figures."""

    kind: KitKind
    own: KitKind
    typical: bool  # its figures are the ready-made ones, nothing metered yet


def kinds(question: str = "") -> QuerySet[KitKind]:
    """Return the kinds a question finds, by category and name, with their own figures.

    Each has the number of its units by state (``ready``, ``out``, ``fault``, ``retired``) and
    whether a guide number was ``metered`` with it. The words are looked for in the units too.
    """
    fields = ("name", "category", "maker_text", "notes")
    units = ("units__tag", "units__serial", "units__notes")
    found = search(KitKind.objects.all(), question, *fields, *units)
    counts = {one.value: Count("units", filter=Q(units__state=one)) for one in State}
    return (
        found.select_related(*LINKS.values())
        .annotate(**counts, metered=_metered())
        .order_by(ORDER, "name", "pk")
    )


def _metered() -> Exists:
    here = Q(strobe=OuterRef("pk")) | Q(modifier=OuterRef("pk"))
    return Exists(GuideNumberReading.objects.filter(here))


def shelf(rows: Iterable[KitKind]) -> list[OnShelf]:
    """Return kinds of ``kinds()`` with their figures, without asking the database again."""
    return [
        OnShelf(kind, own_figures(kind), says_typical(kind.notes) and not kind.metered)
        for kind in rows
    ]


def kind_on_shelf(pk: int) -> OnShelf | None:
    """Return one kind with its figures, None if there is none of that number."""
    return next(iter(shelf(kinds().filter(pk=pk))), None)


def own_figures(kind: KitKind) -> KitKind:
    """Return the row with a kind's own figures; the kind itself where it has none."""
    link = LINKS.get(kind.category)
    try:
        return getattr(kind, link) if link else kind
    except ObjectDoesNotExist:
        return kind


def readings_of(kind: KitKind) -> QuerySet[GuideNumberReading]:
    """Return the flash readings taken with a head, or with a modifier, the newest first."""
    rows = GuideNumberReading.objects.select_related("strobe", "modifier", "meter__kind")
    with_it = Q(strobe=kind.pk) if isinstance(kind, Strobe) else Q(modifier=kind.pk)
    return rows.filter(with_it).order_by("-read_on", "-pk")


def kind_named(names: Iterable[str]) -> KitKind | None:
    """Return the kind with one of these names, all of them without case."""
    wanted = set(names)
    rows = KitKind.objects.order_by("pk")
    return next((kind for kind in rows if kind.name.casefold() in wanted), None)


def names_on_shelf() -> set[str]:
    """Return the names of all kinds, without case."""
    return {name.casefold() for name in KitKind.objects.values_list("name", flat=True)}


def free_tags(prefix: str, count: int) -> list[str]:
    """Return so many asset tags "PREFIX-1", "PREFIX-2" that no unit has."""
    rows = KitUnit.objects.filter(tag__startswith=f"{prefix}-")
    taken = set(rows.values_list("tag", flat=True))
    tags, number = [], 0
    while len(tags) < count:
        number += 1
        if (tag := f"{prefix}-{number}") not in taken:
            tags.append(tag)
    return tags
