"""A day's order, taken over whole or in part, and sets pinned to their time."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from planning.lesson.day_check import BEGIN, FINISH, Fault, check_day
from planning.models import PlannedSet
from planning.plan.day_words import fault_words
from planning.selectors.day import WorkshopDay, workshop_days
from planning.sheets.options import print_options
from workshops import audit
from workshops.errors import Refused, Stale
from workshops.models import User, Workshop
from workshops.selectors.house import house
from workshops.services.records import check_seen

MOST_SETS = 100  # numbers in the day go from 1 to 100
SLACK_MIN = 1 / 60


@transaction.atomic
def take_order(
    *,
    by: User | None,
    workshop: Workshop,
    on: date,
    starts: Mapping[int, datetime],
    seen: Mapping[int, datetime | None],
) -> list[PlannedSet]:
    """Return the sets of a day that begin or end at another time now.

    ``starts`` holds the new starts by the sets' ids, ``seen`` when every set of the day last
    changed as its reader saw it. Each set ends when its parts are over; numbers in the day follow
    the clock. Readings, turns given and everything else of a set stay.

    Raises Stale when a set of the day changed meanwhile, Refused for a pinned set that would move
    and for a day that would break a limit it holds now; then nothing has changed.
    """
    rows = PlannedSet.objects.select_for_update().order_by("pk")
    list(rows.filter(workshop=workshop).values_list("pk"))
    found = next((one for one in workshop_days(workshop) if one.on == on), None)
    if found is None:
        raise Refused(_("This day has no sets any more."))
    if {one.pk: one.changed_at for one in found.records} != dict(seen):
        raise Stale(_("A set of this day has been changed meanwhile: look at the new proposal."))
    _refuse_moved_pins(found, starts)
    _refuse_new_faults(found, starts, workshop)
    moved = [one for one in found.records if one.pk in starts]
    lengths = {one.key: one.length for one in found.day.sets}
    for one in moved:
        one.start_at = starts[one.pk]
        one.end_at = starts[one.pk] + lengths[one.pk]
    return _write(by, workshop, moved)


def _refuse_moved_pins(found: WorkshopDay, starts: Mapping[int, datetime]) -> None:
    for one in found.records:
        if one.pinned and starts.get(one.pk, one.start_at) != one.start_at:
            raise Refused(_("%(set)s is pinned: let it go first.") % {"set": one.title})


def _refuse_new_faults(
    found: WorkshopDay, starts: Mapping[int, datetime], workshop: Workshop
) -> None:
    before = _by_limit(check_day(found.day, found.starts))
    after = check_day(found.day, found.starts | dict(starts))
    worse = [one for one in after if one.minutes > before.get(_limit(one), 0.0) + SLACK_MIN]
    if worse:
        say = print_options(house()).figures(workshop.timezone_name)
        told = [say.words(fault_words(found.day, one)) for one in worse]
        lead = _("Taken like this the day no longer holds; take more of it, or less.")
        raise Refused([lead, *told])


def _by_limit(faults: Iterable[Fault]) -> dict[tuple, float]:
    return {_limit(one): one.minutes for one in faults}


def _limit(one: Fault) -> tuple:
    """What a fault breaks: the day's own ends are the same whichever set stands there."""
    return (one.kind,) if one.kind in (BEGIN, FINISH) else (one.kind, one.key, one.other, one.title)


def _write(by: User | None, workshop: Workshop, moved: list[PlannedSet]) -> list[PlannedSet]:
    """Save the new times, and number all sets of the workshop as they follow one another."""
    rows = {one.pk: one for one in workshop.sets.all()} | {one.pk: one for one in moved}
    before = {pk: audit.snapshot(PlannedSet.objects.get(pk=pk)) for pk in rows}
    ordered = sorted(rows.values(), key=lambda one: (one.start_at, one.position, one.pk))
    _park([one for number, one in enumerate(ordered, start=1) if one.position != number], ordered)
    for number, one in enumerate(ordered, start=1):
        one.position = number
        if audit.snapshot(one) != before[one.pk]:
            _check(one)
            one.save()
            audit.note(one, before[one.pk], audit.snapshot(one), by=by)
    times = ("start_at", "end_at")
    now = {one.pk: audit.snapshot(one) for one in moved}
    return [one for one in moved if any(now[one.pk][t] != before[one.pk][t] for t in times)]


def _park(renumbered: list[PlannedSet], every: list[PlannedSet]) -> None:
    """Move sets aside to numbers nobody has: no two may have one number, not even in between."""
    taken = {one.position for one in every} | set(range(1, len(every) + 1))
    free = [number for number in range(1, MOST_SETS + 1) if number not in taken]
    if len(free) < len(renumbered):
        raise Refused(_("So many sets cannot be numbered anew: delete some first."))
    for one, number in zip(renumbered, free, strict=False):
        PlannedSet.objects.filter(pk=one.pk).update(position=number)


def _check(one: PlannedSet) -> None:
    try:
        one.full_clean()
    except ValidationError as fault:
        raise Refused(fault.messages) from None


@transaction.atomic
def pin_set(
    *, by: User | None, planned_set: PlannedSet, pinned: bool, seen: datetime | None = None
) -> PlannedSet:
    """Return the set, kept at its time or let go of. Raises Stale when it changed meanwhile."""
    check_seen(planned_set, seen)
    planned_set.pinned = pinned
    return audit.write(planned_set, by=by)
