"""Note what happens on a set: times, counts, misfires, wind, sky and words.

Turns are noted in ``turns``, the recipe in ``recipes``, packs in ``packs``; ``events`` takes any of
it back. Each service takes the ``uuid`` of the device that notes: the same again is the same event.
"""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import PlannedSet, TallyEvent
from planning.selectors.lesson import standing
from planning.selectors.people import TURNS
from planning.services.events import (
    add_event,
    clock,
    happened_at,
    is_late,
    locked_set,
    refuse_light,
    same_again,
)
from workshops.errors import Refused
from workshops.models import Booking, KitUnit, User
from workshops.services.again import again

Kind = TallyEvent.Kind


@again
@transaction.atomic
def note_began(
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    at: datetime | None = None,
) -> TallyEvent:
    """Return the event of a set's beginning. Raises Refused where one is noted already."""
    return _time(Kind.SET_BEGAN, by=by, planned_set=planned_set, uuid=uuid, now=now, at=at)


@again
@transaction.atomic
def note_ended(
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    at: datetime | None = None,
) -> TallyEvent:
    """Return the event of a set's end. Raises Refused where one is noted already."""
    return _time(Kind.SET_ENDED, by=by, planned_set=planned_set, uuid=uuid, now=now, at=at)


@again
@transaction.atomic
def note_flashes(
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    light_name: str,
    count: int,
    in_all: bool = False,
    at: datetime | None = None,
) -> TallyEvent:
    """Return the event of flashes counted of one light since the last count.

    ``in_all`` says that ``count`` is everything since the set began, as a head's counter has it:
    what was noted before is taken off. Raises Refused before the day, for a light the set has
    not, and for fewer in all than are noted; then nothing has changed.
    """
    of = {"kind": Kind.FLASHES, "light_name": light_name}
    return _counted(of, by, planned_set, uuid, now, at, count, in_all)


@again
@transaction.atomic
def note_frames(
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    booking: Booking,
    count: int,
    in_all: bool = False,
    at: datetime | None = None,
) -> TallyEvent:
    """Return the event of frames somebody took since the last count; as ``note_flashes``."""
    of = {"kind": Kind.FRAMES, "booking_id": booking.pk}
    return _counted(of, by, planned_set, uuid, now, at, count, in_all)


@again
@transaction.atomic
def note_misfire(
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    cause: str,
    booking: Booking | None = None,
    trigger: KitUnit | None = None,
    light_name: str = "",
    notes: str = "",
    at: datetime | None = None,
) -> TallyEvent:
    """Return the event of a lamp that did not fire: who shot, with which trigger, and why.

    Raises Refused before the day, for a light, a trigger or a person that is not of this set.
    """
    values = {
        "kind": Kind.MISFIRE,
        "cause": cause,
        "booking_id": booking.pk if booking else None,
        "unit_id": trigger.pk if trigger else None,
        "light_name": light_name,
    }
    return _note(by, planned_set, uuid, now, at, notes=notes, **values)


@again
@transaction.atomic
def note_gust(
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    gust_m_s: float,
    at: datetime | None = None,
) -> TallyEvent:
    """Return the event of a gust that was met. Raises Refused for a speed no wind has."""
    return _note(by, planned_set, uuid, now, at, kind=Kind.WIND_SEEN, gust_m_s=gust_m_s)


@again
@transaction.atomic
def note_sky(
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    sky: str,
    at: datetime | None = None,
) -> TallyEvent:
    """Return the event of the sky as it was: clear, partly or overcast."""
    return _note(by, planned_set, uuid, now, at, kind=Kind.SKY_SEEN, sky=sky)


@again
@transaction.atomic
def note_near_miss(
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    words: str,
    at: datetime | None = None,
) -> TallyEvent:
    """Return the event of something that nearly hurt somebody. Raises Refused without words."""
    return _note(by, planned_set, uuid, now, at, kind=Kind.NEAR_MISS, notes=words.strip())


@again
@transaction.atomic
def note_words(
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    words: str,
    booking: Booking | None = None,
    at: datetime | None = None,
) -> TallyEvent:
    """Return the event of a note, perhaps about somebody. Raises Refused without words."""
    values = {"kind": Kind.NOTE, "booking_id": booking.pk if booking else None}
    return _note(by, planned_set, uuid, now, at, notes=words.strip(), **values)


def _note(
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    at: datetime | None,
    **values,
) -> TallyEvent:
    """Return the event with these values, the one there is for a ``uuid`` that noted them."""
    planned_set = locked_set(planned_set)
    if made := same_again(uuid, at=at, planned_set_id=planned_set.pk, **values):
        return made
    at = happened_at(planned_set, at, now)
    _refuse_strange(planned_set, **values)
    return add_event(by=by, planned_set=planned_set, uuid=uuid, at=at, **values)


def _refuse_strange(planned_set: PlannedSet, **values) -> None:
    """Raise Refused for a light, a person or a trigger that has no part in the set."""
    if values.get("light_name"):
        refuse_light(planned_set, values["light_name"])
    if values.get("booking_id"):
        _refuse_booking(planned_set, values["booking_id"])
    if values.get("unit_id"):
        _refuse_trigger(planned_set, values["unit_id"])


def _refuse_booking(planned_set: PlannedSet, booking_id: int) -> None:
    booking = Booking.objects.select_related("person").get(pk=booking_id)
    told = {"person": booking.person, "workshop": planned_set.workshop}
    if booking.workshop_id == planned_set.workshop_id and booking.state == Booking.State.ABSENT:
        sentence = _("%(person)s is noted as absent: say first that they are here.")
        raise Refused({"booking": sentence % told})
    if booking.workshop_id != planned_set.workshop_id or booking.state not in TURNS:
        raise Refused({"booking": _("%(person)s has no seat at %(workshop)s.") % told})


def _refuse_trigger(planned_set: PlannedSet, unit_id: int) -> None:
    unit = KitUnit.objects.select_related("kind").get(pk=unit_id)
    told = {"unit": unit.tag, "workshop": planned_set.workshop}
    if unit.kind.category != "trigger":
        raise Refused({"trigger": _("%(unit)s is no trigger.") % told})
    if not planned_set.workshop.kit.filter(unit=unit).exists():
        raise Refused({"trigger": _("%(unit)s is not on the kit list of %(workshop)s.") % told})


def _time(
    kind: str,
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    at: datetime | None,
) -> TallyEvent:
    planned_set = locked_set(planned_set)
    if made := same_again(uuid, at=at, planned_set_id=planned_set.pk, kind=kind):
        return made
    if at is None and is_late(planned_set, now):
        raise Refused({"at": _("The set is long over: enter the time as it was written down.")})
    at = happened_at(planned_set, at, now)
    events = planned_set.events.all()
    if there := standing(events, kind):
        told = {"at": clock(planned_set, there[0].at)}
        raise Refused({"at": _("That is noted already, at %(at)s: take it back first.") % told})
    other = standing(events, Kind.SET_ENDED if kind == Kind.SET_BEGAN else Kind.SET_BEGAN)
    if other and (at > other[0].at if kind == Kind.SET_BEGAN else at < other[0].at):
        told = {"at": clock(planned_set, other[0].at)}
        before = _("It ended at %(at)s: enter an earlier time, or take the end back.")
        after = _("It began at %(at)s: enter a later time, or take the beginning back.")
        raise Refused({"at": (before if kind == Kind.SET_BEGAN else after) % told})
    return add_event(by=by, planned_set=planned_set, uuid=uuid, kind=kind, at=at)


def _counted(
    of: dict,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    at: datetime | None,
    count: int,
    in_all: bool,
) -> TallyEvent:
    planned_set = locked_set(planned_set)
    known = TallyEvent.objects.filter(uuid=uuid).values_list("pk", flat=True).first()
    before = _sum_before(planned_set, of, known) if in_all else 0
    asked = of | {"planned_set_id": planned_set.pk, "count": count - before}
    if made := same_again(uuid, at=at, **asked):
        return made
    at = happened_at(planned_set, at, now)
    _refuse_strange(planned_set, **of)
    if before and count < before:
        told = {"count": count, "before": before}
        sentence = _(
            "%(before)d are noted already, more than these %(count)d: enter what came since as "
            "more, or take a count back first."
        )
        raise Refused({"count": sentence % told})
    return add_event(
        by=by, planned_set=planned_set, uuid=uuid, at=at, **of | {"count": count - before}
    )


def _sum_before(planned_set: PlannedSet, of: dict, pk: int | None) -> int:
    """What was counted and stood when the event of that number was noted; now without one."""
    rows = planned_set.events.filter(**of)
    rows = rows.filter(pk__lt=pk) if pk else rows
    return sum(row.count for row in standing(rows, of["kind"]))
