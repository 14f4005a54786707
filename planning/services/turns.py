"""Note on the day who had a turn and who was called in vain."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from planning.models import PlannedSet, TallyEvent
from planning.selectors.lesson import noted_from, standing, station_names
from planning.selectors.people import TURNS
from planning.services.events import happened_at, is_late, locked_set
from workshops import audit
from workshops.errors import Refused
from workshops.models import Booking, User
from workshops.services.again import again

Kind = TallyEvent.Kind
MOST_ROUNDS = 99


@again
@transaction.atomic
def note_turn(
    *,
    by: User | None,
    planned_set: PlannedSet,
    booking: Booking,
    kind: str,
    uuid: UUID,
    now: datetime,
    planned_at: datetime,
    round: int = 1,
    station: str = "",
    at: datetime | None = None,
) -> TallyEvent:
    """Return the event of a turn given, noted at its end, or of somebody called and not there.

    The same ``uuid`` again is the same event. What is noted hours after the set was planned to
    end is copied from paper: without a time of its own, ``at``, it takes the one the plan had for
    it, ``planned_at``.

    Raises Refused before the day, for who has no turn here or had this one, for a station the
    set has not, and for a ``uuid`` that noted something else; then nothing has changed.
    """
    planned_set = locked_set(planned_set)
    if made := TallyEvent.objects.filter(uuid=uuid).first():
        asked = (planned_set.pk, booking.pk, kind, round, station)
        if (made.planned_set_id, made.booking_id, made.kind, made.round, made.station) != asked:
            raise Refused(_("This form has noted another turn. Look again, then try anew."))
        return made
    _check(planned_set, booking, round, station, now)
    _check_new(planned_set, booking, kind, round, station)
    late = at is None and is_late(planned_set, now)
    event = TallyEvent(
        uuid=uuid,
        planned_set=planned_set,
        kind=kind,
        booking=booking,
        round=round,
        station=station,
        at=planned_at if late else happened_at(planned_set, at, now),
        notes=_("entered later, at the planned time") if late else "",
    )
    return audit.write(event, by=by)


def _check(
    planned_set: PlannedSet, booking: Booking, round: int, station: str, now: datetime
) -> None:
    if now < noted_from(planned_set):
        raise Refused(_("Turns are noted from the day of the set on, not before."))
    told = {"person": booking.person, "workshop": planned_set.workshop}
    if booking.workshop_id != planned_set.workshop_id:
        raise Refused(_("%(person)s has no seat at %(workshop)s.") % told)
    if booking.state == Booking.State.ABSENT:
        raise Refused(_("%(person)s is noted as absent: say first that they are here.") % told)
    if booking.state not in TURNS:
        raise Refused(_("%(person)s has no seat at %(workshop)s.") % told)
    if not 1 <= round <= MOST_ROUNDS:
        raise Refused(_("Round: enter 1 to %(most)d.") % {"most": MOST_ROUNDS})
    stations = station_names(planned_set)
    if station not in (stations or ("",)):
        told = {"stations": ", ".join(stations) or "—"}
        raise Refused(_("Station: choose one of this set: %(stations)s.") % told)


def _check_new(
    planned_set: PlannedSet, booking: Booking, kind: str, round: int, station: str
) -> None:
    """Two phones may press for the same turn: the second press is told so."""
    events = standing(planned_set.events.all())
    given = [
        one
        for one in events
        if one.kind == Kind.TURN_GIVEN and (one.booking_id, one.station) == (booking.pk, station)
    ]
    if len(given) >= round:
        told = {"person": booking.person, "round": round}
        raise Refused(_("%(person)s has had this turn already (round %(round)d).") % told)
    last = events[-1] if events else None
    if last and kind == last.kind == Kind.TURN_MISSED and last.booking_id == booking.pk:
        raise Refused(_("%(person)s was noted just now as not here.") % {"person": booking.person})
