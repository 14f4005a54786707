"""Every order of a day's sets, each at its best times: the referee for long days of eight sets.

Written from the definition alone, in whole seconds, without anything of the search. For one order
of the sets and one way to share the breaks among the stretches between them, the best starts come
from a table over every step of the clock; every order (8! of eight) and every sharing is gone
through, nothing is bounded and nothing left out. ``every_day`` tries starts one by one instead and
is its referee on short days.

A day's way and swaps follow from its order alone. So one order's table holds only light lost and
minutes moved, in one whole number; orders that begin alike share its first columns, and orders
that have come to the same set stand below each other in one array.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import permutations

import numpy as np

from planning.lesson.day_inputs import Day, DaySet
from tests.lesson.every_day import length, lost_s, minutes, own_limits_hold, steps, way

NEVER = np.int64(1) << 60
Starts = dict[int, list[datetime]]
LOST = np.int64(1) << 30  # one second of light outweighs everything moved: below 34 years


@dataclass
class Orders:
    """All orders that have come to one set: a row for each, then breaks taken, then its start."""

    done: np.ndarray  # sets as bits
    way_s: np.ndarray
    swaps: np.ndarray
    costs: np.ndarray  # lost * LOST + moved; NEVER where the set cannot begin


class Seconds:
    """A day in seconds: for each set the starts it may have by itself, and what they cost."""

    def __init__(self, day: Day, starts: Starts):
        self.day, self.count = day, len(day.sets)
        self.begin = whole(day.start_at + minutes(day.intro_min))
        self.over = whole(day.end_at - minutes(day.closing_min))
        tries = [list(_tries(day, one, starts)) for one in day.sets]
        self.starts = [np.array([whole(at) for at in row], dtype=np.int64) for row in tries]
        self.ends = [
            row + round(length(one).total_seconds())
            for row, one in zip(self.starts, day.sets, strict=True)
        ]
        self.costs = [
            np.array([_cost(one, at) for at in row], dtype=np.int64)
            for row, one in zip(tries, day.sets, strict=True)
        ]
        places = {place.key: place.walk_min for place in day.places}
        self.walks = [round(places[one.place] * 60) for one in day.sets]
        self.ways = [
            [round(way(day, one.place, two.place) * 60) for two in day.sets] for one in day.sets
        ]
        self.rests = [
            (whole(rest.earliest_at), whole(rest.latest_at), round(rest.minutes * 60))
            for rest in day.breaks
        ]
        self.all_rests = (1 << len(self.rests)) - 1

    def ready(self, free: np.ndarray, way_s: int, rests: int) -> np.ndarray:
        """When a way and these breaks are behind, in whichever order is soonest, from ``free``."""
        wanted = [rest for number, rest in enumerate(self.rests) if rests >> number & 1]
        soonest = np.full(len(free), NEVER)
        for order in permutations([None, *wanted]):
            at = free.copy()
            for rest in order:
                if rest is None:
                    at = at + way_s
                else:
                    earliest, latest, lasts = rest
                    at = np.maximum(at, earliest)
                    at = np.where(at > latest, NEVER, at + lasts)
            soonest = np.minimum(soonest, at)
        return soonest

    def swaps(self, done: np.ndarray, number: int) -> np.ndarray:
        """How many of the sets done come after this one in today's order."""
        mine = (self.day.sets[number].start_at, self.day.sets[number].key)
        later = [n for n, one in enumerate(self.day.sets) if (one.start_at, one.key) > mine]
        return sum((done >> n & 1 for n in later), np.zeros_like(done))


def best_of_every_order(day: Day, starts: Starts | None = None) -> tuple | None:
    """The least cost of any day at all, as ``every_day.cost`` counts it; None where none holds.

    ``starts`` leaves sets, by their keys, none but these starts: one each, and it is the cost of
    that one day.
    """
    table = Seconds(day, starts or {})
    known: list[tuple] = []
    for first in range(table.count):
        layer = {first: _first(table, first)}
        for _size in range(1, table.count):
            layer = {
                number: come
                for number in range(table.count)
                for come in [_come(table, layer, number)]
                if come is not None
            }
        known += _ended(table, layer)
    if not known:
        return None
    lost, end, on_the_way, swapped, moved = min(known)
    second = timedelta(seconds=1)
    return (
        lost,
        datetime.fromtimestamp(end, UTC),
        on_the_way * second,
        swapped,
        moved * second,
    )


def _first(table: Seconds, number: int) -> Orders:
    costs = np.full((1, table.all_rests + 1, len(table.starts[number])), NEVER)
    for rests in range(table.all_rests + 1):
        free = np.array([table.begin], dtype=np.int64)
        ready = table.ready(free, table.walks[number], rests)
        costs[0, rests] = np.where(table.starts[number] >= ready, table.costs[number], NEVER)
    one = np.array([1 << number])
    return Orders(one, np.array([table.walks[number]]), np.array([0]), costs)


def _come(table: Seconds, layer: dict[int, Orders], number: int) -> Orders | None:
    """All orders of a layer gone on to one set they have not done."""
    gone = []
    for last, orders in layer.items():
        rows = (orders.done >> number & 1) == 0
        if last == number or not rows.any():
            continue
        done = orders.done[rows]
        gone.append(
            Orders(
                done | 1 << number,
                orders.way_s[rows] + table.ways[last][number],
                orders.swaps[rows] + table.swaps(done, number),
                _stepped(table, last, number, orders.costs[rows]),
            )
        )
    if not gone:
        return None
    fields = ("done", "way_s", "swaps", "costs")
    return Orders(*(np.concatenate([getattr(one, name) for one in gone]) for name in fields))


def _stepped(table: Seconds, last: int, number: int, costs: np.ndarray) -> np.ndarray:
    """The table one set on: the cheapest start of the one before that leaves time for the next."""
    here = np.full((*costs.shape[:2], len(table.starts[number])), NEVER)
    if not costs.shape[2]:
        return here
    cheapest = np.minimum.accumulate(costs, axis=2)
    for between in range(table.all_rests + 1):
        # Later through with one set is never sooner ready for the next: the last start that is.
        ready = table.ready(table.ends[last], table.ways[last][number], between)
        assert (np.diff(ready) >= 0).all()
        before = np.searchsorted(ready, table.starts[number], side="right") - 1
        for taken in range(table.all_rests + 1):
            if taken & between:
                continue
            came = np.where(before >= 0, cheapest[:, taken, before], NEVER)
            both = taken | between
            here[:, both] = np.minimum(here[:, both], came + table.costs[number])
    return np.minimum(here, NEVER)


def _ended(table: Seconds, layer: dict[int, Orders]) -> Iterator[tuple]:
    """The least cost of the days that end with each set, for every sharing of the breaks."""
    for last, orders in layer.items():
        for taken in range(table.all_rests + 1):
            rests = table.all_rests & ~taken
            over = table.ready(table.ends[last], table.walks[last], rests)
            costs = orders.costs[:, taken]
            left = (costs < NEVER) & (over <= table.over)
            end = over + round(table.day.closing_min * 60)
            on_the_way = (orders.way_s + table.walks[last])[:, None]
            keys = (costs // LOST, end, on_the_way, orders.swaps[:, None], costs % LOST)
            if left.any():
                yield _least(left, [np.broadcast_to(key, left.shape) for key in keys])


def _least(left: np.ndarray, keys: list[np.ndarray]) -> tuple:
    """The least of several keys, each before the next, over all that is left."""
    found = []
    for key in keys:
        found.append(int(key[left].min()))
        left = left & (key == found[-1])
    return tuple(found)


def _tries(day: Day, one: DaySet, starts: Starts) -> Iterator[datetime]:
    grid = [one.start_at] if one.pinned else steps(day.start_at, day.end_at)
    return (at for at in starts.get(one.key, grid) if own_limits_hold(day, one, at))


def _cost(one: DaySet, at: datetime) -> int:
    moved = round(abs(at - one.start_at).total_seconds())
    return lost_s(one, at) * int(LOST) + moved


def whole(at: datetime) -> int:
    assert at.timestamp() == int(at.timestamp()), f"{at} is no whole second"
    return int(at.timestamp())
