"""Full-power flashes of one charge, from packs read before and after and flashes counted.

    share used = flashes / (flashes a charge x what the cold leaves) + share for idling

The two readings are coarse (a lamp of four, 2 %): the true share lies anywhere within what the
pack showed, so a small difference of two readings says little, and the same coarse reading ten
times over says hardly more than once. Everything else that differs from day to day (cell, warmth,
counting) is a normal error in stops of unknown size. Figure and size are integrated over a grid.

Source: Gelman et al., Bayesian Data Analysis, 3rd ed., 2013, exercise 3.5 (rounded data: the
likelihood of a reading is that of its interval) and section 3.7 (posterior on a grid).
"""

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

from planning.learn.habits import GAUGE_BEND_OF_WITHIN, GAUGE_BEND_SHARE
from planning.learn.witness import Habits, Learned, Prior, normal_share
from planning.physics.errors import OutOfRange
from planning.physics.ranges import require_finite, require_not_negative, require_positive

Z_CENTRAL = 1.6448536  # nine tenths of a normal, either way
SIZE_STEPS = (-1.5, -0.5, 0.5, 1.5)  # of the logarithm of the day's error, in deviations
COARSE, FINE = 45, 45  # steps of the grid over the figure, first wide, then where it is likely
UNLIKELY = 1e-5  # of the likeliest: outside this the fine grid is not drawn
SAME_ROUNDING_SHARE = 0.25  # of the variance: readings that look alike are rounded alike, partly
NEWEST = 60  # drawdowns that count: cells age, and what they gave years ago says nothing any more
LEAST_DEVIATION_SHARE = 0.003  # of a charge: nobody reads or counts nearer


@dataclass(frozen=True)
class Drawdown:
    """One pack in one head from one reading of its charge to the next."""

    key: str
    day: str
    full_power_flashes: float
    in_share: float
    out_share: float
    within_share: float  # what a reading is rounded by at most: half a lamp, 1 %
    idle_share: float = 0.0  # of a charge, for standing by and the modelling lamp
    cold_share: float = 1.0  # what the cold left of the capacity
    cold_stops: float = 0.0  # standard deviation of that


def alone_stops(one: Drawdown) -> float | None:
    """Return the flashes of one charge by one drawdown alone (log2); None where nothing was used.

    Flashes over the share they took, what idled and what the cold kept back reckoned out.
    """
    used = one.in_share - one.out_share - one.idle_share
    if used <= 0.0:
        return None
    return math.log2(one.full_power_flashes / used / one.cold_share)


@dataclass(frozen=True)
class _Point:
    flashes_stops: float
    weight: float


def chained(drawdowns: Iterable[Drawdown]) -> list[Drawdown]:
    """Return the drawdowns with those of one day that go on where the last ended made one.

    Their errors are the same errors: the reading between two stays counts for neither. ``key``
    then names them all, with a blank between.
    """
    joined: list[Drawdown] = []
    for one in sorted(drawdowns, key=lambda row: (row.day, -row.in_share, -row.out_share, row.key)):
        last = joined[-1] if joined else None
        if last and last.day == one.day and abs(last.out_share - one.in_share) < 1e-9:
            joined[-1] = replace(
                last,
                key=f"{last.key} {one.key}",
                full_power_flashes=last.full_power_flashes + one.full_power_flashes,
                out_share=one.out_share,
                within_share=max(last.within_share, one.within_share),
                idle_share=last.idle_share + one.idle_share,
            )
        else:
            joined.append(one)
    return joined


def learned_flashes(prior: Prior, drawdowns: Iterable[Drawdown], habits: Habits) -> Learned:
    """Return the flashes of one charge in stops (log2), right within so much nine times in ten.

    Without a drawdown it is the prior, exactly; their order does not matter. The half width is
    the longer one, where the two differ. Of many the newest count. Raises OutOfRange
    for shares outside 0 to 1, no flashes, or a key given twice.
    """
    require_finite(middle=prior.middle)
    require_positive(within=prior.within)
    found = tuple(sorted(drawdowns, key=lambda row: (row.day, row.key)))
    for one in found:
        _check(one)
    if len({one.key for one in found}) < len(found):
        raise OutOfRange("key must name one drawdown only: one measurement counts once")
    return _learned(prior, found[-NEWEST:], habits)


def _check(one: Drawdown) -> None:
    require_positive(
        full_power_flashes=one.full_power_flashes,
        within_share=one.within_share,
        cold_share=one.cold_share,
    )
    require_not_negative(
        in_share=one.in_share,
        out_share=one.out_share,
        idle_share=one.idle_share,
        cold_stops=one.cold_stops,
    )
    if max(one.in_share, one.out_share) > 1.0:
        raise OutOfRange("in_share and out_share must be 1 or less: 1 is a full charge")


@lru_cache(maxsize=512)
def _learned(prior: Prior, found: tuple[Drawdown, ...], habits: Habits) -> Learned:
    if not found:
        return Learned(prior.middle, prior.within)
    deviation = max(prior.within, habits.prior_least) / Z_CENTRAL
    chains = chained(found)
    points = _posterior(prior.middle, deviation, chains, habits)
    middle = _share_point(points, 0.5)
    half = max(middle - _share_point(points, 0.05), _share_point(points, 0.95) - middle)
    weights, doubts = _influence(chains, middle, habits, deviation)
    # How a gauge bends, and how alike readings are rounded, does not average out.
    shared = math.hypot(_bend_stops(chains, weights, middle), _rounding_stops(chains, weights))
    within = math.hypot(half, Z_CENTRAL * shared)
    return Learned(
        middle=middle,
        within=within,
        witnesses=len(found),
        days=len({one.day for one in found}),
        weights=tuple(weights.items()),
        doubts=tuple(doubts.items()),
    )


def _posterior(
    middle: float, deviation: float, chains: list[Drawdown], habits: Habits
) -> list[_Point]:
    """Return the figure's grid with its weights, the size of the day's error summed out."""
    sizes = [habits.noise * habits.noise_factor**step for step in SIZE_STEPS]
    chances = [-(step**2) / 2.0 for step in SIZE_STEPS]

    def log_weight(stops: float) -> float:
        logs = chances
        for one in chains:
            likely = _log_likes(one, stops, sizes, habits)
            logs = [log + more for log, more in zip(logs, likely, strict=True)]
        top = max(logs)
        before = -0.5 * ((stops - middle) / deviation) ** 2
        return before + top + math.log(math.fsum(math.exp(log - top) for log in logs))

    low, high = middle - 5.0 * deviation, middle + 5.0 * deviation
    for count in (COARSE, FINE):
        step = (high - low) / (count - 1)
        grid = [low + step * place for place in range(count)]
        logs = [log_weight(stops) for stops in grid]
        top = max(logs)
        likely = [s for s, log in zip(grid, logs, strict=True) if log > top + math.log(UNLIKELY)]
        low, high = min(likely) - step, max(likely) + step
    total = math.fsum(math.exp(log - top) for log in logs)
    return [
        _Point(stops, math.exp(log - top) / total) for stops, log in zip(grid, logs, strict=True)
    ]


def _log_likes(one: Drawdown, stops: float, sizes: list[float], habits: Habits) -> list[float]:
    """Return the log likelihood of a drawdown for each size of the day's error.

    A few drawdowns are simply wrong, whatever the size.
    """
    flashed = one.full_power_flashes / (2.0**stops * one.cold_share)
    per_stop = flashed * math.log(2.0)  # share a stop more or less would take, near by
    blunders = habits.blunder_share
    wrong = blunders * _density(one, flashed, per_stop * habits.blunder) + 1e-300
    return [
        math.log(
            (1.0 - blunders) * _density(one, flashed, per_stop * math.hypot(size, one.cold_stops))
            + wrong
        )
        for size in sizes
    ]


def _density(one: Drawdown, flashed: float, deviation: float) -> float:
    """Return how likely the two readings are when so much was flashed, give or take.

    What a pack showed stands for anything within half its step; full as it is put in is full,
    but one that still shows full may have given half a step.
    """
    in_low, in_high = _truth(one.in_share, one.within_share)
    if one.in_share >= 1.0:
        in_low = 1.0
    out_low, out_high = _truth(one.out_share, one.within_share)
    used = flashed + one.idle_share
    spread = max(deviation, LEAST_DEVIATION_SHARE)

    def held(edge: float) -> float:
        return (edge - used) / spread

    if in_high == in_low:
        between = normal_share(held(in_low - out_low)) - normal_share(held(in_low - out_high))
        return max(between, 0.0) / (out_high - out_low)
    corners = (
        _integral(held(in_high - out_low))
        - _integral(held(in_high - out_high))
        - _integral(held(in_low - out_low))
        + _integral(held(in_low - out_high))
    )
    return max(corners, 0.0) * spread / ((in_high - in_low) * (out_high - out_low))


def _truth(shown: float, within: float) -> tuple[float, float]:
    return max(shown - within, 0.0), min(shown + within, 1.0)


def _integral(z: float) -> float:
    """Return the normal distribution function integrated up to ``z``."""
    return z * normal_share(z) + math.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)


def _share_point(points: list[_Point], share: float) -> float:
    """Return where so much of the posterior lies below, by straight lines between the points."""
    below = 0.0
    for first, second in itertools.pairwise(points):
        piece = (first.weight + second.weight) / 2.0
        if below + piece >= share and piece > 0.0:
            part = (share - below) / piece
            return first.flashes_stops + part * (second.flashes_stops - first.flashes_stops)
        below += piece
    return points[-1].flashes_stops


def _bend_stops(chains: list[Drawdown], weights: dict[str, float], middle: float) -> float:
    """Return the deviation of the figure by how the gauge bends, in all its readings alike.

    An arch that is nothing when full and when empty: what it does to the two readings of each
    drawdown, counted as the drawdown counts.
    """
    parts = []
    for one in chains:
        bend = max(GAUGE_BEND_SHARE, GAUGE_BEND_OF_WITHIN * one.within_share)
        off = 4.0 * (_arch(one.in_share) - _arch(one.out_share)) * bend
        flashed = one.full_power_flashes / (2.0**middle * one.cold_share)
        share = math.fsum(weights[key] for key in one.key.split())
        parts.append(share * off / (flashed * math.log(2.0)))
    return abs(math.fsum(parts))


def _arch(share: float) -> float:
    return share * (1.0 - share)


def _rounding_stops(chains: list[Drawdown], weights: dict[str, float]) -> float:
    """Return the deviation of what readings that look alike are rounded by together.

    From full the flashes themselves say where within its step the second reading may lie; the
    first of a pack that was not full may lie where it always does.
    """
    alike: dict[tuple[float, float], float] = {}
    for one in chains:
        if one.in_share >= 1.0:
            continue
        used = max(one.in_share - one.out_share, one.within_share)
        stops = one.within_share / math.sqrt(3.0) / (used * math.log(2.0))
        share = sum(weights[key] for key in one.key.split())
        shown = (one.in_share, one.out_share)
        alike[shown] = alike.get(shown, 0.0) + share * stops
    return math.sqrt(SAME_ROUNDING_SHARE * math.fsum(part**2 for part in alike.values()))


def _influence(
    chains: list[Drawdown], middle: float, habits: Habits, deviation: float
) -> tuple[dict[str, float], dict[str, float]]:
    """Return what each drawdown counts for, and how probably it is a blunder, by key."""
    precisions, doubts = {}, {}
    for one in chains:
        flashed = one.full_power_flashes / (2.0**middle * one.cold_share)
        per_stop = flashed * math.log(2.0)
        right = _density(one, flashed, per_stop * math.hypot(habits.noise, one.cold_stops))
        wrong = _density(one, flashed, per_stop * habits.blunder)
        blunders = habits.blunder_share
        chance = blunders * wrong / max((1 - blunders) * right + blunders * wrong, 1e-300)
        reading = one.within_share * math.sqrt(2.0 / 3.0) / per_stop
        keys = one.key.split()
        for key in keys:
            precision = 1.0 / (habits.noise**2 + one.cold_stops**2 + reading**2)
            precisions[key] = (1.0 - chance) * precision / len(keys)
            doubts[key] = chance
    total = math.fsum(precisions.values()) + deviation**-2
    return {key: precision / total for key, precision in precisions.items()}, doubts
