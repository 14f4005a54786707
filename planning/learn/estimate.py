"""A figure of the house from readings that share days, meters and marks, some of them wrong.

The model, on a scale where errors add (stops; a doubling of minutes or frames is one):

    reading = truth + day + meter + mark + noise

with normal errors, their standard deviations in ``Habits``. The noise of a reading and the size
of a day's error are not known: they are integrated over a grid, each with a prior on it. Given
those two, everything is a normal linear model in closed form: a weighted mean of the days,
shrunk toward the prior.

Source: Gelman, Carlin, Stern, Dunson, Vehtari, Rubin, Bayesian Data Analysis, 3rd ed., 2013,
sections 2.5 (normal mean), 3.3 and 5.4 (hierarchical normal model, the variance on a grid),
17.2 (mixtures against outliers).

A reading may be a blunder: the few that look like one are tried out both ways, every combination,
and the combinations weighed by how well they explain all readings (contaminated normal, J. W.
Tukey 1960). A t distribution or Huber's weights are shorter to write, but of two or three
readings of which one is wrong they choose a side, and state too narrow an interval.

A prior is never believed closer than ``prior_least``: with the maker's own half stop, a figure a
stop off would still hold back what five readings agree on.
"""

import itertools
import math
import statistics
from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from planning.learn.linear import given, laid_out
from planning.learn.witness import Habits, Learned, Prior, Witness, checked, normal_share

CENTRAL = 0.9  # what "right within" means: the truth lies inside nine times in ten
Z_CENTRAL = 1.6448536  # that many standard deviations of a normal, either way
NOISE_STEPS = (-2.0, -1.2, -0.4, 0.4, 1.2, 2.0)  # of the logarithm, in standard deviations
DAY_STEPS = (0.15, 0.5, 1.0, 1.6, 2.4, 3.4)  # times the usual day's error
DAY_WIDTHS = (0.325, 0.425, 0.55, 0.7, 0.9, 1.0)  # between their middles
NORMAL_OVER_MEDIAN = 1.4826  # standard deviation over median deviation of a normal
SUSPECT_FROM = 2.5  # times the usual error away from the middle reading
MOST_SUSPECTS = 5
MOST_WORK = 700  # combinations times days, so that a page never waits for it


@dataclass(frozen=True)
class _Part:
    """One normal of the posterior mixture."""

    share: float  # its logarithm until all parts are known
    mean: float
    deviation: float
    noise: float
    day: float
    given: float  # precision that the readings bring
    wrong: frozenset[str]


def learned(prior: Prior, witnesses: Iterable[Witness], habits: Habits) -> Learned:
    """As ``_learned``, which see; what was worked out once is not worked out again."""
    return _learned(prior, tuple(checked(prior, witnesses)), habits)


@lru_cache(maxsize=512)
def _learned(prior: Prior, found: tuple[Witness, ...], habits: Habits) -> Learned:
    """Return the figure that prior and witnesses make, right within so much nine times in ten.

    ``middle`` is the posterior's median, ``within`` half the width of the interval around it that
    holds nine tenths. Without a witness it is the prior, exactly. The order of the witnesses
    does not matter. Raises OutOfRange as ``checked`` does.
    """
    if not found:
        return Learned(prior.middle, prior.within)
    # From the prior's middle on, so that squares stay small.
    moved = [replace(one, value=one.value - prior.middle) for one in found]
    parts = _posterior(prior_deviation(prior, habits), moved, habits)
    middle = _median(parts)
    doubts = {one.key: sum(p.share for p in parts if one.key in p.wrong) for one in found}
    return Learned(
        middle=prior.middle + middle,
        within=_half_width(parts, middle),
        witnesses=len(found),
        days=len({one.day for one in found}),
        noise=sum(part.share * part.noise for part in parts),
        weights=tuple(_weights(parts, found, doubts, prior_deviation(prior, habits)).items()),
        doubts=tuple(doubts.items()),
    )


def prior_deviation(prior: Prior, habits: Habits) -> float:
    """Return the standard deviation a prior counts with once there are readings."""
    return max(prior.within, habits.prior_least) / Z_CENTRAL


def _posterior(prior: float, found: list[Witness], habits: Habits) -> list[_Part]:
    """Return the normals of the posterior; their shares make 1."""
    parts = [
        part
        for wrong in _combinations(found, habits)
        for part in _given_wrong(prior, found, frozenset(wrong), habits)
    ]
    top = max(part.share for part in parts)
    kept = [part for part in parts if part.share > top - 12.0]
    total = math.fsum(math.exp(part.share - top) for part in kept)
    return [replace(part, share=math.exp(part.share - top) / total) for part in kept]


def _combinations(found: list[Witness], habits: Habits) -> list[tuple[str, ...]]:
    """Return which readings to take for blunders together, in every combination.

    With too many that look like one, the farthest off are taken for it in all of them.
    """
    values = [one.value for one in found]
    centre = statistics.median(values)
    usual = math.hypot(habits.noise, habits.day)
    if len(found) > 4:
        scatter = statistics.median(abs(value - centre) for value in values)
        usual = max(usual, NORMAL_OVER_MEDIAN * scatter)
    off = sorted((-abs(one.value - centre) / usual / one.noise_ratio, one.key) for one in found)
    suspects = [key for far, key in off if -far > SUSPECT_FROM or len(found) <= 3]
    cells = len({(one.day, one.meter, one.mark) for one in found})
    room = min(MOST_SUSPECTS, int(math.log2(max(MOST_WORK / cells, 1.0))))
    sure = suspects[: max(len(suspects) - room, 0)]
    open_ = suspects[len(sure) :]
    return [
        (*sure, *chosen)
        for count in range(len(open_) + 1)
        for chosen in itertools.combinations(open_, count)
    ]


def _given_wrong(
    prior: float, found: list[Witness], wrong: frozenset[str], habits: Habits
) -> list[_Part]:
    """Return the normals of the posterior if exactly these readings are blunders."""
    right = [one for one in found if one.key not in wrong]
    readings = laid_out(right, [one for one in found if one.key in wrong], habits)
    share = habits.blunder_share
    chance = len(wrong) * math.log(share) + len(right) * math.log1p(-share)
    parts = []
    for noise, day, grid_chance in _grid(habits):
        said = given(readings, noise, day)
        # The prior times what the readings say, and how well the two go together.
        total = prior**-2 + said.precision
        spread = prior**2 + 1.0 / said.precision
        fit = -0.5 * (math.log(spread * said.precision) + said.mean**2 / spread)
        parts.append(
            _Part(
                chance + grid_chance + said.log_like + fit,
                said.precision * said.mean / total,
                total**-0.5,
                noise,
                day,
                said.precision,
                wrong,
            )
        )
    return parts


@cache
def _grid(habits: Habits) -> tuple[tuple[float, float, float], ...]:
    """Return (noise, day's error, log of their prior share).

    The noise is log-normal, the day's error half normal.
    """
    noises = [habits.noise * habits.noise_factor**step for step in NOISE_STEPS]
    noise_chances = [-(step**2) / 2.0 for step in NOISE_STEPS]
    days = [habits.day * step for step in DAY_STEPS]
    day_chances = [
        math.log(width) - step**2 / 2.0 for step, width in zip(DAY_STEPS, DAY_WIDTHS, strict=True)
    ]
    return tuple(
        (noise, day, noise_chance + day_chance)
        for noise, noise_chance in zip(noises, noise_chances, strict=True)
        for day, day_chance in zip(days, day_chances, strict=True)
    )


def _held(parts: list[_Part], low: float, high: float) -> float:
    return math.fsum(
        part.share
        * (
            normal_share((high - part.mean) / part.deviation)
            - normal_share((low - part.mean) / part.deviation)
        )
        for part in parts
    )


def _median(parts: list[_Part]) -> float:
    reach = max(abs(part.mean) + 8.0 * part.deviation for part in parts)
    return bisected(lambda x: _held(parts, -math.inf, x) - 0.5, -reach, reach)


def _half_width(parts: list[_Part], middle: float) -> float:
    reach = max(abs(part.mean - middle) + 8.0 * part.deviation for part in parts)
    return bisected(lambda x: _held(parts, middle - x, middle + x) - CENTRAL, 0.0, reach)


def bisected(rising: Callable[[float], float], low: float, high: float) -> float:
    """Return where a rising function passes 0, to a thousand-millionth of the bracket."""
    for _step in range(30):
        middle = (low + high) / 2.0
        if rising(middle) < 0.0:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def _weights(
    parts: list[_Part], found: list[Witness], doubts: dict[str, float], prior: float
) -> dict[str, float]:
    """Return what each witness counts for beside the prior, at the likeliest noise."""
    noise = math.fsum(part.share * part.noise for part in parts)
    day = math.fsum(part.share * part.day for part in parts)
    plain = {one.key: (1.0 - doubts[one.key]) / (noise * one.noise_ratio) ** 2 for one in found}
    per_day = defaultdict(float)
    for one in found:
        per_day[one.day] += plain[one.key]
    raw = {one.key: plain[one.key] / (1.0 + day**2 * per_day[one.day]) for one in found}
    total = math.fsum(raw.values())
    if not total:
        return raw
    brought = math.fsum(part.share * part.given for part in parts)
    share = brought / (brought + prior**-2)
    return {key: share * value / total for key, value in raw.items()}
