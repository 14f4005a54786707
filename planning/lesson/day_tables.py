"""A day in whole seconds, as ``planning.lesson.day_search`` walks it.

Instants are whole seconds since 1970. A set may begin at the steps of the clock (5 minutes past,
10 past), one that is pinned at its own time; one whose pin gives, at any minute.
"""

import math
from bisect import bisect_left
from collections.abc import Iterator
from datetime import datetime
from functools import cached_property, lru_cache

from planning.lesson.day_gaps import Gap, Rest, gap
from planning.lesson.day_inputs import Day, DaySet

STEP_S, MINUTE_S = 300, 60
# A cost is one whole number: seconds without the wanted light, the finish, seconds on the way,
# pairs of sets that change their order, seconds moved, each in bits of its own.
SWAP_SHIFT, WAY_SHIFT, FINISH_SHIFT, LIGHT_SHIFT, MOST_MOVED_S = 25, 40, 65, 90, 86400
NEVER = 1 << 120


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
    """A day in whole seconds: each set with the starts its own limits leave it."""

    def __init__(self, day: Day, only: dict[int, set[int]] | None = None):
        """``only`` leaves a set, by its number, none but these starts."""
        self.day, self.sets = day, day.sets
        self.begin_s = seconds(day.start_at) + length_s(day.intro_min)
        self.over_s = seconds(day.end_at) - length_s(day.closing_min)
        self.lengths_s = [length_s(one.length.total_seconds() / 60.0) for one in day.sets]
        self.walks_s = [length_s(day.place(one.place).walk_min) for one in day.sets]
        self.rests = [
            Rest(math.ceil(one.earliest_at.timestamp()), seconds(one.latest_at), rest_s)
            for one in day.breaks
            for rest_s in [length_s(one.minutes)]
        ]
        way_s = {
            (start.key, end.key): length_s(day.way_min(start.key, end.key))
            for start in day.places
            for end in day.places
        }
        self.ways_s = [[way_s[one.place, two.place] for two in day.sets] for one in day.sets]
        self.starts = [list(self._may_begin(number)) for number in range(len(day.sets))]
        for number, kept in (only or {}).items():
            self.starts[number] = [at for at in self.starts[number] if at in kept]
        self._after_today = [
            sum(1 << other for other, two in enumerate(day.sets) if _today(two) > _today(one))
            for one in day.sets
        ]
        self._sets_left: dict[int, tuple[int, int]] = {}
        self._rests_left: dict[int, tuple[int, int]] = {}
        self._gaps: dict[tuple[int, int], Gap | None] = {}
        self._firsts: dict[tuple[int, int, int], list[int]] = {}

    @property
    def all_sets(self) -> int:
        return (1 << len(self.sets)) - 1

    @property
    def all_rests(self) -> int:
        return (1 << len(self.rests)) - 1

    @cached_property
    def costs(self) -> list[list[int]]:
        """What it costs to begin each set at each of its starts."""
        return [
            [self._cost(one, start_s) for start_s in self.starts[number]]
            for number, one in enumerate(self.sets)
        ]

    def _cost(self, one: DaySet, start_s: int) -> int:
        moved_s = min(abs(start_s - seconds(one.start_at)), MOST_MOVED_S)
        return (lost_light_s(one, start_s) << LIGHT_SHIFT) + moved_s

    def step_cost(self, done: int, last: int, number: int) -> int:
        """What it costs to go from one set to the next, with these done before."""
        swaps = (done & self._after_today[number]).bit_count()
        return (self.ways_s[last][number] << WAY_SHIFT) + (swaps << SWAP_SHIFT)

    def first_cost(self, number: int) -> int:
        """What it costs to walk in to the first set."""
        return self.walks_s[number] << WAY_SHIFT

    def end_cost(self, number: int, over_s: int) -> int:
        """What it costs to be out from the last set, and all over but the closing, then."""
        finish_s = over_s - self.begin_s
        return (finish_s << FINISH_SHIFT) + (self.walks_s[number] << WAY_SHIFT)

    def finish_s(self, over_s: int) -> int:
        """When the day ends whose last set is behind then: after the closing."""
        return over_s + length_s(self.day.closing_min)

    def last_end_s(self, done: int, taken: int) -> int:
        """When a set must be over at the latest, with all others and breaks still to come."""
        if done not in self._sets_left:
            left = bits(self.all_sets & ~done)
            self._sets_left[done] = (
                sum(self.lengths_s[number] + self.least_ways_s[number] for number in left),
                min((self.starts[number][-1] for number in left), default=self.over_s),
            )
        if taken not in self._rests_left:
            rests = [self.rests[number] for number in bits(self.all_rests & ~taken)]
            self._rests_left[taken] = (
                sum(rest.length_s for rest in rests),
                min((rest.latest_s for rest in rests), default=self.over_s),
            )
        (sets_s, last_set_s), (rests_s, last_rest_s) = (
            self._sets_left[done],
            self._rests_left[taken],
        )
        return min(self.over_s - sets_s - rests_s, last_set_s, last_rest_s)

    def arrival_s(self, free_s: int, way_s: int, rests: int) -> int | None:
        """The soonest arrival after a way and these breaks; None: no room for them."""
        key = (way_s, rests)
        if key not in self._gaps:
            self._gaps[key] = gap(way_s, tuple(self.rests[number] for number in bits(rests)))
        found = self._gaps[key]
        return found.arrival_s(free_s) if found else None

    def firsts(self, last: int, number: int, rests: int) -> list[int]:
        """For each start of a set the first one of the next that is reached with these breaks;
        as many as the next has where none is."""
        key = (last, number, rests)
        if key not in self._firsts:
            lasts_s, way_s = self.lengths_s[last], self.ways_s[last][number]
            arrivals = (
                self.arrival_s(start_s + lasts_s, way_s, rests) for start_s in self.starts[last]
            )
            self._firsts[key] = [self.index_from(number, at_s) for at_s in arrivals]
        return self._firsts[key]

    def index_from(self, number: int, at_s: int | None) -> int:
        """The first of a set's starts that is no sooner than an instant."""
        starts = self.starts[number]
        return len(starts) if at_s is None else bisect_left(starts, at_s)

    @cached_property
    def least_ways_s(self) -> list[int]:
        """The shortest way to each set from any other, or from where the day begins."""
        sets = range(len(self.sets))
        others = [[self.ways_s[n][number] for n in sets if n != number] for number in sets]
        return [min([walk_s, *ways_s]) for walk_s, ways_s in zip(self.walks_s, others, strict=True)]

    def _may_begin(self, number: int) -> Iterator[int]:
        """The starts a set's own limits, the day's begin and its end leave it."""
        one = self.sets[number]
        ready_s = self.begin_s + self.walks_s[number]
        last_s = self.over_s - self.walks_s[number] - self.lengths_s[number]
        if one.pinned:
            pin_s, give_s = seconds(one.start_at), length_s(one.pin_give_min)
            tries = range(pin_s - give_s // MINUTE_S * MINUTE_S, pin_s + give_s + 1, MINUTE_S)
        else:
            tries = range(-(-ready_s // STEP_S) * STEP_S, last_s + 1, STEP_S)
        for start_s in tries:
            if ready_s <= start_s <= last_s and self._allowed(number, start_s):
                yield start_s

    def _allowed(self, number: int, start_s: int) -> bool:
        """Whether permitted hours and the water let a set begin then."""
        one = self.sets[number]
        end_s, walk_s = start_s + self.lengths_s[number], self.walks_s[number]
        if one.earliest_at is not None and start_s < one.earliest_at.timestamp():
            return False
        if one.latest_at is not None and end_s > one.latest_at.timestamp():
            return False
        return one.dry is None or any(
            start_s - walk_s >= span.start_at.timestamp()
            and end_s + walk_s <= span.end_at.timestamp()
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
