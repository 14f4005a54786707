"""A day in whole seconds and steps of the clock, as ``planning.lesson.day_search`` walks it.

Instants are whole seconds since 1970. A set may begin at the steps of the clock (5 minutes past,
10 past), one that is pinned at its own time.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property, lru_cache
from itertools import accumulate, permutations

from planning.lesson.day_inputs import Day, DaySet

STEP_S = 300
NEVER = 1 << 200
# A cost is one whole number: seconds without the wanted light, seconds on the way, pairs of sets
# that change their order, seconds moved, each in bits of its own.
SWAP_SHIFT, WAY_SHIFT, LIGHT_SHIFT, MOST_MOVED_S = 25, 40, 65, 86400


@dataclass(frozen=True)
class Rest:
    earliest_s: int
    latest_s: int
    length_s: int


def seconds(at: datetime) -> int:
    return math.floor(at.timestamp())


def length_s(minutes: float) -> int:
    """Minutes as whole seconds, never fewer."""
    return math.ceil(minutes * 60.0 - 1e-6)


def lost_light_s(one: DaySet, start_s: int) -> int:
    """How many seconds of demo and turns pass outside the light the set wants."""
    if one.light is None:
        return 0
    begin = start_s + (one.rig_min + one.brief_min) * 60.0
    end = begin + one.shoot_min * 60.0
    lit = sum(
        max(0.0, min(end, span.end_at.timestamp()) - max(begin, span.start_at.timestamp()))
        for span in one.light
    )
    return max(0, round(end - begin - lit))


class Tables:
    """A day in whole seconds and steps of the clock."""

    def __init__(self, day: Day):
        self.day = day
        self.sets = day.sets
        self.base_s = seconds(day.start_at) // STEP_S * STEP_S
        self.begin_s = seconds(day.start_at) + length_s(day.intro_min)
        self.over_s = seconds(day.end_at) - length_s(day.closing_min)
        self.slots = max(0, (self.over_s - self.base_s) // STEP_S + 1)
        self.lengths_s = [length_s(one.length.total_seconds() / 60.0) for one in day.sets]
        self.offsets_s = [_offset_s(one) for one in day.sets]
        self.walks_s = [length_s(day.place(one.place).walk_min) for one in day.sets]
        self.rests = [
            Rest(_up(one.earliest_at), seconds(one.latest_at), length_s(one.minutes))
            for one in day.breaks
        ]
        self.ways_s = [
            [length_s(day.way_min(one.place, other.place)) for other in day.sets]
            for one in day.sets
        ]
        self._after_today = [
            sum(1 << other for other, two in enumerate(day.sets) if _today(two) > _today(one))
            for one in day.sets
        ]
        self._before: dict[tuple[int, int], list[int]] = {}
        self._last_ends: dict[int, int] = {}
        self._to_come: dict[int, list[int]] = {}
        self._reach: dict[tuple[int, int, int], list[int] | None] = {}

    @cached_property
    def costs(self) -> list[list[int]]:
        """What it costs to begin each set at each step, ``NEVER`` where it may not."""
        return [
            [
                self._cost(one, self.start_s(number, slot)) if allowed else NEVER
                for slot, allowed in enumerate(self.allowed[number])
            ]
            for number, one in enumerate(self.sets)
        ]

    def costs_before(self, number: int, rests: int) -> list[int]:
        """The costs of a set after which these breaks must still find their beginning."""
        key = (number, rests)
        if key not in self._before:
            last_s = self.last_end_s(rests) - self.lengths_s[number]
            self._before[key] = [
                cost if self.start_s(number, slot) <= last_s else NEVER
                for slot, cost in enumerate(self.costs[number])
            ]
        return self._before[key]

    def last_end_s(self, rests: int) -> int:
        """When a set must be over at the latest, with these breaks still to come."""
        if rests not in self._last_ends:
            latest = [self.rests[number].latest_s for number in bits(rests)]
            self._last_ends[rests] = min([self.over_s, *latest])
        return self._last_ends[rests]

    def to_come(self, done: int) -> list[int]:
        """What the sets not done cost at least, each by itself, from each step on."""
        if done not in self._to_come:
            rest = bits(((1 << len(self.sets)) - 1) & ~done)
            rows = [self._least_from[number] for number in rest]
            self._to_come[done] = [sum(at) for at in zip(*rows, strict=True)] or [0] * self.slots
        return self._to_come[done]

    @cached_property
    def _least_from(self) -> list[list[int]]:
        return [[*accumulate(reversed(row), min)][::-1] for row in self.costs]

    @cached_property
    def allowed(self) -> list[list[bool]]:
        return [
            [may_begin(self, number, self.start_s(number, slot)) for slot in range(self.slots)]
            for number in range(len(self.sets))
        ]

    @cached_property
    def next_slot(self) -> list[list[int]]:
        """The first step from each one on at which a set may begin; -1 where none is left."""
        return [
            [*reversed(list(accumulate(reversed(list(_marked(row))), _first_kept))), -1]
            for row in self.allowed
        ]

    def start_s(self, number: int, slot: int) -> int:
        return self.base_s + slot * STEP_S + self.offsets_s[number]

    def _cost(self, one: DaySet, start_s: int) -> int:
        moved_s = min(abs(start_s - seconds(one.start_at)), MOST_MOVED_S)
        return (lost_light_s(one, start_s) << LIGHT_SHIFT) + moved_s

    def step_cost(self, done: int, last: int, number: int) -> int:
        """What it costs to go from one set to the next, with these done before."""
        swaps = (done & self._after_today[number]).bit_count()
        return (self.ways_s[last][number] << WAY_SHIFT) + (swaps << SWAP_SHIFT)

    def slot_from(self, number: int, at_s: int) -> int:
        """The first step at which a set begins no sooner than an instant."""
        return max(0, -((self.base_s + self.offsets_s[number] - at_s) // STEP_S))

    def after(self, from_s: int, way_s: int, rests: int) -> tuple[int, tuple] | None:
        """The soonest arrival after a way and these breaks, in the best order; None: no room.

        With it come the breaks' numbers and starts. A later start never arrives sooner.
        """
        if not rests:
            return from_s + way_s, ()
        if rests & (rests - 1) == 0:
            return self._with_one(from_s, way_s, rests.bit_length() - 1)
        wanted = bits(rests)
        if any(from_s > self.rests[number].latest_s for number in wanted):
            return None
        tries = (self._try(from_s, way_s, order) for order in permutations((-1, *wanted)))
        return min((one for one in tries if one), default=None)

    def _with_one(self, from_s: int, way_s: int, number: int) -> tuple[int, tuple] | None:
        """The way first wherever the break can still begin then: that never arrives later."""
        rest = self.rests[number]
        for sooner_s, later_s in ((way_s, 0), (0, way_s)):
            at_s = max(from_s + sooner_s, rest.earliest_s)
            if at_s <= rest.latest_s:
                return at_s + rest.length_s + later_s, ((number, at_s),)
        return None

    def _try(self, at_s: int, way_s: int, order: tuple[int, ...]) -> tuple[int, tuple] | None:
        taken = []
        for number in order:
            if number < 0:
                at_s += way_s
                continue
            rest = self.rests[number]
            at_s = max(at_s, rest.earliest_s)
            if at_s > rest.latest_s:
                return None
            taken.append((number, at_s))
            at_s += rest.length_s
        return at_s, tuple(taken)

    def reach(self, last: int, number: int, rests: int) -> list[int] | None:
        """For each step of a set, the last step the one before may have begun at, -1 for none.

        None where no step is reached at all.
        """
        key = (last, number, rests)
        if key not in self._reach:
            self._reach[key] = self._reached(last, number, rests)
        return self._reach[key]

    def _reached(self, last: int, number: int, rests: int) -> list[int] | None:
        firsts = []  # by step of the one before: the first step of this one
        for slot in range(self.slots):
            end_s = self.start_s(last, slot) + self.lengths_s[last]
            arrival = self.after(end_s, self.ways_s[last][number], rests)
            if arrival is None:
                break
            firsts.append(self.slot_from(number, arrival[0]))
        if not firsts or firsts[0] >= self.slots:
            return None
        found, before = [], -1
        for slot in range(self.slots):
            while before + 1 < len(firsts) and firsts[before + 1] <= slot:
                before += 1
            found.append(before)
        return found


def may_begin(tables: Tables, number: int, start_s: int) -> bool:
    """Return whether a set's own limits let it begin then: pin, permitted hours, water."""
    one = tables.sets[number]
    end_s = start_s + tables.lengths_s[number]
    walk_s = tables.walks_s[number]
    if one.pinned and abs(start_s - seconds(one.start_at)) > length_s(one.pin_give_min):
        return False
    if one.earliest_at is not None and start_s < one.earliest_at.timestamp():
        return False
    if one.latest_at is not None and end_s > one.latest_at.timestamp():
        return False
    return one.dry is None or any(
        start_s - walk_s >= span.start_at.timestamp() and end_s + walk_s <= span.end_at.timestamp()
        for span in one.dry
    )


@lru_cache(maxsize=4096)
def bits(mask: int) -> tuple[int, ...]:
    """Return the numbers of the bits that are set, the lowest first."""
    return tuple(number for number in range(mask.bit_length()) if mask >> number & 1)


def subsets(mask: int) -> Iterator[int]:
    """Yield every part of a set of bits, the empty one first."""
    part = 0
    while True:
        yield part
        if part == mask:
            return
        part = (part - mask) & mask


def _today(one: DaySet) -> tuple[datetime, int]:
    return one.start_at, one.key


def _offset_s(one: DaySet) -> int:
    return seconds(one.start_at) % STEP_S if one.pinned else 0


def _up(at: datetime) -> int:
    return math.ceil(at.timestamp())


def _marked(row: list[bool]) -> Iterator[int]:
    for slot, allowed in enumerate(row):
        yield slot if allowed else -1


def _first_kept(later: int, here: int) -> int:
    return here if here >= 0 else later
