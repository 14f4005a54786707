"""A wanted sun date by date: cut at the midnights of the place, ranked, in runs."""

from datetime import UTC, date, datetime, time, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from planning.lesson.season import MOST_DAYS, WantedSun, best, enough, runs, season
from planning.physics.errors import OutOfRange
from planning.physics.sun import Place
from tests.physics.published import rows

LISBON, AUCKLAND = Place(38.72, -9.14), Place(-36.85, 174.76)
SVALBARD = Place(78.22, 15.65)
LISBON_ZONE, AUCKLAND_ZONE = ZoneInfo("Europe/Lisbon"), ZoneInfo("Pacific/Auckland")
LOW_AFTERNOON = WantedSun(200, 250, 5, 25)


def year(place, zone, wanted, horizon=()):
    return season(place, zone, date(2027, 1, 1), date(2027, 12, 31), wanted, horizon)


def test_every_date_stands_there_once_and_its_windows_lie_within_it():
    days = year(LISBON, LISBON_ZONE, LOW_AFTERNOON)
    assert [day.day for day in days] == [date(2027, 1, 1) + timedelta(n) for n in range(365)]
    for day in days:
        for window in (*day.windows, *day.sun_up):
            assert window.start_at.date() == day.day
            assert window.end_at.date() == day.day


def test_sunrise_and_sunset_are_those_of_the_naval_observatory():
    # Over a level horizon, whatever the one entered; minutes of standard time.
    for row in rows("sun_rise_set_usno"):
        place = Place(float(row["latitude_deg"]), float(row["longitude_deg"]))
        zone = timezone(timedelta(hours=int(row["utc_offset_h"])))
        day = date.fromisoformat(row["day"])
        (found,) = season(place, zone, day, day, WantedSun(), ((0.0, 30.0),))
        (up,) = found.sun_up
        for edge, printed in ((up.start_at, "sunrise"), (up.end_at, "sunset")):
            expected = datetime.combine(day, time.fromisoformat(row[printed]), zone)
            assert abs((edge - expected).total_seconds()) <= 60, row


def test_a_low_sun_in_the_south_west_is_had_in_winter_and_north_of_the_line_only():
    lit = [day.day.month for day in year(LISBON, LISBON_ZONE, LOW_AFTERNOON) if day.windows]
    assert set(lit) == {1, 2, 3, 9, 10, 11, 12}
    # From 37 south the sun goes through the north: south of 250 it sets only while its declination
    # is below -15.9 degrees (sin d = cos 250 cos 36.85), from November to February.
    southern = year(AUCKLAND, AUCKLAND_ZONE, WantedSun(230, 250, 0, 25))
    assert {day.day.month for day in southern if day.windows} == {11, 12, 1, 2}


def test_the_best_dates_have_most_light_and_the_earlier_of_two_alike_comes_first():
    days = year(LISBON, LISBON_ZONE, LOW_AFTERNOON)
    found = best(days, 10)
    assert len(found) == 10
    minutes = [day.light_min for day in found]
    assert minutes == sorted(minutes, reverse=True)
    assert minutes[0] == max(day.light_min for day in days)
    whole = season(SVALBARD, UTC, date(2027, 6, 1), date(2027, 6, 9), WantedSun())
    assert [day.day.day for day in best(whole, 3)] == [1, 2, 3]  # polar day: all alike
    assert best(season(SVALBARD, UTC, date(2027, 12, 1), date(2027, 12, 9), WantedSun()), 3) == []


def test_runs_are_unbroken_rows_of_dates():
    days = year(LISBON, LISBON_ZONE, LOW_AFTERNOON)
    (first, second) = runs(days)
    assert first[0] == date(2027, 1, 1)
    assert second[1] == date(2027, 12, 31)
    told = sum((last - start).days + 1 for start, last in (first, second))
    assert told == sum(bool(day.windows) for day in days)


def test_dates_with_less_light_than_asked_for_are_told_as_without():
    days = year(LISBON, LISBON_ZONE, LOW_AFTERNOON)
    kept = [day for day in enough(days, 120) if day.windows]
    assert kept
    assert len(kept) < sum(bool(day.windows) for day in days)
    assert min(day.light_min for day in kept) >= 120


def test_what_the_horizon_hides_is_what_is_missing():
    hills = ((200.0, 12.0), (230.0, 3.0), (300.0, 20.0))
    open_sky = year(LISBON, LISBON_ZONE, LOW_AFTERNOON)
    behind = year(LISBON, LISBON_ZONE, LOW_AFTERNOON, hills)
    assert any(day.hidden for day in behind)
    for one, other in zip(open_sky, behind, strict=True):
        assert not one.hidden
        assert one.light_min == pytest.approx(other.light_min + other.hidden_min, abs=0.1)


def test_the_hours_step_where_the_clock_is_changed():
    # Auckland goes back to standard time on 4 April 2027 (tz database): one clock hour.
    days = season(AUCKLAND, AUCKLAND_ZONE, date(2027, 4, 3), date(2027, 4, 4), WantedSun())
    before, after = (day.windows[0].start_at.replace(tzinfo=None).time() for day in days)
    assert before.hour - after.hour == 1


def test_a_midnight_sun_is_parted_at_midnight_and_nothing_lost():
    days = season(
        SVALBARD, ZoneInfo("Arctic/Longyearbyen"), date(2027, 6, 1), date(2027, 6, 3), WantedSun()
    )
    assert [day.light_min for day in days] == [1440.0] * 3


@pytest.mark.parametrize("day", [date(2027, 3, 28), date(2027, 10, 31)])
def test_the_days_of_23_and_25_hours_are_whole(day):
    (found,) = season(Place(89.99, 0.0), LISBON_ZONE, day, day, WantedSun(low_deg=-90))
    assert found.light_min == (23 if day.month == 3 else 25) * 60


def test_what_is_left_empty_bounds_nothing():
    assert WantedSun.of() == WantedSun(0, 360, 0, 90)
    assert WantedSun.of(200, 250, None, 25) == WantedSun(200, 250, 0, 25)
    assert WantedSun.of(high_deg=-4).low_deg == -12  # twilight, down to where the light ends


def test_a_sun_wanted_below_level_is_not_hidden_by_hills():
    dusk, hills = WantedSun(180, 360, -6, -4), ((0.0, 10.0),)
    (day,) = season(LISBON, LISBON_ZONE, date(2027, 6, 9), date(2027, 6, 9), dusk, hills)
    assert len(day.windows) == 1
    assert not day.hidden


@pytest.mark.parametrize(
    ("first", "last", "named"),
    [
        (date(2027, 5, 2), date(2027, 5, 1), "last"),
        (date(2027, 1, 1), date(2027, 1, 1) + timedelta(days=MOST_DAYS), "last"),
        (date(1900, 1, 1), date(1901, 1, 1), "first"),
        (date(2099, 12, 1), date(2100, 1, 1), "last"),
    ],
)
def test_a_span_that_is_none_is_refused_by_name(first, last, named):
    with pytest.raises(OutOfRange, match=named):
        season(LISBON, UTC, first, last, WantedSun())


def test_the_last_year_of_the_series_is_answered_to_its_last_day():
    assert len(season(LISBON, UTC, date(2099, 12, 30), date(2099, 12, 31), WantedSun())) == 2
