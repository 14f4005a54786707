"""The evening before: which pack goes into which charger when, and when the first must go in."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from planning.physics import constants as c

MOST_TRIED = 20000  # states of the search for the shortest evening; beyond it a good one is taken
MOST_EXACT = 12  # packs: so many are tried out in full
SAME_MIN = 1e-9


@dataclass(frozen=True)
class Pack:
    tag: str
    kind: str
    capacity_wh: float
    charge_min: float | None = None  # full charge on its own charger, as the record says


@dataclass(frozen=True)
class ChargerUnit:
    tag: str
    kind: str
    slots: int = 1
    power_w: float | None = None  # to each pack
    fills: str = ""  # the kind of pack it is made for; empty: any


Slot = tuple[ChargerUnit, int]


@dataclass(frozen=True)
class Minutes:
    """How long a pack takes from empty; the long end is what is planned with."""

    usual_min: float
    low_min: float
    high_min: float
    source: str  # own: as the record says; estimate


@dataclass(frozen=True)
class Turn:
    """One pack in one slot."""

    pack: Pack
    charger: str
    slot: int
    start_at: datetime
    end_at: datetime
    minutes: Minutes


@dataclass(frozen=True)
class ChargePlan:
    turns: tuple[Turn, ...]  # by the time they go in
    start_by_at: datetime | None  # None: nothing to charge
    ready_at: datetime  # all full by then
    takes_min: float
    shortest: bool  # no shorter order exists; else a good one, perhaps not the best
    no_charger: tuple[Pack, ...]  # nothing on the list fills them
    changes: int  # how often somebody swaps a pack
    before_at: datetime  # begun before it, it is no evening any more
    one_more_min: float | None  # with one more of the busiest charger; None: nothing to gain

    @property
    def too_long(self) -> bool:
        return self.start_by_at is not None and self.start_by_at < self.before_at


def minutes_for(pack: Pack, charger: ChargerUnit) -> Minutes:
    """Return how long a pack takes in a charger, from empty.

    The record's own minutes count on the charger made for the pack, or where no power is
    known. Else the energy over the power, with what is lost and the slow end; else a guess
    by the size.
    Source: common practice, no source; a maker's figure or a timed one beats both.
    """
    own_charger = charger.fills == pack.kind or charger.power_w is None
    if pack.charge_min is not None and own_charger:
        return _spread(pack.charge_min, c.CHARGE_OWN_SPREAD, "own")
    if charger.power_w is not None:
        pure_min = 60.0 * pack.capacity_wh / (charger.power_w * c.CHARGE_EFFICIENCY)
        return _spread(pure_min * c.CHARGE_TAPER, c.CHARGE_POWER_SPREAD, "estimate")
    guess_min = c.CHARGE_GUESS_MIN + c.CHARGE_GUESS_MIN_A_WH * pack.capacity_wh
    return _spread(guess_min, c.CHARGE_GUESS_SPREAD, "estimate")


def _spread(minutes: float, ratio: float, source: str) -> Minutes:
    return Minutes(minutes, minutes / ratio, minutes * ratio, source)


def charge_plan(
    packs: Sequence[Pack],
    chargers: Sequence[ChargerUnit],
    *,
    ready_at: datetime,
    before_at: datetime,
) -> ChargePlan:
    """Return who goes where so that the last is full at ``ready_at``, begun as late as can be.

    Planned with the long end of every time and with empty packs. Up to a dozen packs the order
    is the shortest there is, unless the search ends first; beyond, the longest go in first
    (a third over the shortest at the most on like slots: Graham 1969).
    """
    slots = [(unit, n) for unit in chargers for n in range(1, unit.slots + 1)]
    fits = [pack for pack in packs if any(_fits(pack, unit) for unit in chargers)]
    none = tuple(pack for pack in packs if pack not in fits)
    where, shortest = _shared_out(fits, slots)
    turns = _turns(fits, slots, where, ready_at)
    start_at = min((turn.start_at for turn in turns), default=None)
    takes_min = 0.0
    if start_at:
        takes_min = (ready_at.astimezone(UTC) - start_at.astimezone(UTC)) / timedelta(minutes=1)
    return ChargePlan(
        turns=turns,
        start_by_at=start_at,
        ready_at=ready_at,
        takes_min=takes_min,
        shortest=shortest,
        no_charger=none,
        changes=len(turns) - len({(turn.charger, turn.slot) for turn in turns}),
        before_at=before_at,
        one_more_min=_one_more_min(fits, chargers, slots, where, takes_min),
    )


def _fits(pack: Pack, charger: ChargerUnit) -> bool:
    return charger.fills in ("", pack.kind)


def _shared_out(packs: Sequence[Pack], slots: Sequence[Slot]) -> tuple[list[int], bool]:
    """Return the number of the slot for each pack, and whether no shorter sharing exists."""
    long_min = _long_min(packs, slots)
    order = sorted(range(len(packs)), key=lambda n: (-min(long_min[n], default=0.0), n))
    best = _longest_first(long_min, order, len(slots))
    if len(packs) > MOST_EXACT or not packs:
        return best, not packs
    return _searched(long_min, order, slots, best)


def _long_min(packs: Sequence[Pack], slots: Sequence[Slot]) -> list[list[float]]:
    """The long end for each pack in each slot; endless where it does not fit."""
    return [
        [minutes_for(pack, unit).high_min if _fits(pack, unit) else math.inf for unit, _n in slots]
        for pack in packs
    ]


def _longest_first(long_min: list[list[float]], order: list[int], count: int) -> list[int]:
    loads, where = [0.0] * count, [0] * len(long_min)
    for number in order:
        row = long_min[number]
        place = min(range(count), key=lambda slot: (loads[slot] + row[slot], slot))
        where[number] = place
        loads[place] += row[place]
    return where


def _loads(long_min: list[list[float]], where: list[int], count: int) -> list[float]:
    loads = [0.0] * count
    for number, slot in enumerate(where):
        loads[slot] += long_min[number][slot]
    return loads


def _searched(
    long_min: list[list[float]], order: list[int], slots: Sequence[Slot], best: list[int]
) -> tuple[list[int], bool]:
    """Try every sharing that may still be shorter; slots of one kind with like loads are one."""
    count = len(slots)
    shortest = max(_loads(long_min, best, count))
    loads, where, tried = [0.0] * count, list(best), 0

    def place(depth: int) -> bool:
        nonlocal best, shortest, tried
        tried += 1
        if tried > MOST_TRIED:
            return False
        if depth == len(order):
            best, shortest = list(where), max(loads)
            return True
        number, seen = order[depth], set()
        for slot in sorted(range(count), key=lambda one: (loads[one], one)):
            then = loads[slot] + long_min[number][slot]
            like = slots[slot][0].kind, round(loads[slot], 6)
            if like in seen or then >= shortest - SAME_MIN:
                continue
            seen.add(like)
            was, where[number] = where[number], slot
            loads[slot] = then
            whole = place(depth + 1)
            loads[slot] = then - long_min[number][slot]
            where[number] = was
            if not whole:
                return False
        return True

    whole = place(0)
    return best, whole


def _turns(
    packs: Sequence[Pack], slots: Sequence[Slot], where: list[int], ready_at: datetime
) -> tuple[Turn, ...]:
    """Lay each slot's packs end to end up to ``ready_at``, the longest first."""
    turns = []
    for number, (unit, n) in enumerate(slots):
        here = [pack for pack, slot in zip(packs, where, strict=True) if slot == number]
        timed = [(minutes_for(pack, unit), pack) for pack in here]
        end_at = ready_at.astimezone(UTC)  # minutes that pass, on the night clocks change too
        for minutes, pack in sorted(timed, key=lambda one: (one[0].high_min, one[1].tag)):
            start_at = end_at - timedelta(minutes=math.ceil(minutes.high_min - SAME_MIN))
            span = (at.astimezone(ready_at.tzinfo) for at in (start_at, end_at))
            turns.append(Turn(pack, unit.tag, n, *span, minutes))
            end_at = start_at
    return tuple(sorted(turns, key=lambda turn: (turn.start_at, turn.charger, turn.slot)))


def _one_more_min(
    packs: Sequence[Pack],
    chargers: Sequence[ChargerUnit],
    slots: Sequence[Slot],
    where: list[int],
    takes_min: float,
) -> float | None:
    """How long it takes with one more of the charger that works longest."""
    if not packs:
        return None
    long_min = _long_min(packs, slots)
    loads = _loads(long_min, where, len(slots))
    busiest = slots[loads.index(max(loads))][0]
    more = [(unit, n) for unit in (*chargers, busiest) for n in range(1, unit.slots + 1)]
    then, _shortest = _shared_out(packs, more)
    shorter_min = max(_loads(_long_min(packs, more), then, len(more)))
    return shorter_min if shorter_min < takes_min - 1.0 else None
