"""The exact search behind ``planning.lesson.day``: over sets done, breaks taken and clock times.

For every choice of sets done, breaks taken and last set, the cheapest way to have begun that last
set at each step of the clock is kept; from there the next set is tried at each of its own steps.
Nothing is left out, so what comes out is the best there is.

Source: dynamic programming over subsets (Held and Karp 1962), here with times.
"""

from dataclasses import dataclass
from itertools import accumulate
from operator import add

from planning.lesson.day_tables import (
    LIGHT_SHIFT,
    NEVER,
    WAY_SHIFT,
    Tables,
    bits,
    length_s,
    subsets,
)

SCOUT_WIDTH = 40
State = tuple[int, int, int]  # sets done and breaks taken as bits, the last set


@dataclass(frozen=True)
class Found:
    """Start of each set in order, start of each break by its number, and when all is over."""

    starts_s: tuple[tuple[int, int], ...]  # (number of the set, start)
    breaks_s: tuple[tuple[int, int], ...]  # (number of the break, start)
    finish_s: int


def search(tables: Tables, width: int | None = None) -> Found | None:
    """Return the best order and times, or None where none was found.

    ``width`` bounds how many states of each size are followed up: a good order of many sets, not
    proved best, and None then proves nothing. Without it a narrow search goes first: what is sure
    to lose more light than the day it found is not followed up.
    """
    most_s = None
    if width is None:
        narrow = _layers(tables, SCOUT_WIDTH, None)
        end = _best_end(tables, narrow[-1])
        most_s = end[2] if end else None
    return _walk_back(tables, _layers(tables, width, most_s))


def _layers(tables: Tables, width: int | None, most_s: int | None) -> list[dict[State, list[int]]]:
    """Every state by the number of sets done, with its cost at each step of its last set."""
    all_sets, all_rests = (1 << len(tables.sets)) - 1, (1 << len(tables.rests)) - 1
    layers: list[dict[State, list[int]]] = [_first_layer(tables)]
    for _size in range(1, len(tables.sets)):
        following: dict[State, list[int]] = {}
        for (done, taken, last), row in _kept(tables, layers[-1], width, most_s):
            best = [*accumulate(row, min), NEVER]
            for number in bits(all_sets & ~done):
                step = tables.step_cost(done, last, number)
                for rests in subsets(all_rests & ~taken):
                    reach = tables.reach(last, number, rests)
                    if reach is None:
                        continue
                    costs = tables.costs_before(number, all_rests & ~taken & ~rests)
                    came = map(best.__getitem__, reach)
                    here = [a + b + step for a, b in zip(came, costs)]  # noqa: B905
                    if min(here) >= NEVER:
                        continue
                    key = (done | 1 << number, taken | rests, number)
                    known = following.get(key)
                    following[key] = list(map(min, known, here)) if known else here
        layers.append(following)
    return layers


def _first_layer(tables: Tables) -> dict[State, list[int]]:
    layer = {}
    all_rests = (1 << len(tables.rests)) - 1
    for number in range(len(tables.sets)):
        for rests in subsets(all_rests):
            arrival = tables.after(tables.begin_s, tables.walks_s[number], rests)
            if arrival is None:
                continue
            first = min(tables.slot_from(number, arrival[0]), tables.slots)
            way = tables.walks_s[number] << WAY_SHIFT
            costs = tables.costs_before(number, all_rests & ~rests)
            here = [NEVER] * first + [cost + way for cost in costs[first:]]
            if min(here, default=NEVER) < NEVER:
                layer[1 << number, rests, number] = here
    return layer


def _kept(
    tables: Tables, layer: dict[State, list[int]], width: int | None, most_s: int | None
) -> list[tuple[State, list[int]]]:
    """The states to be followed up."""
    rows = list(layer.items())
    if width is not None and len(rows) > width:
        return sorted(rows, key=lambda item: (_least(tables, *item), item[0]))[:width]
    if most_s is None:
        return rows
    return [item for item in rows if _least(tables, *item) >> LIGHT_SHIFT <= most_s]


def _least(tables: Tables, state: State, row: list[int]) -> int:
    """What a day costs at least that goes on from a state: whatever comes begins no sooner."""
    return min(map(add, row, tables.to_come(state[0])))


def _walk_back(tables: Tables, layers: list[dict[State, list[int]]]) -> Found | None:
    end = _best_end(tables, layers[-1])
    if end is None:
        return None
    (state, slot, rests), finish_s, _lost_s = end
    starts, breaks = [], list(_end_breaks(tables, state, slot, rests))
    for size in range(len(layers) - 1, -1, -1):
        _done, _taken, number = state
        starts.append((number, tables.start_s(number, slot)))
        if size == 0:
            first = tables.after(tables.begin_s, tables.walks_s[number], state[1])
            breaks += first[1]
            break
        state, slot, taken = _before(tables, layers[size - 1], layers[size], state, slot)
        breaks += taken
    return Found(tuple(reversed(starts)), tuple(sorted(breaks)), finish_s)


def _best_end(tables: Tables, layer: dict[State, list[int]]):
    """The cheapest last step: light first, then the finish, then ways and moves."""
    best, choice = None, None
    all_rests = (1 << len(tables.rests)) - 1
    for state, row in layer.items():
        for slot, cost in enumerate(row):
            if cost >= NEVER:
                continue
            rests = all_rests & ~state[1]
            finish = _finish(tables, state[2], slot, rests)
            if finish is None or finish > tables.over_s:
                continue
            cost += tables.walks_s[state[2]] << WAY_SHIFT
            finish_s = finish + length_s(tables.day.closing_min)
            key = (cost >> LIGHT_SHIFT, finish_s, cost, state, slot)
            if best is None or key < best:
                best, choice = key, (state, slot, rests)
    return (choice, best[1], best[0]) if best else None


def _finish(tables: Tables, number: int, slot: int, rests: int) -> int | None:
    end_s = tables.start_s(number, slot) + tables.lengths_s[number]
    arrival = tables.after(end_s, tables.walks_s[number], rests)
    return arrival[0] if arrival else None


def _end_breaks(tables: Tables, state: State, slot: int, rests: int) -> tuple:
    end_s = tables.start_s(state[2], slot) + tables.lengths_s[state[2]]
    return tables.after(end_s, tables.walks_s[state[2]], rests)[1]


def _before(tables: Tables, earlier, here, state: State, slot: int):
    """The state and step before, and the breaks taken between: the first that costs as much."""
    done, taken, number = state
    wanted = here[state][slot] - tables.costs[number][slot]
    for last in bits(done & ~(1 << number)):
        for rests in subsets(taken):
            row = earlier.get((done & ~(1 << number), taken & ~rests, last))
            reach = tables.reach(last, number, rests) if row else None
            if reach is None or reach[slot] < 0:
                continue
            step = tables.step_cost(done & ~(1 << number), last, number)
            for before, cost in enumerate(row[: reach[slot] + 1]):
                if cost + step == wanted:
                    end_s = tables.start_s(last, before) + tables.lengths_s[last]
                    between = tables.after(end_s, tables.ways_s[last][number], rests)[1]
                    return (done & ~(1 << number), taken & ~rests, last), before, between
    raise AssertionError("every state was reached from one before it")


def fits(tables: Tables, width: int | None = None) -> bool:
    """Return whether any order keeps every limit.

    Whoever is through sooner can do all that the later one can, so one instant for each choice
    of sets, breaks and last set is enough.
    """
    all_sets, all_rests = (1 << len(tables.sets)) - 1, (1 << len(tables.rests)) - 1
    layer: dict[State, int] = {(0, 0, -1): tables.begin_s}
    for _size in range(len(tables.sets)):
        following: dict[State, int] = {}
        states = sorted(layer.items(), key=lambda item: item[1])[:width] if width else layer.items()
        for (done, taken, last), free_s in states:
            for rests in subsets(all_rests & ~taken):
                over_s = tables.last_end_s(all_rests & ~taken & ~rests)
                arrivals: dict[int, tuple | None] = {}
                for number in bits(all_sets & ~done):
                    way_s = tables.walks_s[number] if last < 0 else tables.ways_s[last][number]
                    if way_s not in arrivals:
                        arrivals[way_s] = tables.after(free_s, way_s, rests)
                    end_s = _soonest_end(tables, number, arrivals[way_s])
                    if end_s is None or end_s > over_s:
                        continue
                    key = (done | 1 << number, taken | rests, number)
                    following[key] = min(end_s, following.get(key, NEVER))
        layer = following
    return any(
        arrival is not None and arrival[0] <= tables.over_s
        for (_done, taken, last), free_s in layer.items()
        for arrival in [
            tables.after(free_s, tables.walks_s[last] if last >= 0 else 0, all_rests & ~taken)
        ]
    )


def _soonest_end(tables: Tables, number: int, arrival: tuple | None) -> int | None:
    if arrival is None:
        return None
    slot = tables.next_slot[number][min(tables.slot_from(number, arrival[0]), tables.slots)]
    return None if slot < 0 else tables.start_s(number, slot) + tables.lengths_s[number]
