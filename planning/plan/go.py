"""A forecast against agreed limits: go, look again, no-go, and the figure that decides.

A figure warns, it permits nothing: who decides is a person.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from planning.physics.weather import heat_band, heat_index_c, wind_chill_c
from planning.plan.inputs import ForecastInputs
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _

NEAR_SHARE = 0.8  # of a limit: from there a forecast is looked at again; common practice, no source
NEAR_C = 2.0  # of a limit in degrees: common practice, no source
OLD = timedelta(hours=24)  # before the start, a forecast says too little: common practice
# Environment Canada, wind chill hazards: from -28 exposed skin freezes in 10 to 30 minutes,
# from -10 discomfort and risk of hypothermia for who stands still; from memory.
FREEZING_SKIN_C = -28.0
STANDING_COLD_C = -10.0
KM_H_A_M_S = 3.6

ORDER = ("no-go", "look again", "go")  # the gravest first


@dataclass(frozen=True)
class Limits:
    """What was agreed for the day; None: no limit of one's own."""

    gust_limit_m_s: float
    rain_limit_mm_h: float
    coldest_c: float | None = None
    hottest_c: float | None = None


@dataclass(frozen=True)
class Ground:
    """How the wind comes at the place."""

    exposure_factor: float
    gust_over_mean: float  # where only the mean is known; the house's figure


@dataclass(frozen=True)
class Check:
    """One figure against its limit."""

    word: str  # go, look again, no-go
    words: Words


@dataclass(frozen=True)
class Judged:
    word: str  # the gravest of all
    checks: tuple[Check, ...]  # the gravest first: the first decides

    @property
    def decides(self) -> Check:
        return self.checks[0]


def judge(
    forecasts: Iterable[ForecastInputs],
    limits: Limits,
    ground: Ground,
    start_at: datetime,
    *,
    gap: bool = False,
) -> Judged:
    """Return what the forecasts of a day at one place say; ``gap``: not of all its hours."""
    rows = list(forecasts)
    checks = [check for one in rows for check in _checks(one, limits, ground, start_at)]
    if not rows:
        checks.append(Check("look again", say(_("no forecast for these hours"))))
    elif gap:
        checks.append(Check("look again", say(_("no forecast for part of these hours"))))
    checks = sorted(dict.fromkeys(checks), key=lambda check: ORDER.index(check.word))
    return Judged(checks[0].word, tuple(checks))


def _checks(
    one: ForecastInputs, limits: Limits, ground: Ground, start_at: datetime
) -> Iterator[Check]:
    if one.thunder:
        yield Check("no-go", say(_("thunder possible: always a stop")))
    yield _gust(one, limits, ground)
    yield _rain(one, limits)
    yield from _cold(one, limits)
    yield from _heat(one, limits)
    if start_at - one.taken_at > OLD:
        yield Check(
            "look again",
            say(
                _("read {hours} h before the start: read it again"),
                hours=((start_at - one.taken_at) / timedelta(hours=1), "whole"),
            ),
        )


def gust_at_the_place(one: ForecastInputs, ground: Ground) -> float | None:
    """The gust with the place's exposure; from the mean where no gust is forecast.

    Source: light-method section 7: never reduced for height, crest or gap 1.3 to 1.5.
    """
    if one.gust_m_s is not None:
        return one.gust_m_s * ground.exposure_factor
    if one.wind_m_s is not None:
        return one.wind_m_s * ground.gust_over_mean * ground.exposure_factor
    return None


def _against(value: float, limit: float) -> str:
    if value > limit:
        return "no-go"
    return "look again" if value > limit * NEAR_SHARE else "go"


def _gust(one: ForecastInputs, limits: Limits, ground: Ground) -> Check:
    gust_m_s = gust_at_the_place(one, ground)
    if gust_m_s is None:
        return Check("look again", say(_("no wind forecast")))
    figures = {"gust": (gust_m_s, "m_s"), "limit": (limits.gust_limit_m_s, "limit_m_s")}
    message = (
        _("gust {gust} at the place, limit {limit}")
        if one.gust_m_s is not None
        else _("gust about {gust} at the place, reckoned from the mean, limit {limit}")
    )
    return Check(_against(gust_m_s, limits.gust_limit_m_s), say(message, **figures))


def _rain(one: ForecastInputs, limits: Limits) -> Check:
    if one.rain_mm_h is None:
        return Check("look again", say(_("no rain figure in the forecast")))
    words = say(
        _("rain {rain} mm an hour, limit {limit}"),
        rain=(one.rain_mm_h, "tenths"),
        limit=(limits.rain_limit_mm_h, "tenths"),
    )
    return Check(_against(one.rain_mm_h, limits.rain_limit_mm_h), words)


def _cold(one: ForecastInputs, limits: Limits) -> Iterator[Check]:
    if one.temperature_c is None:
        yield Check("look again", say(_("no temperature in the forecast")))
        return
    felt_c = wind_chill_c(one.temperature_c, (one.wind_m_s or 0.0) * KM_H_A_M_S)
    felt = {"felt": (felt_c, "c")}
    if felt_c <= FREEZING_SKIN_C:
        yield Check("no-go", say(_("feels like {felt} in the wind: bare skin freezes"), **felt))
    elif felt_c <= STANDING_COLD_C:
        words = say(_("feels like {felt} in the wind: too cold to stand still for long"), **felt)
        yield Check("look again", words)
    if limits.coldest_c is None:
        return
    near = felt_c < limits.coldest_c + NEAR_C
    word = "no-go" if felt_c < limits.coldest_c else "look again" if near else "go"
    words = _("feels like {felt} in the wind, limit {limit}")
    yield Check(word, say(words, limit=(limits.coldest_c, "c"), **felt))


def _heat(one: ForecastInputs, limits: Limits) -> Iterator[Check]:
    if one.temperature_c is None:
        return
    felt_c = one.temperature_c
    if one.humidity_percent is not None:
        felt_c = heat_index_c(one.temperature_c, one.humidity_percent)
    felt = {"felt": (felt_c, "c")}
    band = heat_band(felt_c)
    if band and band != "caution":
        grave = "danger" in band
        words = say(_("feels like {felt} in the shade: {band}"), band=(say(band), "words"), **felt)
        yield Check("no-go" if grave else "look again", words)
    if limits.hottest_c is None:
        return
    near = felt_c > limits.hottest_c - NEAR_C
    word = "no-go" if felt_c > limits.hottest_c else "look again" if near else "go"
    words = _("feels like {felt} in the shade, limit {limit}")
    yield Check(word, say(words, limit=(limits.hottest_c, "c"), **felt))
