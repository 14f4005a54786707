"""Note which pack goes into which head, and what it shows when it comes out."""

from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from planning.after.packs import Charge, in_heads, within_share
from planning.after.results import PackUse
from planning.models import PlannedSet, TallyEvent
from planning.selectors.lesson import standing
from planning.selectors.tally import pack_in_head, pack_stays
from planning.services.events import (
    SENT_OUT,
    add_event,
    clock,
    happened_at,
    locked_set,
    refuse_light,
    same_again,
)
from workshops.errors import Refused
from workshops.models import KitUnit, User
from workshops.services.again import again

Kind = TallyEvent.Kind


@again
@transaction.atomic
def put_pack_in(
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    light_name: str,
    unit: KitUnit,
    charge: Charge | None = None,
    old_charge: Charge | None = None,
    at: datetime | None = None,
) -> TallyEvent:
    """Return the event of a pack put into a head; whatever was in there comes out by it.

    ``old_charge`` is what the one that came out shows; without it nobody looked, and it can be
    told later by ``take_pack_out``. A pack is in one head at a time.

    Raises Refused before the day, for a light the set has not, for a unit that is no pack of the
    workshop's kit list, and for a pack that is in a head already; then nothing has changed.
    """
    planned_set, unit = locked_set(planned_set), _locked_pack(planned_set, unit)
    asked = {"planned_set_id": planned_set.pk, "kind": Kind.PACK_IN, "light_name": light_name}
    asked |= {"unit_id": unit.pk} | _shown(charge)
    if made := same_again(uuid, at=at, **asked):
        return made
    at = happened_at(planned_set, at, now)
    refuse_light(planned_set, light_name)
    _refuse_in_a_head(planned_set, unit, light_name, at)
    before = pack_in_head(planned_set, light_name, at)
    if old_charge is not None:
        if before is None:
            told = {"light": light_name}
            raise Refused({"old_charge": _("No pack was noted in %(light)s before.") % told})
        _refuse_fuller(before, old_charge, "old_charge")
        add_event(
            by=by,
            planned_set=planned_set,
            uuid=uuid5(uuid, SENT_OUT),
            kind=Kind.PACK_OUT,
            at=at,
            light_name=light_name,
            unit_id=before.unit_id,
            **_shown(old_charge),
        )
    return add_event(by=by, uuid=uuid, at=at, planned_set=planned_set, **_without_set(asked))


@again
@transaction.atomic
def take_pack_out(
    *,
    by: User | None,
    planned_set: PlannedSet,
    uuid: UUID,
    now: datetime,
    unit: KitUnit,
    light_name: str = "",
    charge: Charge | None = None,
    at: datetime | None = None,
) -> TallyEvent:
    """Return the event of a pack that came out of a head, or was read after it had.

    Raises Refused before the day, for a pack that was in no head while no light is named, for
    one whose place another has, for one read already and for one that would show more than it
    went in with; then nothing has changed.
    """
    planned_set, unit = locked_set(planned_set), _locked_pack(planned_set, unit)
    asked = {"planned_set_id": planned_set.pk, "kind": Kind.PACK_OUT, "unit_id": unit.pk}
    if made := same_again(uuid, at=at, **asked | _shown(charge)):
        return made
    at = happened_at(planned_set, at, now)
    stay = _stay(planned_set, unit, light_name, at)
    if stay is not None:
        light_name = stay.light
        _refuse_out_already(planned_set, stay, charge)
        if charge is not None:
            _refuse_fuller(stay, charge, "charge")
    values = _shown(charge) | {"unit_id": unit.pk, "light_name": light_name}
    return add_event(by=by, planned_set=planned_set, uuid=uuid, kind=Kind.PACK_OUT, at=at, **values)


def _locked_pack(planned_set: PlannedSet, unit: KitUnit) -> KitUnit:
    """Return the pack, nobody else putting it anywhere until the transaction ends."""
    unit = KitUnit.objects.select_for_update(of=("self",)).select_related("kind").get(pk=unit.pk)
    told = {"unit": unit.tag, "workshop": planned_set.workshop}
    if unit.kind.category != "battery":
        raise Refused({"unit": _("%(unit)s is no battery pack.") % told})
    if not planned_set.workshop.kit.filter(unit=unit).exists():
        raise Refused({"unit": _("%(unit)s is not on the kit list of %(workshop)s.") % told})
    return unit


def _refuse_in_a_head(planned_set: PlannedSet, unit: KitUnit, light: str, at: datetime) -> None:
    for stay in in_heads(pack_stays(planned_set, at)).values():
        if stay.unit_id != unit.pk:
            continue
        told = {"unit": unit.tag, "light": stay.light, "since": clock(planned_set, stay.in_at)}
        if stay.light == light:
            raise Refused({"unit": _("%(unit)s is in %(light)s already, since %(since)s.") % told})
        sentence = _("%(unit)s is in %(light)s since %(since)s: note first that it came out.")
        raise Refused({"unit": sentence % told})
    _refuse_in_another_set(planned_set, unit)


def _refuse_in_another_set(planned_set: PlannedSet, unit: KitUnit) -> None:
    """A set that has ended, or has not begun, holds no pack; one that runs does."""
    others = planned_set.workshop.sets.exclude(pk=planned_set.pk).filter(events__unit=unit)
    for other in others.distinct().prefetch_related("events").select_related("location"):
        events = other.events.all()
        runs = standing(events, Kind.SET_BEGAN) and not standing(events, Kind.SET_ENDED)
        holds = [stay for stay in in_heads(pack_stays(other)).values() if stay.unit_id == unit.pk]
        if runs and holds:
            told = {"unit": unit.tag, "light": holds[0].light, "set": other.title}
            sentence = _(
                "%(unit)s is in %(light)s of the set %(set)s, which has not ended: "
                "note first that it came out."
            )
            raise Refused({"unit": sentence % told})


def _stay(planned_set: PlannedSet, unit: KitUnit, light: str, at: datetime) -> PackUse | None:
    """Return the stay that ends, or has ended; None for a pack whose going in nobody noted."""
    stays = pack_stays(planned_set, at)
    own = [stay for stay in stays if stay.unit_id == unit.pk and light in ("", stay.light)]
    if own:
        return own[-1]
    if not light:
        sentence = _("%(unit)s was put into no head of this set: note first where it went in.")
        raise Refused({"unit": sentence % {"unit": unit.tag}})
    refuse_light(planned_set, light)
    if inside := in_heads(stays).get(light):
        told = {"light": light, "inside": inside.tag, "unit": unit.tag}
        sentence = _("%(inside)s is in %(light)s, not %(unit)s: look at the tag again.")
        raise Refused({"unit": sentence % told})
    return None


def _refuse_out_already(planned_set: PlannedSet, stay: PackUse, charge: Charge | None) -> None:
    if stay.out_at is None or (stay.out_share is None and charge is not None):
        return
    told = {"unit": stay.tag, "at": clock(planned_set, stay.out_at), "light": stay.light}
    sentence = _("%(unit)s came out of %(light)s at %(at)s: that is noted already.")
    raise Refused({"unit": sentence % told})


def _refuse_fuller(stay: PackUse, charge: Charge, field: str) -> None:
    if stay.in_share is None:
        return
    allowed = stay.in_share + max(stay.within_share, within_share(charge.lamps))
    if charge.share > allowed:
        told = {"unit": stay.tag, "share": round(100 * stay.in_share)}
        sentence = _(
            "%(unit)s went in with %(share)d %%: it cannot show more coming out. Was it charged "
            "meanwhile, note it out and in."
        )
        raise Refused({field: sentence % told})


def _shown(charge: Charge | None) -> dict:
    if charge is None:
        return {"charge_share": None, "charge_lamps": None}
    return {"charge_share": charge.share, "charge_lamps": charge.lamps}


def _without_set(asked: dict) -> dict:
    return {name: value for name, value in asked.items() if name != "planned_set_id"}
