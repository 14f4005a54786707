"""What the part of a day already behind costs at least, by the sets done and the last one's start.

``without_breaks`` is exact for a day without breaks, and so never more than what breaks leave: what
``planning.lesson.day_search`` may hold every state against. ``each_alone`` serves days of more sets
than can be gone through: every set behind is taken at its own best.
"""

from bisect import bisect_right
from collections.abc import Callable
from itertools import accumulate

from planning.lesson.day_tables import NEVER, Tables, bits

# By sets done (as bits) and the last of them: a cost for each of its starts, its own included.
Before = Callable[[int, int], list[int]]


def without_breaks(tables: Tables) -> Before:
    """Return the cheapest way to have begun a set with others done, breaks left out.

    Source: dynamic programming over subsets (Held and Karp 1962), here with times.
    """
    rows: dict[tuple[int, int], list[int]] = {}
    cheapest: dict[tuple[int, int], list[int]] = {}
    reached: dict[tuple[int, int], list[int]] = {}
    for done in range(1, tables.all_sets + 1):
        for number in bits(done):
            earlier = done & ~(1 << number)
            came = []
            for last in bits(earlier):
                if (last, number) not in reached:
                    reached[last, number] = _reached(tables, last, number)
                step = tables.step_cost(earlier, last, number)
                best = cheapest[earlier, last]
                came.append([best[count] + step for count in reached[last, number]])
            rows[done, number] = _begun(tables, number, came)
            cheapest[done, number] = [NEVER, *accumulate(rows[done, number], min)]
    return lambda done, last: rows[done, last]


def _begun(tables: Tables, number: int, came: list[list[int]]) -> list[int]:
    costs = tables.costs[number]
    if not came:
        return [cost + tables.first_cost(number) for cost in costs]
    least = map(min, *came) if len(came) > 1 else came[0]
    return [a + b for a, b in zip(least, costs, strict=True)]


def _reached(tables: Tables, last: int, number: int) -> list[int]:
    """For each start of a set, at how many of the one before it is still reached."""
    firsts = tables.firsts(last, number, 0)
    return [bisect_right(firsts, index) for index in range(len(tables.starts[number]))]


def each_alone(tables: Tables) -> Before:
    """Return what the sets done cost at least, each by itself, begun and over before the last."""
    known: dict[tuple[int, int], list[int]] = {}
    rows: dict[tuple[int, int], list[int]] = {}

    def least_before(other: int, last: int) -> list[int]:
        if (other, last) not in known:
            cheapest = [NEVER, *accumulate(tables.costs[other], min)]
            lasts_s, starts = tables.lengths_s[other], tables.starts[other]
            known[other, last] = [
                cheapest[bisect_right(starts, start_s - lasts_s)] for start_s in tables.starts[last]
            ]
        return known[other, last]

    def before(done: int, last: int) -> list[int]:
        if (done, last) not in rows:
            others = [least_before(other, last) for other in bits(done & ~(1 << last))]
            walk = 0 if others else tables.first_cost(last)
            rows[done, last] = [
                sum(costs) + walk for costs in zip(tables.costs[last], *others, strict=True)
            ]
        return rows[done, last]

    return before
