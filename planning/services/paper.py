"""Note a whole set from its paper: all of it or nothing, nothing twice.

Paper says what there was in all. What was noted on the day already counts towards it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID, uuid5

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from planning.after.packs import Charge
from planning.models import PlannedSet, TallyEvent
from planning.selectors.lesson import standing
from planning.selectors.tally import pack_in_head
from planning.services.events import locked_set, refuse_before_the_day, same_again
from planning.services.packs import take_pack_out
from planning.services.tally import note_gust, note_misfire, note_near_miss, note_sky, note_words
from workshops.errors import Refused
from workshops.models import Booking, User
from workshops.services.again import again

Kind = TallyEvent.Kind
SAME_M_S = 0.05  # of two gusts: what is shown of them


@dataclass(frozen=True)
class Line:
    """One box of the paper: what notes it, what it says, and the fields it was typed in."""

    field: str
    service: Callable
    says: dict
    fields: dict[str, str] = field(default_factory=dict)  # of the service's values: the form's


@again
@transaction.atomic
def note_paper(
    *, by: User | None, planned_set: PlannedSet, key: UUID, now: datetime, lines: Sequence[Line]
) -> int:
    """Note every line and return how many events there are new; the same ``key`` is the same paper.

    Raises Refused with every fault at its field; then nothing has changed.
    """
    planned_set = locked_set(planned_set)
    refuse_before_the_day(planned_set, now)
    before, faults = planned_set.events.count(), {}
    for line in lines:
        try:
            line.service(
                by=by, planned_set=planned_set, uuid=uuid5(key, line.field), now=now, **line.says
            )
        except ValidationError as refusal:
            _put(faults, line, refusal)
    if faults:
        raise Refused(faults)
    return planned_set.events.count() - before


def _put(faults: dict[str, list[str]], line: Line, refusal: ValidationError) -> None:
    told = {NON_FIELD_ERRORS: refusal.messages}
    if hasattr(refusal, "error_dict"):
        told = refusal.message_dict
    for name, sentences in told.items():
        place = line.fields.get(name, line.field)
        faults.setdefault(place, []).extend(one for one in sentences if one not in faults[place])


def counted_in_all(
    service: Callable, *, planned_set: PlannedSet, count: int, of: dict, **asked
) -> None:
    """Note what is lacking to ``count`` of one light, or of one person; nothing where it is all."""
    kind = Kind.FLASHES if "light_name" in of else Kind.FRAMES
    noted = standing(planned_set.events.filter(**of), kind)
    if not noted or sum(row.count for row in noted) != count:
        service(planned_set=planned_set, count=count, in_all=True, **of, **asked)


def misfires_in_all(
    *, planned_set: PlannedSet, uuid: UUID, booking: Booking, cause: str, count: int, **asked
) -> None:
    """Note as many misfires of somebody for one cause as are lacking to ``count``."""
    for number in range(count):
        own = uuid5(uuid, str(number))
        if TallyEvent.objects.filter(uuid=own).exists():
            continue
        noted = standing(planned_set.events.filter(booking=booking, cause=cause), Kind.MISFIRE)
        if len(noted) >= count:
            return
        note_misfire(planned_set=planned_set, uuid=own, booking=booking, cause=cause, **asked)


def strongest_gust(*, planned_set: PlannedSet, gust_m_s: float, **asked) -> None:
    """Note the strongest gust, unless one as strong is noted."""
    noted = standing(planned_set.events.all(), Kind.WIND_SEEN)
    if not any(row.gust_m_s >= gust_m_s - SAME_M_S for row in noted):
        note_gust(planned_set=planned_set, gust_m_s=gust_m_s, **asked)


def sky_once(*, planned_set: PlannedSet, sky: str, **asked) -> None:
    """Note the sky, unless it is noted so."""
    if not any(row.sky == sky for row in standing(planned_set.events.all(), Kind.SKY_SEEN)):
        note_sky(planned_set=planned_set, sky=sky, **asked)


def words_once(*, planned_set: PlannedSet, words: str, near: bool = False, **asked) -> None:
    """Note words, unless the very same are noted."""
    kind = Kind.NEAR_MISS if near else Kind.NOTE
    booking = asked.get("booking")
    noted = standing(planned_set.events.filter(booking=booking), kind)
    if not any(row.notes == words.strip() for row in noted):
        (note_near_miss if near else note_words)(planned_set=planned_set, words=words, **asked)


def last_pack_out(
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    light_name: str,
    charge: Charge,
    at: datetime | None,
) -> None:
    """Note what the pack that is in a head shows when the set ends."""
    of = {"planned_set_id": planned_set.pk, "kind": Kind.PACK_OUT, "light_name": light_name}
    shows = {"charge_share": charge.share, "charge_lamps": charge.lamps}
    if same_again(uuid, at=at, **of | shows):
        return
    inside = pack_in_head(planned_set, light_name)
    if inside is None:
        sentence = _("No pack is noted in %(light)s: enter which one went in.")
        raise Refused(sentence % {"light": light_name})
    take_pack_out(
        by=by,
        planned_set=planned_set,
        uuid=uuid,
        now=now,
        unit=planned_set.workshop.kit.get(unit=inside.unit_id).unit,
        light_name=light_name,
        charge=charge,
        at=at,
    )
