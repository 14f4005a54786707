"""Add an event to a set's day, once whatever the line does; take one back by another."""

from datetime import datetime, timedelta
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import PlannedSet, TallyEvent
from planning.selectors.lesson import ENTERED_LATER, noted_from
from planning.selectors.tally import pack_in_head
from workshops import audit
from workshops.errors import Refused
from workshops.models import User
from workshops.selectors.house import house
from workshops.services.again import again
from workshops.words import clock_text, date_text

LATEST = timedelta(hours=24)  # after the planned end nothing belongs to the set any more
CLOCKS_APART = timedelta(minutes=2)  # of a phone and of the server
SENT_OUT = "sent out"  # the pack that went out because another was put in


def locked_set(planned_set: PlannedSet) -> PlannedSet:
    """Return the set, nobody else noting there until the transaction ends."""
    rows = PlannedSet.objects.select_related("location", "workshop")
    return rows.select_for_update(of=("self",)).get(pk=planned_set.pk)


def refuse_before_the_day(planned_set: PlannedSet, now: datetime) -> None:
    if now < noted_from(planned_set):
        raise Refused(_("What happened is noted from the day of the set on, not before."))


def same_again(uuid: UUID, *, at: datetime | None = None, **asked) -> TallyEvent | None:
    """Return the event that this ``uuid`` has noted already, None while it has not.

    Raises Refused when it noted something other than what is ``asked`` now.
    """
    made = TallyEvent.objects.filter(uuid=uuid).first()
    if made is None:
        return None
    differs = any(getattr(made, name) != value for name, value in asked.items())
    if differs or made.takes_back_id is not None or (at is not None and made.at != at):
        raise Refused(_("This form has noted something else. Look again, then try anew."))
    return made


def refuse_light(planned_set: PlannedSet, light_name: str) -> None:
    """Raise Refused for a light the set does not have."""
    names = list(planned_set.lights.values_list("name", flat=True))
    if light_name not in names:
        told = {"name": light_name, "lights": ", ".join(names) or "—"}
        sentence = _("This set has no light called %(name)s. It has: %(lights)s.")
        raise Refused({"light_name": sentence % told})


def happened_at(planned_set: PlannedSet, at: datetime | None, now: datetime) -> datetime:
    """Return when something happened: at the time given, else now.

    What is noted hours after the set was planned to end is copied from paper: without a time of
    its own it happened when the set was to end. Raises Refused for a time of another day.
    """
    refuse_before_the_day(planned_set, now)
    if at is None:
        return planned_set.end_at if is_late(planned_set, now) else now
    if at > now + CLOCKS_APART:
        raise Refused({"at": _("At: enter no time that is still to come.")})
    if not noted_from(planned_set) <= at <= planned_set.end_at + LATEST:
        told = {"day": date_text(planned_set.start_at, planned_set.location.timezone_name)}
        raise Refused({"at": _("At: enter a time of the day of this set, %(day)s.") % told})
    return at


def is_late(planned_set: PlannedSet, now: datetime) -> bool:
    """Return whether what is noted now is copied from paper."""
    return now > planned_set.end_at + ENTERED_LATER


def add_event(
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    kind: str,
    at: datetime,
    notes: str = "",
    **values,
) -> TallyEvent:
    """Return a new event. Raises Refused for what the record itself forbids."""
    event = TallyEvent(uuid=uuid, planned_set=planned_set, kind=kind, at=at, notes=notes, **values)
    return audit.write(event, by=by)


@again
@transaction.atomic
def take_back(*, by: User | None, event: TallyEvent, uuid: UUID, now: datetime) -> TallyEvent:
    """Return the counter-entry that undoes an event; taken back already, that one.

    While a pack put in is still there, what was read of the one before it is taken back too:
    that one is in the head again. Raises Refused for a counter-entry itself.
    """
    planned_set = locked_set(event.planned_set)
    if event.takes_back_id is not None:
        raise Refused(_("That takes something back already: note it anew."))
    if made := TallyEvent.objects.filter(takes_back=event).first():
        return made
    if TallyEvent.objects.filter(uuid=uuid).exists():
        raise Refused(_("This form has noted something else. Look again, then try anew."))
    inside = pack_in_head(planned_set, event.light_name)
    counter = _counter(by, event, uuid, now)
    if event.kind == TallyEvent.Kind.PACK_IN and inside and inside.unit_id == event.unit_id:
        read = TallyEvent.objects.filter(uuid=uuid5(event.uuid, SENT_OUT), taken_back_by=None)
        for one in read:
            _counter(by, one, uuid5(uuid, SENT_OUT), now)
    return counter


def _counter(by: User | None, event: TallyEvent, uuid: UUID, now: datetime) -> TallyEvent:
    copied = (
        "planned_set", "kind", "booking", "round", "station", "f_number", "shutter_s", "iso",
        "light_name", "power", "count", "unit", "charge_share", "charge_lamps", "cause",
        "gust_m_s", "sky", "notes",
    )  # fmt: skip
    values = {name: getattr(event, name) for name in copied}
    return audit.write(TallyEvent(uuid=uuid, at=now, takes_back=event, **values), by=by)


def clock(planned_set: PlannedSet, at: datetime) -> str:
    """Return a time as the clock of the set's place shows it."""
    return clock_text(at, planned_set.location.timezone_name, int(house().clock))
