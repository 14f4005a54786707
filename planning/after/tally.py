"""What was noted of one set -> its tally: counts add up, packs in and out make stays. Pure."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from planning.after.counts import counts_of
from planning.after.packs import PackEvent, pack_uses
from planning.after.results import HeadUse, Misfire, PackUse, PersonUse, SetTally


@dataclass(frozen=True)
class Noted:
    """One event that stands: neither taken back nor itself a taking back."""

    kind: str  # as TallyEvent.Kind
    at: datetime  # on the clock of the place
    booking_id: int | None = None
    light: str = ""
    power: float | None = None
    count: int | None = None
    unit_id: int | None = None
    tag: str = ""
    share: float | None = None
    lamps: int | None = None
    cause: str = ""
    gust_m_s: float | None = None
    sky: str = ""
    notes: str = ""


@dataclass(frozen=True)
class PlannedHead:
    """What the plan asked of one lamp; None where there is no plan."""

    light: str
    strobe: str
    flashes: float | None = None
    share: float | None = None  # of a charge
    power: float | None = None


@dataclass(frozen=True)
class AsPlanned:
    """One set as it was to be: times on the clock of the place, people in the order of booking."""

    set_id: int
    title: str
    start_at: datetime
    end_at: datetime
    heads: tuple[PlannedHead, ...] = ()
    people: tuple[tuple[int, str], ...] = ()  # (booking, name) of whoever has a turn
    names: tuple[tuple[int, str], ...] = ()  # of everybody who was ever booked


def set_tally(planned: AsPlanned, events: Iterable[Noted]) -> SetTally:
    """Return what the ``events`` of a set come to.

    Lights and people that were noted, but are not of the set any more, come after those of it.
    """
    rows = sorted(events, key=lambda row: row.at)  # stable: of one instant as they were noted
    began = [row.at for row in rows if row.kind == "set began"]
    ended = [row.at for row in rows if row.kind == "set ended"]
    return SetTally(
        set_id=planned.set_id,
        title=planned.title,
        planned_start_at=planned.start_at,
        planned_end_at=planned.end_at,
        began_at=whole_minute(began[0] if began else None),
        ended_at=whole_minute(ended[-1] if ended else None),
        heads=_heads(planned, rows),
        people=_people(planned, rows),
        misfires=tuple(_misfire(row, dict(planned.names)) for row in _of(rows, "misfire")),
        gusts_m_s=tuple((row.at, row.gust_m_s) for row in _of(rows, "wind seen")),
        skies=tuple((row.at, row.sky) for row in _of(rows, "sky seen")),
        near_misses=tuple((row.at, row.notes) for row in _of(rows, "near miss")),
        notes=tuple((row.at, row.notes) for row in _of(rows, "note")),
    )


def whole_minute(at: datetime | None) -> datetime | None:
    """Return a time as clocks show it: lengths and delays are those of the times one reads."""
    return at and at.replace(second=0, microsecond=0)


def packs_of(events: Iterable[Noted]) -> tuple[PackUse, ...]:
    """Return the stays of packs in heads; ``events`` by time, of other kinds too."""
    return pack_uses(
        PackEvent(
            goes_in=row.kind == "pack in",
            at=row.at,
            unit_id=row.unit_id,
            tag=row.tag,
            light=row.light,
            share=row.share,
            lamps=row.lamps,
        )
        for row in _of(events, "pack in", "pack out")
    )


def _of(rows: Iterable[Noted], *kinds: str) -> list[Noted]:
    return [row for row in rows if row.kind in kinds]


def _heads(planned: AsPlanned, rows: Sequence[Noted]) -> tuple[HeadUse, ...]:
    known = [head.light for head in planned.heads]
    packs = packs_of(rows)
    named = [row.light for row in _of(rows, "flashes")] + [use.light for use in packs]
    strays = [light for light in dict.fromkeys(named) if light not in known]
    heads = (*planned.heads, *(PlannedHead(light, "") for light in strays))
    return tuple(_head(head, rows, packs) for head in heads)


def _head(head: PlannedHead, rows: Sequence[Noted], packs: Sequence[PackUse]) -> HeadUse:
    """Return the use of one lamp: each count at the powers locked since the last, else planned."""
    own = [row for row in rows if row.light == head.light]
    locked = [(row.at, row.power) for row in _of(own, "recipe locked") if row.power]
    counts = counts_of(((row.at, row.count) for row in _of(own, "flashes")), locked, head.power)
    flashes = sum(one.flashes for one in counts) if counts else None
    known = all(one.power is not None for one in counts)
    full = math.fsum(one.flashes * one.power for one in counts) if known else None
    power = locked[-1][1] if locked else head.power
    if flashes and full is not None:
        power = full / flashes
    return HeadUse(
        light=head.light,
        strobe=head.strobe,
        planned_flashes=head.flashes,
        planned_share=head.share,
        flashes=flashes,
        full_power_flashes=None if flashes is None else full,
        power=power,
        power_source="" if power is None else "locked" if locked else "planned",
        packs=tuple(use for use in packs if use.light == head.light),
    )


def _people(planned: AsPlanned, rows: Sequence[Noted]) -> tuple[PersonUse, ...]:
    names = dict(planned.names) | dict(planned.people)
    of_somebody = [row.booking_id for row in rows if row.booking_id is not None]
    ids = dict.fromkeys([*(booking_id for booking_id, _name in planned.people), *of_somebody])
    return tuple(_person(one, names.get(one, ""), rows) for one in ids)


def _person(booking_id: int, name: str, rows: Sequence[Noted]) -> PersonUse:
    own = [row for row in rows if row.booking_id == booking_id]
    frames = [row.count for row in _of(own, "frames")]
    return PersonUse(
        booking_id=booking_id,
        name=name,
        turns=len(_of(own, "turn given")),
        missed=len(_of(own, "turn missed")),
        frames=sum(frames) if frames else None,
        misfires=len(_of(own, "misfire")),
    )


def _misfire(row: Noted, names: dict[int, str]) -> Misfire:
    return Misfire(
        at=row.at,
        booking_id=row.booking_id,
        attendee=names.get(row.booking_id, ""),
        trigger=row.tag,
        light=row.light,
        cause=row.cause,
        notes=row.notes,
    )
