"""What the demo's fixture says of a day that has run, noted through the services as on a phone."""

from collections.abc import Iterable
from datetime import datetime
from uuid import NAMESPACE_URL, uuid5
from zoneinfo import ZoneInfo

from planning.after.packs import Charge
from planning.models import PlannedSet, TallyEvent
from planning.services import tally
from planning.services.packs import put_pack_in, take_pack_out
from planning.services.recipes import lock_recipe
from planning.services.sets import record_reading
from planning.services.turns import note_turn
from workshops import marks, models
from workshops.models.base import in_zone


def note(by: models.User, planned_set: PlannedSet, events: Iterable[dict]) -> None:
    """Note each event at its time on the clock of the place. Raises Refused for what cannot be."""
    zone = ZoneInfo(planned_set.location.timezone_name)
    day = in_zone(planned_set.start_at, zone.key).date()
    for number, event in enumerate(events):
        said = dict(event)
        at = datetime.combine(day, said.pop("at"), tzinfo=zone)
        key = uuid5(NAMESPACE_URL, f"demo:{planned_set.workshop_id}:{planned_set.pk}:{number}")
        what = said.pop("what")
        if who := said.pop("who", None):
            said["booking"] = planned_set.workshop.bookings.get(person__name=who)
        if unit := said.pop("unit", None):
            name = "trigger" if what == "misfire" else "unit"
            said[name] = models.KitUnit.objects.get(tag=unit)
        for name in ("charge", "old_charge"):
            if name in said:
                said[name] = _charge(said[name])
        NOTES[what](by=by, planned_set=planned_set, uuid=key, now=at, **said)


def _charge(text: str) -> Charge:
    """Read "55" as per cent, "3/4" as lamps."""
    lit, slash, of = text.partition("/")
    return Charge(int(lit) / int(of), lamps=int(of)) if slash else Charge(int(lit) / 100)


def _turn(*, now: datetime, missed: bool = False, **said) -> None:
    kind = TallyEvent.Kind.TURN_MISSED if missed else TallyEvent.Kind.TURN_GIVEN
    note_turn(kind=kind, now=now, planned_at=now, **said)


def _recipe(
    *, by, planned_set, uuid, now: datetime, f: str, shutter: str, iso: str, powers
) -> None:
    lock_recipe(
        by=by,
        planned_set=planned_set,
        key=uuid,
        at=now,
        f_number=marks.f_number(f),
        shutter_s=marks.shutter_s(shutter),
        iso=marks.iso(iso),
        powers={light: marks.power(power) for light, power in powers.items()},
    )


def _metered(*, by, planned_set, uuid, now: datetime, f: str, tenths: int, shutter: str) -> None:
    record_reading(
        by=by,
        planned_set=planned_set,
        at=now,
        kind="incident",
        plane="backdrop",
        f_mark=marks.f_number(f),
        tenths=tenths,
        shutter_s=marks.shutter_s(shutter),
    )


NOTES = {
    "began": tally.note_began,
    "ended": tally.note_ended,
    "flashes": tally.note_flashes,
    "frames": tally.note_frames,
    "misfire": tally.note_misfire,
    "gust": tally.note_gust,
    "sky": tally.note_sky,
    "near miss": tally.note_near_miss,
    "note": tally.note_words,
    "pack in": put_pack_in,
    "pack out": take_pack_out,
    "turn": _turn,
    "recipe": _recipe,
    "metered": _metered,
}
