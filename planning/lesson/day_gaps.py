"""How soon a way and some breaks are behind, in the best order, from any instant on.

In one order of way and breaks somebody free at t arrives at max(t + a, b), as long as t is no later
than c: a is all of it together, b comes of a break's earliest begin, c of the latest ones. So a
choice of breaks is a short table of b by c, whatever t is. Instants are whole seconds.
"""

from bisect import bisect_left
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, permutations

NO_LIMIT_S = 1 << 60


@dataclass(frozen=True)
class Rest:
    earliest_s: int
    latest_s: int
    length_s: int


@dataclass(frozen=True)
class Gap:
    """A way and breaks together. A later start never arrives sooner."""

    all_s: int
    until_s: tuple[int, ...]  # ascending: whoever is free by one of these ...
    soonest_s: tuple[int, ...]  # ... is there no sooner than this

    def arrival_s(self, free_s: int) -> int | None:
        """The soonest arrival from an instant; None: the breaks find no room any more."""
        number = bisect_left(self.until_s, free_s)
        if number == len(self.until_s):
            return None
        return max(free_s + self.all_s, self.soonest_s[number])


@lru_cache(maxsize=4096)
def gap(way_s: int, rests: tuple[Rest, ...]) -> Gap | None:
    """Return the gap of a way and breaks; None where no instant leaves room for these breaks."""
    all_s = way_s + sum(rest.length_s for rest in rests)
    found = sorted(
        one for order in permutations((None, *rests)) for one in [_limits(way_s, order)] if one
    )
    if not found:
        return None
    # Whoever is free sooner may also go by an order that needs no sooner start.
    soonest = [*accumulate((sooner for _until, sooner in reversed(found)), min)][::-1]
    return Gap(all_s, tuple(until for until, _sooner in found), tuple(soonest))


def _limits(way_s: int, order: tuple[Rest | None, ...]) -> tuple[int, int] | None:
    """Until when somebody must be free for one order, and when it is behind at the soonest."""
    behind_s, until_s, soonest_s = 0, NO_LIMIT_S, -NO_LIMIT_S
    for rest in order:
        if rest is None:
            behind_s, soonest_s = behind_s + way_s, soonest_s + way_s
            continue
        if soonest_s > rest.latest_s:
            return None
        until_s = min(until_s, rest.latest_s - behind_s)
        soonest_s = max(soonest_s, rest.earliest_s) + rest.length_s
        behind_s += rest.length_s
    return until_s, soonest_s


def laid(free_s: int, way_s: int, rests: dict[int, Rest]) -> tuple[tuple[int, int], ...]:
    """Return the breaks' numbers and starts in the order that arrives soonest."""
    tries = (_try(free_s, way_s, rests, order) for order in permutations((-1, *rests)))
    return min(one for one in tries if one)[1]


def _try(at_s: int, way_s: int, rests: dict[int, Rest], order: tuple[int, ...]):
    taken = []
    for number in order:
        if number < 0:
            at_s += way_s
            continue
        at_s = max(at_s, rests[number].earliest_s)
        if at_s > rests[number].latest_s:
            return None
        taken.append((number, at_s))
        at_s += rests[number].length_s
    return at_s, tuple(taken)
