"""A forecast against the limits of the day, and which snapshot counts for which hours."""

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from planning.plan.go import Ground, Limits, judge
from planning.plan.inputs import ForecastInputs
from planning.plan.snapshots import change, cover

START = datetime(2027, 9, 18, 9, 0, tzinfo=ZoneInfo("Europe/London"))
FAIR = ForecastInputs(
    source="bulletin",
    taken_at=START - timedelta(hours=10),
    sky="clear",
    temperature_c=18.0,
    humidity_percent=60.0,
    wind_m_s=3.0,
    gust_m_s=6.0,
    rain_mm_h=0.0,
)
LIMITS = Limits(gust_limit_m_s=11.0, rain_limit_mm_h=0.5)
LEVEL = Ground(exposure_factor=1.0, gust_over_mean=1.7)


def said(limits=LIMITS, ground=LEVEL, **changes):
    return judge([replace(FAIR, **changes)], limits, ground, START)


def test_a_fair_day_is_a_go_by_figures():
    assert said().word == "go"


def test_thunder_is_always_a_stop():
    found = said(thunder=True)
    assert found.word == "no-go"
    assert "thunder" in str(found.decides.words)


@pytest.mark.parametrize(
    ("gust", "word"), [(8.7, "go"), (9.0, "look again"), (11.0, "look again"), (11.1, "no-go")]
)
def test_the_gust_decides_at_its_limit(gust, word):
    assert said(gust_m_s=gust).word == word


def test_an_exposed_place_raises_the_gust():
    crest = Ground(exposure_factor=1.3, gust_over_mean=1.7)
    # 9 * 1.3 = 11.7 over 11.
    assert said(ground=crest, gust_m_s=9.0).word == "no-go"


def test_the_mean_alone_is_raised_to_a_gust():
    # 7 * 1.7 = 11.9 over 11.
    assert said(gust_m_s=None, wind_m_s=7.0).word == "no-go"
    assert "reckoned from the mean" in str(said(gust_m_s=None, wind_m_s=7.0).decides.words)


@pytest.mark.parametrize("field", ["rain_mm_h", "temperature_c"])
def test_what_is_not_told_is_looked_at_again(field):
    assert said(**{field: None}).word == "look again"
    assert said(gust_m_s=None, wind_m_s=None).word == "look again"


def test_rain_over_the_limit_is_a_no_go():
    assert said(rain_mm_h=0.6).word == "no-go"


def test_cold_is_judged_as_it_feels_in_the_wind():
    # NWS chart: 25 F in 25 mph feels like 9 F, that is -4 C in 11.2 m/s like -13 C.
    windy = {"temperature_c": -3.9, "wind_m_s": 11.2, "gust_m_s": 11.2}
    limits = replace(LIMITS, gust_limit_m_s=30.0)
    assert said(limits, **windy).word == "look again"
    assert said(replace(limits, coldest_c=-10.0), **windy).word == "no-go"
    assert said(replace(limits, coldest_c=-20.0), **windy).word == "look again"
    # -25 F in 20 mph feels like -51 F on the same chart.
    assert said(limits, temperature_c=-31.7, wind_m_s=8.9, gust_m_s=9.0).word == "no-go"


def test_heat_is_judged_as_it_feels_in_the_shade():
    # NWS chart: 96 F at 60 % feels like 116 F, danger.
    assert said(temperature_c=35.6, humidity_percent=60.0).word == "no-go"
    assert said(replace(LIMITS, hottest_c=20.0), temperature_c=25.0).word == "no-go"


def test_an_old_reading_is_read_again_and_no_forecast_is_no_go_ahead():
    assert said(taken_at=START - timedelta(hours=30)).word == "look again"
    assert judge([], LIMITS, LEVEL, START).word == "look again"
    assert judge([FAIR], LIMITS, LEVEL, START, gap=True).word == "look again"


def test_the_worst_of_the_days_forecasts_decides():
    worse = replace(FAIR, gust_m_s=12.0)
    assert judge([FAIR, worse], LIMITS, LEVEL, START).word == "no-go"


class Hours:
    def __init__(self, first, last):
        self.valid_from = START + timedelta(hours=first)
        self.valid_to = START + timedelta(hours=last)


def test_of_several_for_the_same_hours_the_newest_counts():
    newest, older, oldest = Hours(0, 4), Hours(0, 8), Hours(1, 6)
    found = cover([newest, older, oldest], START, START + timedelta(hours=10))
    assert [one.snapshot for one in found.held] == [newest, older]
    assert found.held[1].hours == ((newest.valid_to, older.valid_to),)
    assert found.open == ((older.valid_to, START + timedelta(hours=10)),)


def test_a_newer_one_in_the_middle_leaves_both_ends_to_the_older():
    found = cover([Hours(3, 5), Hours(0, 8)], START, START + timedelta(hours=8))
    assert len(found.held[1].hours) == 2
    assert found.open == ()


@pytest.mark.parametrize(
    ("before", "now", "moved"), [(3.0, 5.0, 2.0), (3.0, 3.0, 0.0), (None, 3.0, None)]
)
def test_a_change_is_known_only_where_both_are(before, now, moved):
    assert change(before, now) == moved
