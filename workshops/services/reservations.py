"""Promise units of kit to workshops, move the promises with the days, give units free.

Locks are taken in one order everywhere: the house's rules, workshops by id, units by id. So two
that want the same wait for each other, and none waits in a circle.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from workshops import audit, guards
from workshops.errors import NotFound, Refused
from workshops.models import Checkout, House, KitKind, KitUnit, Reservation, User, Workshop
from workshops.selectors.promises import (
    clashes,
    promised_span,
    promised_words,
    tag_order,
)
from workshops.services.again import again
from workshops.services.records import check_seen

__all__ = [
    "and_more",
    "check_move",
    "follow_workshop",
    "lock_rules",
    "locked_units",
    "move",
    "promised_span",
    "release",
    "release_all",
    "reserve",
    "reserve_kinds",
    "set_kit",
]

MOST_TOLD = 5  # clashes named in one refusal


def lock_rules() -> None:
    """Hold the house's margins as they are. Call inside a transaction, before other locks."""
    list(House.objects.select_for_update().order_by("pk"))


@again
@transaction.atomic
def reserve(
    *,
    by: User | None,
    workshop: Workshop,
    units: Iterable[KitUnit],
    seen: datetime | None = None,
) -> list[Reservation]:
    """Return the promises of units to a workshop.

    Raises Refused naming each unit that is on its list already, not fit for use, or promised
    elsewhere, with the other workshop, its day and until when; Stale when the workshop changed
    after ``seen``. Then nothing is promised.
    """
    workshop = _locked(workshop, seen)
    return _promise(by, workshop, list(units))


@again
@transaction.atomic
def reserve_kinds(
    *,
    by: User | None,
    workshop: Workshop,
    wanted: Mapping[KitKind, int],
    seen: datetime | None = None,
    partly: bool = False,
) -> list[Reservation]:
    """Return the promises of so many more units of each kind: free ones fit for use, by tag.

    Raises Refused, by the name ``kind_<id>``, for a kind with fewer than asked, unless
    ``partly`` says to take what there is; Stale as ``reserve``. Then nothing is promised.
    """
    workshop = _locked(workshop, seen)
    counts = {kind.pk: count for kind, count in wanted.items() if count > 0}
    units = locked_units(kind__in=counts)
    taken = defaultdict(list)
    for row in clashes(promised_span(workshop), without=workshop, units=units):
        taken[row.unit_id].append(row)
    mine = set(workshop.kit.values_list("unit_id", flat=True))
    chosen, short = [], {}
    for kind in wanted:
        of_kind = [unit for unit in units.values() if unit.kind_id == kind.pk]
        of_kind.sort(key=lambda unit: tag_order(unit.tag))
        usable = [unit for unit in of_kind if unit.state in KitUnit.USABLE]
        free = [unit for unit in usable if unit.pk not in mine and unit.pk not in taken]
        asked = counts.get(kind.pk, 0)
        chosen += free[:asked]
        if len(free) < asked and not partly:
            first = _("%(kind)s: %(asked)d asked, %(free)d free. Ask for fewer.")
            told = {"kind": kind, "asked": asked, "free": len(free)}
            rows = [row for unit in usable for row in taken[unit.pk]]
            short[f"kind_{kind.pk}"] = [first % told, *_told(rows)]
    if short:
        raise Refused(short)
    return _promise(by, workshop, chosen)


@again
@transaction.atomic
def set_kit(
    *,
    by: User | None,
    workshop: Workshop,
    units: Iterable[KitUnit],
    seen: datetime | None = None,
) -> Workshop:
    """Return a workshop whose list holds exactly these units; only what differs is written.

    Raises Stale when the workshop changed after ``seen``, NotFound when it is gone, Refused as
    ``reserve`` and ``release`` do; then nothing has changed.
    """
    found = _locked(workshop, seen)
    wanted = {unit.pk: unit for unit in units}
    known = {row.unit_id: row.unit for row in found.kit.select_related("unit")}
    _release(by, found, known.keys() - wanted.keys())
    _promise(by, found, [unit for pk, unit in wanted.items() if pk not in known])
    return workshop


@again
@transaction.atomic
def release(*, by: User | None, workshop: Workshop, units: Iterable[KitUnit]) -> int:
    """Return how many units were given free. Raises Refused for one that is signed out there."""
    return _release(by, _locked(workshop, None), {unit.pk for unit in units})


@transaction.atomic
def release_all(*, by: User | None, workshop: Workshop) -> int:
    """Return how many units were given free: all of a workshop that is called off."""
    Workshop.objects.select_for_update().order_by("pk").get(pk=workshop.pk)
    rows = list(workshop.kit.select_related("unit__kind").order_by("unit_id"))
    for row in rows:
        audit.erase(row, by=by)
    return len(rows)


@transaction.atomic
def follow_workshop(*, by: User | None, workshop: Workshop) -> None:
    """Let the promises stand as the stored workshop needs them: none when it is called off.

    Call in the transaction that wrote it, after ``lock_rules``. Raises Refused naming the
    clash where its new days meet a promise to another workshop.
    """
    if workshop.status == Workshop.Status.CANCELLED:
        release_all(by=by, workshop=workshop)
        return
    span = promised_span(workshop)
    rows = _other_than(workshop, span)
    if rows:
        locked_units(pk__in=[row.unit_id for row in rows])
        check_move(workshop)
        move(by, [(row, span) for row in rows])


def check_move(workshop: Workshop) -> None:
    """Raise Refused where a workshop's promises cannot move to the days it now has."""
    if workshop.status == Workshop.Status.CANCELLED:
        return
    span = promised_span(workshop)
    units = [row.unit_id for row in _other_than(workshop, span)]
    if rows := list(clashes(span, without=workshop, units=units)):
        advice = _("Give the unit free on one of the two lists first, or keep the days apart.")
        raise Refused([*_told(rows), advice])


def _locked(workshop: Workshop, seen: datetime | None) -> Workshop:
    """Return the workshop as it is stored, its row and the house's margins held."""
    lock_rules()
    check_seen(workshop, seen)
    return Workshop.objects.get(pk=workshop.pk)


def locked_units(**which) -> dict[int, KitUnit]:
    """Return units by their number, their rows held in that order."""
    rows = KitUnit.objects.select_for_update(of=("self",)).select_related("kind")
    return {unit.pk: unit for unit in rows.filter(**which).order_by("pk")}


def _promise(by: User | None, workshop: Workshop, units: list[KitUnit]) -> list[Reservation]:
    if not units:
        return []
    if workshop.status in (Workshop.Status.CANCELLED, Workshop.Status.CLOSED):
        sentence = _("%(workshop)s is %(status)s: nothing is reserved for it any more.")
        told = {"workshop": workshop, "status": workshop.get_status_display()}
        raise Refused(sentence % told)
    locked, span = locked_units(pk__in=[unit.pk for unit in units]), promised_span(workshop)
    _check_units(workshop, units, locked, span)
    made = []
    with promised_once():
        for unit in units:
            row = Reservation(workshop=workshop, unit=locked[unit.pk])
            row.start_at, row.end_at = span
            made.append(audit.write(row, by=by))
    # A form that knows nothing of the new units must not take them off again.
    audit.touch(workshop)
    return made


def _check_units(workshop, units, locked, span) -> None:
    """Raise Refused for units that cannot be promised, each named with its reason."""
    if gone := [unit.tag for unit in units if unit.pk not in locked]:
        raise NotFound(_("%(unit)s has been deleted meanwhile.") % {"unit": ", ".join(gone)})
    faults, mine = [], set(workshop.kit.values_list("unit_id", flat=True))
    for unit in units:
        if unit.pk in mine:
            sentence = _("%(unit)s is on this workshop's list already.")
            faults.append(sentence % {"unit": unit.tag})
        mine.add(unit.pk)
    unfit = {one.tag for one in locked.values() if one.state not in KitUnit.USABLE}
    if unfit:
        sentence = _("Not fit for use: %(tags)s. Leave them out, or set their state to ready.")
        faults.append(sentence % {"tags": ", ".join(sorted(unfit, key=tag_order))})
    if rows := list(clashes(span, without=workshop, units=locked)):
        faults += [*_told(rows), _("Choose other units, or give these free there first.")]
    if faults:
        raise Refused({"units": faults})


def _release(by: User | None, workshop: Workshop, units: Iterable[int]) -> int:
    rows = workshop.kit.filter(unit__in=units).select_related("unit__kind").order_by("unit_id")
    out = Checkout.objects.filter(workshop=workshop, unit__in=units, in_at=None)
    if held := out.select_related("unit", "person").order_by("unit__tag").first():
        sentence = _("%(person)s has %(unit)s: take it back before you give it free.")
        raise Refused({"units": sentence % {"person": held.person, "unit": held.unit.tag}})
    gone = list(rows)
    for row in gone:
        audit.erase(row, by=by)
    return len(gone)


def _other_than(workshop: Workshop, span: tuple[datetime, datetime]) -> list[Reservation]:
    rows = workshop.kit.exclude(start_at=span[0], end_at=span[1])
    return list(rows.select_related("workshop", "unit__kind").order_by("unit_id"))


def move(by: User | None, moves: Iterable[tuple[Reservation, tuple]]) -> None:
    """Write promises with their new spans, in this order."""
    with promised_once():
        for row, (start_at, end_at) in moves:
            row.start_at, row.end_at = start_at, end_at
            audit.write(row, by=by)


def _told(rows: list[Reservation]) -> list[str]:
    return [*(promised_words(row) for row in rows[:MOST_TOLD]), *and_more(len(rows))]


def and_more(count: int) -> list[str]:
    """Return what a refusal that names a few of them adds."""
    more = count - MOST_TOLD
    return [_("And %(n)d more like it.") % {"n": more}] if more > 0 else []


@contextmanager
def promised_once() -> Iterator[None]:
    """Say in words what the database itself refuses: a second promise of one unit at one time."""
    try:
        with transaction.atomic():
            yield
    except IntegrityError as fault:
        if not guards.is_overlap(fault):
            raise
        sentence = _("Somebody else has just promised one of these units. Look again what is free.")
        raise Refused(sentence) from None
