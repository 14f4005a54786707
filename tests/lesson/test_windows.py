"""Light windows at the odd corners of the globe and the clock, and against printed days."""

from dataclasses import asdict, replace
from datetime import UTC, date, datetime, time, timedelta, timezone
from itertools import pairwise
from math import degrees, inf, nan
from zoneinfo import ZoneInfo

import ephem
import pytest

from planning.lesson.windows import Window, light_windows
from planning.physics.errors import OutOfRange
from planning.physics.horizon import horizon_elevation_deg
from planning.physics.sun import Place, sun_events, sun_position
from tests.lesson.scan import Wanted
from tests.physics.published import rows

JUNE = (datetime(2027, 6, 1, tzinfo=UTC), datetime(2027, 7, 1, tzinfo=UTC))
LISBON = Place(38.72, -9.14)


def found(place: Place, wanted: Wanted, start: datetime, end: datetime) -> list[Window]:
    return light_windows(place, start, end, **asdict(wanted))


def test_ephem_sees_the_sun_on_the_bounds_at_the_edges():
    windows = found(LISBON, Wanted(260, 300, 5, 25), *JUNE)
    observer = ephem.Observer()
    observer.lat, observer.lon = "38.72", "-9.14"
    observer.pressure = 0  # geometric: 20 to 25 degrees up the air lifts by less than 0.05
    for window in windows:
        observer.date = window.start_at
        assert 24.9 < degrees(ephem.Sun(observer).alt) < 25.0
    assert len(windows) == 30


@pytest.mark.parametrize(
    ("table", "tolerance_s"), [("sun_rise_set_usno", 60), ("sun_rise_set_almanac", 30)]
)
def test_the_whole_sky_from_the_sunrise_height_up_is_the_printed_day(table, tolerance_s):
    for row in rows(table):
        zone = timezone(timedelta(hours=int(row["utc_offset_h"])))
        place = Place(float(row["latitude_deg"]), float(row["longitude_deg"]))
        midnight = datetime.combine(date.fromisoformat(row["day"]), time(), zone)
        end = midnight + timedelta(days=1)
        (window,) = found(place, Wanted(0, 360, -0.8333, 90), midnight, end)
        for edge, printed in ((window.start_at, "sunrise"), (window.end_at, "sunset")):
            expected = datetime.combine(midnight, time.fromisoformat(row[printed]), zone)
            assert abs((edge - expected).total_seconds()) <= tolerance_s, row


def test_where_refraction_steps_a_bound_within_the_step_is_the_rising_itself():
    # As the disc's edge comes up the centre appears from -0.83 to -0.2 at once.
    start = datetime(2027, 6, 1, tzinfo=UTC)
    events = sun_events(LISBON, start.date(), UTC)
    for low_deg in (-0.8, -0.5, -0.3):
        (window,) = found(LISBON, Wanted(0, 0, low_deg, 90), start, start + timedelta(days=1))
        assert abs(window.start_at - events.sunrise_at) < timedelta(seconds=1)
        assert abs(window.end_at - events.sunset_at) < timedelta(seconds=1)


def test_where_refraction_steps_over_a_slope_the_sun_is_hidden_a_second_time():
    # The last of a midnight sun sinks along a falling ridge; as its disc goes its centre appears
    # 0.6 degrees lower at once, and comes clear of the ridge again.
    ridge = ((193.8, 1.75), (199.1, -1.08), (200.8, 1.23), (204.6, -2.5))
    place, start = Place(-66.56, 180.0), datetime(2029, 1, 14, 10, 36, tzinfo=UTC)
    windows = found(place, Wanted(0, 0, -90, 90, ridge), start, start + timedelta(minutes=14))
    steps = [start + timedelta(seconds=second) for second in range(840)]
    suns = [sun_position(place, at) for at in steps]
    clear = [sun.elevation_deg > horizon_elevation_deg(ridge, sun.azimuth_deg) for sun in suns]
    changes = [at for at, (one, other) in zip(steps, pairwise(clear), strict=False) if one != other]
    edges = [edge for window in windows for edge in (window.start_at, window.end_at)]
    inner = [edge for edge in edges if edge not in (start, start + timedelta(minutes=14))]
    assert len(inner) == len(changes) >= 3
    for edge, change in zip(inner, changes, strict=True):
        assert timedelta(seconds=-0.1) < edge - change < timedelta(seconds=1.1)


def test_a_sun_that_only_just_reaches_the_height_is_not_missed():
    # A contact of seconds: the bound a hair under the day's highest.
    start, end = datetime(2027, 6, 9, tzinfo=UTC), datetime(2027, 6, 10, tzinfo=UTC)
    noon_at = sun_events(LISBON, start.date(), UTC).noon_at
    highest_deg = max(
        sun_position(LISBON, noon_at + timedelta(seconds=s)).elevation_deg for s in range(-60, 61)
    )
    for under_deg, longest in ((1e-5, timedelta(seconds=20)), (1e-3, timedelta(seconds=200))):
        (window,) = found(LISBON, Wanted(0, 0, highest_deg - under_deg, 90), start, end)
        assert timedelta(0) < window.length < longest
        assert abs(window.start_at + window.length / 2 - noon_at) < timedelta(seconds=30)
    assert found(LISBON, Wanted(0, 0, highest_deg + 1e-5, 90), start, end) == []


def test_a_gap_in_the_skyline_narrower_than_a_minute_of_sun_is_not_missed():
    # The sun goes 15 degrees of azimuth an hour here at the least: 0.1 degrees in under 24 s.
    gap = ((0.0, 89.0), (239.9, 89.0), (239.95, 0.0), (240.0, 89.0))
    windows = found(LISBON, Wanted(0, 360, 0, 90, gap), *JUNE)
    assert len(windows) == 30
    assert all(window.length < timedelta(seconds=24) for window in windows)


def test_a_peak_the_sun_just_clears_hides_nothing_and_one_half_a_degree_higher_does():
    start = datetime(2027, 6, 9, 15, tzinfo=UTC)
    end = start + timedelta(hours=2)
    sun = sun_position(LISBON, start + timedelta(hours=1))
    feet = ((sun.azimuth_deg - 0.4, 0.0), (sun.azimuth_deg + 0.4, 0.0))
    for over_deg, count in ((-1e-4, 1), (0.5, 2)):
        peak = (feet[0], (sun.azimuth_deg, sun.elevation_deg + over_deg), feet[1])
        assert len(found(LISBON, Wanted(0, 0, 0, 90, peak), start, end)) == count


@pytest.mark.parametrize(("latitude_deg", "side_deg"), [(30.0, 180), (15.0, 0), (-5.0, 0)])
def test_in_june_noon_stands_south_of_the_tropic_in_the_north(latitude_deg, side_deg):
    # The sun is overhead at 23.44 north, whatever the hemisphere one stands in.
    start = datetime(2027, 6, 21, tzinfo=UTC)
    end, place = start + timedelta(days=1), Place(latitude_deg, 0.0)
    (window,) = found(place, Wanted((side_deg - 20) % 360, side_deg + 20, 0, 90), start, end)
    assert window.start_at < sun_events(place, start.date(), UTC).noon_at < window.end_at
    assert (
        found(place, Wanted((side_deg + 160) % 360, (side_deg + 200) % 360, 0, 90), start, end)
        == []
    )


def test_where_the_azimuth_runs_both_ways_an_arc_is_entered_twice_in_a_morning():
    # At 10 north on the longest day: rising at acos(sin 23.44 / cos 10) = 66.2 degrees, out to
    # asin(cos 23.44 / cos 10) = 68.7 and back to north at noon (the spherical triangle).
    start = datetime(2027, 6, 21, tzinfo=UTC)
    place, morning = Place(10.0, 0.0), start + timedelta(hours=12)
    first, second = found(place, Wanted(67, 68, 0, 90), start, morning)
    entered = [sun_position(place, one.start_at).azimuth_deg for one in (first, second)]
    assert entered == pytest.approx([67, 68], abs=0.001)
    assert len(found(place, Wanted(68.6, 68.8, 0, 90), start, morning)) == 1
    assert found(place, Wanted(68.8, 90, 0, 90), start, morning) == []


def test_polar_day_is_one_window_and_polar_night_none():
    tromso = Place(69.65, 18.96)
    for day, count in (
        (datetime(2027, 6, 10, tzinfo=UTC), 1),
        (datetime(2027, 12, 10, tzinfo=UTC), 0),
    ):
        windows = found(tromso, Wanted(0, 0, 0, 90), day, day + timedelta(days=10))
        assert [window.length for window in windows] == [timedelta(days=10)] * count


def test_at_the_pole_the_arc_counts_from_the_meridian_of_the_longitude():
    start = datetime(2027, 7, 1, tzinfo=UTC)
    windows = found(Place(90.0, 0.0), Wanted(180, 195, 0, 90), start, start + timedelta(days=3))
    assert [window.start_at.hour for window in windows] == [12, 12, 12]  # noon at Greenwich
    assert all(
        abs(window.length - timedelta(hours=1)) < timedelta(seconds=10) for window in windows
    )


@pytest.mark.parametrize(
    ("zone", "night"),
    [
        ("Europe/Lisbon", (2027, 3, 28)),
        ("Pacific/Auckland", (2027, 4, 4)),
        ("Pacific/Apia", (2027, 1, 1)),
    ],
)
def test_the_clock_makes_no_difference_to_the_instants(zone, night):
    # The nights in which clocks change (Lisbon forward, Auckland back), and one without.
    here = ZoneInfo(zone)
    start = datetime(*night, tzinfo=here) - timedelta(days=1)
    end = start + timedelta(days=3)
    wanted = Wanted(200, 160, -30, 20)
    ours = found(Place(-36.85, 174.76), wanted, start, end)
    theirs = found(Place(-36.85, 174.76), wanted, start.astimezone(UTC), end.astimezone(UTC))
    assert ours
    assert all(window.start_at.tzinfo is here for window in ours)
    assert [(w.start_at.astimezone(UTC), w.end_at.astimezone(UTC)) for w in ours] == [
        (w.start_at, w.end_at) for w in theirs
    ]


def test_a_window_goes_on_across_midnight():
    reykjavik, start = Place(64.15, -21.94), datetime(2027, 6, 20, 12, tzinfo=UTC)
    (window,) = found(reykjavik, Wanted(300, 30, -3, 10), start, start + timedelta(days=1))
    assert (window.start_at.day, window.end_at.day) == (20, 21)


def test_windows_are_cut_off_at_the_ends_asked_for():
    noon_at = sun_events(LISBON, date(2027, 6, 9), UTC).noon_at
    span = (noon_at - timedelta(minutes=7), noon_at + timedelta(seconds=40))
    assert found(LISBON, Wanted(90, 270, 0, 90), *span) == [Window(*span)]


def test_one_point_of_a_horizon_holds_all_round():
    flat = found(LISBON, Wanted(0, 0, 0, 90, ((77.0, 20.0),)), *JUNE)
    bound = found(LISBON, Wanted(0, 0, 20, 90), *JUNE)
    assert flat == bound


def test_a_horizon_joins_round_north():
    # Between 300 and 60 the outline runs level at 10 across north; elsewhere it is open.
    outline = ((60.0, 10.0), (61.0, -10.0), (299.0, -10.0), (300.0, 10.0))
    start = datetime(2027, 6, 20, tzinfo=UTC)
    end = start + timedelta(days=2)
    place = Place(69.65, 18.96)
    hidden = found(place, Wanted(300, 60, 0, 90, outline), start, end)
    assert hidden == found(place, Wanted(300, 60, 10, 90), start, end)


def test_without_a_horizon_the_sun_may_be_wanted_below_level():
    start = datetime(2027, 6, 9, tzinfo=UTC)
    dusk = found(LISBON, Wanted(180, 360, -6, -4), start, start + timedelta(days=1))
    assert len(dusk) == 1
    assert found(LISBON, Wanted(180, 360, -6, -4, ((0.0, 0.0),)), *JUNE) == []


def test_a_wider_arc_and_wider_bounds_never_lose_time():
    def minutes_of(wanted: Wanted) -> float:
        windows = found(Place(-33.9, 18.4), wanted, *JUNE)
        return sum(window.length.total_seconds() for window in windows) / 60

    narrow, wide = Wanted(305, 315, 10, 20), Wanted(300, 320, 5, 30)
    assert 0 < minutes_of(narrow) < minutes_of(Wanted(305, 320, 10, 20)) < minutes_of(wide)
    assert minutes_of(replace(wide, horizon=((0.0, 12.0),))) < minutes_of(wide)


def test_no_time_and_no_height_hold_no_window():
    at = datetime(2027, 6, 9, 12, tzinfo=UTC)
    assert found(LISBON, Wanted(0, 0, 0, 90), at, at) == []
    assert found(LISBON, Wanted(0, 0, 30, 30), *JUNE) == []


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"end": datetime(2027, 5, 1, tzinfo=UTC)}, "end"),
        ({"start": JUNE[0].replace(tzinfo=None)}, "start"),
        ({"end": JUNE[1].replace(tzinfo=None)}, "end"),
        ({"start": date(2027, 6, 1)}, "start"),
        ({"start": datetime(1900, 6, 1, tzinfo=UTC)}, "start"),
        ({"end": datetime(2100, 6, 1, tzinfo=UTC)}, "end"),
        ({"from_deg": -1}, "from_deg"),
        ({"to_deg": 360.5}, "to_deg"),
        ({"from_deg": nan}, "from_deg"),
        ({"to_deg": None}, "to_deg"),
        ({"elevation_min_deg": 26}, "elevation_min_deg"),
        ({"elevation_min_deg": -91}, "elevation_min_deg"),
        ({"elevation_max_deg": 90.1}, "elevation_max_deg"),
        ({"elevation_max_deg": inf}, "elevation_max_deg"),
        ({"horizon": ((20.0, 5.0), (10.0, 5.0))}, "horizon"),
        ({"horizon": ((20.0, nan),)}, "horizon"),
        ({"place": Place(91, 0)}, "latitude_deg"),
        ({"place": Place(None, 0)}, "latitude_deg"),
    ],
)
def test_what_cannot_be_answered_is_refused_by_name(change, named):
    asked = {
        "place": LISBON,
        "start": datetime(2027, 6, 1, tzinfo=UTC),
        "end": datetime(2027, 6, 2, tzinfo=UTC),
        "from_deg": 200,
        "to_deg": 250,
        "elevation_min_deg": 5,
        "elevation_max_deg": 25,
    }
    with pytest.raises(OutOfRange, match=named):
        light_windows(**asked | change)


def test_the_last_year_of_the_series_is_answered_to_its_end():
    start, end = datetime(2099, 12, 31, tzinfo=UTC), datetime(2100, 1, 1, tzinfo=UTC)
    assert len(found(LISBON, Wanted(0, 0, 0, 90), start, end)) == 1


@pytest.mark.parametrize("pair", [("a", 5), (10,), None, (1, 2, 3)])
def test_a_horizon_pair_that_is_none_is_refused_by_its_number(pair):
    start = datetime(2027, 3, 28, tzinfo=UTC)
    with pytest.raises(OutOfRange, match="horizon pair 2"):
        light_windows(
            Place(-41.3, 174.8),
            start,
            start + timedelta(days=1),
            from_deg=0,
            to_deg=360,
            elevation_min_deg=0,
            elevation_max_deg=90,
            horizon=((0, 5), pair),
        )
