"""From a camera's clock to true time: Exif's own meaning, zones, nights of change."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from planning.after.clocks import (
    AS_CAMERA_SAYS,
    AS_PLACE,
    NO_TIME,
    SHOWN,
    Clock,
    TrueTime,
    add_from_ahead_s,
    add_from_shown_s,
    ahead_s,
    instants,
    place_offset_s,
    true_time,
)

NOON = datetime(2027, 5, 8, 12, 0, tzinfo=UTC)


def test_a_written_offset_is_local_time_less_utc():
    # CIPA DC-008-2019, OffsetTimeOriginal "+09:00" beside DateTimeOriginal "2027:05:08 12:00:00":
    # the picture was taken at 03:00 UTC, as RFC 3339 reads 2027-05-08T12:00:00+09:00.
    outside = datetime.fromisoformat("2027-05-08T12:00:00+09:00")
    assert true_time(NOON, 540, None, 0.0) == TrueTime(outside, AS_CAMERA_SAYS)
    # West of Greenwich it is negative: Newfoundland's summer, -02:30.
    assert true_time(NOON, -150, None, 0.0).at == NOON + timedelta(hours=2.5)


def test_what_somebody_found_beats_what_the_camera_says():
    told = true_time(NOON, 540, Clock(-7200.0, SHOWN), 3600.0)
    assert told == TrueTime(NOON - timedelta(hours=2), SHOWN)


def test_a_camera_that_says_nothing_keeps_the_clock_of_the_place():
    assert true_time(NOON, None, None, 3600.0) == TrueTime(NOON - timedelta(hours=1), AS_PLACE)
    assert true_time(None, 540, Clock(0.0, SHOWN), 0.0) == TrueTime(None, NO_TIME)


@pytest.mark.parametrize(
    ("zone", "at", "hours"),
    [  # IANA time zone database, 2024a
        ("Europe/London", datetime(2027, 1, 8, tzinfo=UTC), 0.0),
        ("Europe/London", datetime(2027, 7, 8, tzinfo=UTC), 1.0),
        ("Pacific/Auckland", datetime(2027, 1, 8, tzinfo=UTC), 13.0),  # summer there
        ("Pacific/Auckland", datetime(2027, 7, 8, tzinfo=UTC), 12.0),
        ("Australia/Lord_Howe", datetime(2027, 1, 8, tzinfo=UTC), 11.0),
        ("Australia/Lord_Howe", datetime(2027, 7, 8, tzinfo=UTC), 10.5),
        ("Asia/Kathmandu", datetime(2027, 7, 8, tzinfo=UTC), 5.75),
        ("America/St_Johns", datetime(2027, 7, 8, tzinfo=UTC), -2.5),
    ],
)
def test_a_place_stands_ahead_of_utc_by_its_zone(zone, at, hours):
    assert place_offset_s(at, zone) == hours * 3600


def test_a_frame_of_the_clock_page_gives_the_offset_and_any_frame_its_true_time():
    # The page shows 09:58:12 in Lisbon, 08:58:12 UTC; the camera is a year and 62 minutes ahead.
    shown_at = datetime(2027, 5, 8, 9, 58, 12, tzinfo=ZoneInfo("Europe/Lisbon"))
    clock_at = datetime(2028, 5, 8, 11, 0, 12, tzinfo=UTC)
    add_s = add_from_shown_s(clock_at, shown_at)
    later = true_time(clock_at + timedelta(hours=3), None, Clock(add_s, SHOWN), 0.0)
    assert later.at == shown_at + timedelta(hours=3)
    # 2028 has a leap day between: 366 days, and 62 minutes over the clock of the place.
    assert ahead_s(add_s, 3600.0) == 366 * 86400 + 62 * 60


def test_ahead_is_taken_off_and_behind_is_added():
    # One hour ahead of a place at UTC+1: two hours ahead of UTC.
    assert add_from_ahead_s(3600.0, 3600.0) == -7200.0
    assert add_from_ahead_s(-3600.0, 3600.0) == 0.0
    assert ahead_s(add_from_ahead_s(125.0, -9000.0), -9000.0) == 125.0


def test_a_time_of_the_night_of_a_change_comes_once_twice_or_never():
    # Europe/London 2027: forward on 28 March at 01:00 UTC, back on 31 October at 01:00 UTC.
    assert instants(date(2027, 3, 28), time(1, 30), "Europe/London") == ()
    twice = instants(date(2027, 10, 31), time(1, 30), "Europe/London")
    assert twice == (
        datetime(2027, 10, 31, 0, 30, tzinfo=UTC),
        datetime(2027, 10, 31, 1, 30, tzinfo=UTC),
    )
    assert len(instants(date(2027, 7, 1), time(1, 30), "Europe/London")) == 1


def test_lord_howe_leaves_out_and_repeats_half_an_hour():
    # Australia/Lord_Howe 2027: back from 02:00 to 01:30 on 4 April, forward from 02:00 to 02:30 on
    # 3 October (tz database).
    zone = "Australia/Lord_Howe"
    first, second = instants(date(2027, 4, 4), time(1, 45), zone)
    assert second - first == timedelta(minutes=30)
    assert instants(date(2027, 10, 3), time(2, 15), zone) == ()
    assert len(instants(date(2027, 4, 4), time(1, 15), zone)) == 1


def test_a_camera_kept_on_one_clock_through_the_night_of_a_change_stays_right():
    # Before the change 00:30 British summer time; two hours later its clock says 02:30, and it is
    # 00:30 + 2 h of true time whatever the clock on the wall says.
    add_s = add_from_shown_s(
        datetime(2027, 10, 31, 0, 30, tzinfo=UTC), datetime(2027, 10, 30, 23, 30, tzinfo=UTC)
    )
    after = true_time(datetime(2027, 10, 31, 2, 30, tzinfo=UTC), None, Clock(add_s, SHOWN), 0.0)
    assert after.at == datetime(2027, 10, 31, 1, 30, tzinfo=UTC)
