"""The exact search behind ``planning.lesson.day``: over sets done, breaks taken and clock times.

From the last set back to the first: for every choice of sets done, breaks taken and set begun last,
the cheapest way to end the day is kept for each of that set's starts. What cannot be part of a day
as good as one known, since the sets before it cost too much even without breaks, is left out.

Source: dynamic programming over subsets (Held and Karp 1962), here with times and bounds.
"""

from bisect import bisect_left
from dataclasses import dataclass
from itertools import accumulate, pairwise
from operator import add

from planning.lesson.day_before import Before, each_alone, without_breaks
from planning.lesson.day_gaps import laid
from planning.lesson.day_tables import NEVER, Tables, bits, subsets

SCOUT_WIDTH = 40
State = tuple[int, int, int]  # sets done and breaks taken as bits, the set begun last
Layer = dict[State, list[int]]  # what follows costs, by the start of that set


@dataclass(frozen=True)
class Found:
    """Start of each set in order, start of each break by its number, and when all is over."""

    starts_s: tuple[tuple[int, int], ...]  # (number of the set, start)
    breaks_s: tuple[tuple[int, int], ...]  # (number of the break, start)
    finish_s: int


def search(tables: Tables, width: int | None = None) -> Found | None:
    """Return the best order and times, or None where none was found.

    ``width`` bounds how many states of each size are followed up: a good order of many sets, not
    proved best, and None then proves nothing.
    """
    if not all(tables.starts):
        return None
    if width is not None:
        return _walk(tables, _layers(tables, each_alone(tables), width, NEVER - 1))
    before = without_breaks(tables)
    least = _least_without_breaks(tables, before)
    if least is None:
        return None
    found = _walk(tables, _layers(tables, before, None, least))  # where the breaks cost nothing
    if found is not None or not tables.rests:
        return found
    narrow = _first(tables, _layers(tables, before, SCOUT_WIDTH, NEVER - 1))
    if narrow is None and not fits(tables):
        return None
    return _walk(tables, _layers(tables, before, None, narrow[0] if narrow else NEVER - 1))


def _least_without_breaks(tables: Tables, before: Before) -> int | None:
    costs = [
        cost + _end_cost(tables, last, start_s, 0)
        for last, starts in enumerate(tables.starts)
        for start_s, cost in zip(starts, before(tables.all_sets, last), strict=True)
    ]
    return min((cost for cost in costs if cost < NEVER), default=None)


def _end_cost(tables: Tables, last: int, start_s: int, rests: int) -> int:
    """What follows the last set, begun then, with these breaks still to be taken."""
    end_s = start_s + tables.lengths_s[last]
    over_s = tables.arrival_s(end_s, tables.walks_s[last], rests)
    return NEVER if over_s is None or over_s > tables.over_s else tables.end_cost(last, over_s)


def _layers(tables: Tables, before: Before, width: int | None, most: int) -> list[Layer]:
    """The states by the number of sets done, from one set to all, with what follows each.

    Left out is what costs more than ``most`` with all that is before it.
    """
    layer: Layer = {
        (tables.all_sets, taken, last): [
            _end_cost(tables, last, start_s, tables.all_rests & ~taken) for start_s in starts
        ]
        for last, starts in enumerate(tables.starts)
        for taken in subsets(tables.all_rests)
    }
    layers = [_kept(layer, before, width, most)]
    lows: dict[State, int] = {}
    for _size in range(1, len(tables.sets)):
        layer = {}
        for (done, taken, number), row in layers[-1].items():
            _add_earlier(tables, layer, lows, (done, taken, number), row)
        layers.append(_kept(layer, before, width, most))
    return layers[::-1]


def _add_earlier(
    tables: Tables, layer: Layer, lows: dict[State, int], state: State, row: list[int]
) -> None:
    """Go from a state back to each set that may have come before its last one."""
    done, taken, number = state
    here = list(map(add, row, tables.costs[number]))
    while here and here[-1] >= NEVER:
        here.pop()
    follows = [*accumulate(reversed(here), min)][::-1]  # from each start of this set on
    earlier = done & ~(1 << number)
    for last in bits(earlier):
        step = tables.step_cost(earlier, last, number)
        for rests in subsets(taken):
            key = (earlier, taken & ~rests, last)
            if key not in lows:
                lows[key] = _soonest_index(tables, *key)
            firsts = tables.firsts(last, number, rests)
            low, high = lows[key], bisect_left(firsts, len(follows))
            if low >= high:
                continue
            came = [follows[first] + step for first in firsts[low:high]]
            known = layer.setdefault(key, [NEVER] * len(firsts))
            known[low:high] = map(min, known[low:high], came)


def _soonest_index(tables: Tables, done: int, taken: int, last: int) -> int:
    """The first start a set can have after others and breaks: all of them take their time."""
    sets, rests = bits(done & ~(1 << last)), [tables.rests[number] for number in bits(taken)]
    least_s = sum(tables.least_ways_s[number] for number in bits(done))
    least_s += sum(tables.lengths_s[number] for number in sets)
    least_s += sum(rest.length_s for rest in rests)
    over_s = [rest.earliest_s + rest.length_s for rest in rests]
    return tables.index_from(last, max([tables.begin_s + least_s, *over_s]))


def _kept(layer: Layer, before: Before, width: int | None, most: int) -> Layer:
    """The states, and of each the starts, that are followed up."""
    kept, ranks = {}, []
    for state, row in layer.items():
        whole = list(map(add, row, before(state[0], state[2])))
        least = min(whole)
        if least > most:
            continue
        kept[state] = [
            cost if all_of_it <= most else NEVER for cost, all_of_it in zip(row, whole, strict=True)
        ]
        ranks.append((least, state))
    if width is None or len(kept) <= width:
        return kept
    return {state: kept[state] for _least, state in sorted(ranks)[:width]}


def _first(tables: Tables, layers: list[Layer]) -> tuple[int, State, int] | None:
    """The cheapest day: its cost, the state of its first set, and which of its starts."""
    tries = []
    for (done, taken, number), row in layers[0].items():
        arrival_s = tables.arrival_s(tables.begin_s, tables.walks_s[number], taken)
        walk = tables.first_cost(number)
        for index in range(tables.index_from(number, arrival_s), len(row)):
            cost = row[index] + tables.costs[number][index] + walk
            tries.append((cost, (done, taken, number), index))
    best = min(tries, default=None)
    return best if best and best[0] < NEVER else None


def _walk(tables: Tables, layers: list[Layer]) -> Found | None:
    """Follow the cheapest day from its first set to its end."""
    first = _first(tables, layers)
    if first is None:
        return None
    _cost, state, index = first
    _done, taken, last = state
    starts = [(last, tables.starts[last][index])]
    breaks = [*_laid(tables, tables.begin_s, tables.walks_s[last], taken)]
    for here, following in pairwise(layers):
        before, free_s = state, starts[-1][1] + tables.lengths_s[state[2]]
        state, index = _next(tables, following, state, index, here[state][index])
        way_s = tables.ways_s[before[2]][state[2]]
        breaks += _laid(tables, free_s, way_s, state[1] & ~before[1])
        starts.append((state[2], tables.starts[state[2]][index]))
    _done, taken, last = state
    end_s, left = starts[-1][1] + tables.lengths_s[last], tables.all_rests & ~taken
    breaks += _laid(tables, end_s, tables.walks_s[last], left)
    over_s = tables.arrival_s(end_s, tables.walks_s[last], left)
    return Found(tuple(starts), tuple(sorted(breaks)), tables.finish_s(over_s))


def _laid(tables: Tables, free_s: int, way_s: int, rests: int) -> tuple[tuple[int, int], ...]:
    return laid(free_s, way_s, {number: tables.rests[number] for number in bits(rests)})


def _next(tables: Tables, following: Layer, state: State, index: int, cost: int):
    """The state and start that follow: the first that cost what was reckoned."""
    done, taken, last = state
    for number in bits(tables.all_sets & ~done):
        step = tables.step_cost(done, last, number)
        for rests in subsets(tables.all_rests & ~taken):
            key = (done | 1 << number, taken | rests, number)
            row = following.get(key)
            if row is None:
                continue
            for start in range(tables.firsts(last, number, rests)[index], len(row)):
                if step + tables.costs[number][start] + row[start] == cost:
                    return key, start
    raise AssertionError("every state leads to one after it")


def fits(tables: Tables, width: int | None = None) -> bool:
    """Return whether any order keeps every limit.

    Whoever is through sooner can do all that the later one can, so one instant for each choice
    of sets, breaks and last set is enough.
    """
    if not all(tables.starts):
        return False
    layer: dict[State, int] = {(0, 0, -1): tables.begin_s}
    for _size in range(len(tables.sets)):
        following: dict[State, int] = {}
        states = sorted(layer.items(), key=lambda item: item[1])[:width]
        for state, free_s in states:
            _add_soonest(tables, following, state, free_s)
        layer = following
    return any(
        _end_cost(tables, last, end_s - tables.lengths_s[last], tables.all_rests & ~taken) < NEVER
        for (_done, taken, last), end_s in layer.items()
    )


def _add_soonest(tables: Tables, following: dict[State, int], state: State, free_s: int) -> None:
    """Go on from a state to each set not done, as soon as it may begin."""
    done, taken, last = state
    ways_s = tables.walks_s if last < 0 else tables.ways_s[last]
    for rests in subsets(tables.all_rests & ~taken):
        arrivals = {way_s: tables.arrival_s(free_s, way_s, rests) for way_s in set(ways_s)}
        for number in bits(tables.all_sets & ~done):
            index = tables.index_from(number, arrivals[ways_s[number]])
            if index == len(tables.starts[number]):
                continue
            key = (done | 1 << number, taken | rests, number)
            end_s = tables.starts[number][index] + tables.lengths_s[number]
            if end_s < following.get(key, NEVER) and end_s <= tables.last_end_s(*key[:2]):
                following[key] = end_s
