"""The rule of twelfths between official high and low waters."""

import math
from datetime import UTC, datetime, timedelta, timezone
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from planning.physics.errors import OutOfRange
from planning.physics.water import TurningPoint, clear_by_at, dry_spans, tide_height_m

NOON = datetime(2024, 5, 1, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)
# High 3.73, low 0.69 six hours on, high again.
TABLE = [
    TurningPoint(NOON, 3.73),
    TurningPoint(NOON + 6 * HOUR, 0.69),
    TurningPoint(NOON + 12 * HOUR, 3.73),
]


# Range 3.04: 1, 3, 6, 9, 11 twelfths gone after 1 to 5 h.
@pytest.mark.parametrize(
    ("hours", "height_m"),
    [(0, 3.73), (1, 3.477), (2, 2.970), (3, 2.210), (4, 1.450), (5, 0.943), (6, 0.69)],
)
def test_the_ebb_goes_by_twelfths(hours, height_m):
    assert tide_height_m(NOON + hours * HOUR, TABLE) == pytest.approx(height_m, abs=5e-4)


def test_the_flood_mirrors_the_ebb():
    for hours in (1, 2.5, 4):
        ebb_m = tide_height_m(NOON + (6 - hours) * HOUR, TABLE)
        assert tide_height_m(NOON + (6 + hours) * HOUR, TABLE) == pytest.approx(ebb_m)


def test_the_rule_stays_near_a_cosine():
    # (1 - cos) / 2 by hand. At a sixth 1/12 against 6.70 %: 1.64 % of the range. Between, x / 12
    # parts most where sin(pi x / 6) = 1 / pi, x = 0.619: 5.16 against 2.60 %, 2.56 % of it.
    for minutes in range(0, 361, 5):
        cosine_m = 2.21 + 1.52 * math.cos(math.pi * minutes / 360)
        height_m = tide_height_m(NOON + timedelta(minutes=minutes), TABLE)
        share = 0.0165 if minutes % 60 == 0 else 0.0257
        assert height_m == pytest.approx(cosine_m, abs=share * 3.04)


def test_the_path_floods_a_margin_before_the_water_is_there():
    # Half tide, 2.21 m, comes three hours after low water, at 21:00.
    after = NOON + 4 * HOUR
    assert clear_by_at(TABLE, 2.21, after, HOUR) == NOON + 8 * HOUR
    assert clear_by_at(TABLE, 2.21, after, timedelta(0)) == NOON + 9 * HOUR


def test_a_margin_already_begun_means_now():
    after = NOON + 8.5 * HOUR
    assert clear_by_at(TABLE, 2.21, after, HOUR) == after


def test_water_that_stands_there_already_means_now():
    after = NOON + HOUR
    assert clear_by_at(TABLE, 2.21, after, HOUR) == after


def test_water_that_never_comes_is_none():
    assert clear_by_at(TABLE, 3.74, NOON + 4 * HOUR, HOUR) is None
    assert clear_by_at(TABLE[:2], 2.21, NOON + 4 * HOUR, HOUR) is None


def test_a_lower_path_floods_earlier():
    after = NOON + 6 * HOUR
    times = [clear_by_at(TABLE, height_m, after, timedelta(0)) for height_m in (1, 2, 3, 3.7)]
    assert all(first < second for first, second in pairwise(times))


def test_the_answer_keeps_the_zone_asked_in_over_a_change_of_clock():
    # Clocks go forward at 01:00 UTC on 31 March 2024; the tide does not notice.
    london = ZoneInfo("Europe/London")
    low = datetime(2024, 3, 30, 22, tzinfo=london)
    table = [TurningPoint(low, 0.0), TurningPoint(datetime(2024, 3, 31, 5, tzinfo=london), 6.0)]
    assert tide_height_m(low + timedelta(hours=3), table) == pytest.approx(3.0)
    answer = clear_by_at(table, 3.0, low, timedelta(0))
    assert answer == datetime(2024, 3, 31, 1, tzinfo=UTC)
    assert answer.tzinfo is london


def test_the_tables_own_clock_may_differ_from_the_question():
    # A table without summer time, asked in summer time, in the southern hemisphere.
    standard = timezone(timedelta(hours=12))
    table = [
        TurningPoint(datetime(2024, 12, 1, 6, tzinfo=standard), 0.4),
        TurningPoint(datetime(2024, 12, 1, 12, tzinfo=standard), 2.8),
    ]
    at = datetime(2024, 12, 1, 10, tzinfo=ZoneInfo("Pacific/Auckland"))
    assert tide_height_m(at, table) == pytest.approx(1.6)


@pytest.mark.parametrize("at", [NOON - HOUR, NOON + 13 * HOUR])
def test_outside_the_table_no_height_is_made_up(at):
    with pytest.raises(OutOfRange, match="inside the tide table"):
        tide_height_m(at, TABLE)
    with pytest.raises(OutOfRange, match="inside the tide table"):
        clear_by_at(TABLE, 2, at, HOUR)


@pytest.mark.parametrize(
    "table",
    [
        [],
        TABLE[:1],
        TABLE[::-1],
        [TABLE[0], TABLE[0]],
        [TurningPoint(NOON, 3.0), TurningPoint(NOON + HOUR, 2.0), TurningPoint(NOON + 2 * HOUR, 1)],
        [TurningPoint(NOON.replace(tzinfo=None), 3.0), TABLE[1]],
    ],
    ids=["empty", "short", "backwards", "twice", "not turning", "without zone"],
)
def test_a_table_that_is_none_is_refused(table):
    with pytest.raises(OutOfRange, match="turning_points"):
        tide_height_m(NOON, table)


def test_other_bad_inputs_are_refused_by_name():
    with pytest.raises(OutOfRange, match="at must carry a time zone"):
        tide_height_m(NOON.replace(tzinfo=None), TABLE)
    with pytest.raises(OutOfRange, match="margin"):
        clear_by_at(TABLE, 2, NOON, -HOUR)
    with pytest.raises(OutOfRange, match="height_m"):
        clear_by_at(TABLE, math.nan, NOON, HOUR)
    with pytest.raises(OutOfRange, match="height_m"):
        tide_height_m(NOON, [TurningPoint(NOON, math.nan), TABLE[1]])


# One tide worked by hand: low 0.0 m at 06:00, high 6.0 m at 12:00, low again at 18:00. By the
# rule of twelfths it stands at 3.0 m half way, at 09:00 and 15:00, and at 1.5 m after two hours.
TWELVE = [
    TurningPoint(datetime(2027, 5, 8, 6, tzinfo=UTC), 0.0),
    TurningPoint(datetime(2027, 5, 8, 12, tzinfo=UTC), 6.0),
    TurningPoint(datetime(2027, 5, 8, 18, tzinfo=UTC), 0.0),
]


def hand(hour, minute=0):
    return datetime(2027, 5, 8, hour, minute, tzinfo=UTC)


def clock_spans(height_m, start, end, margin_min=0):
    spans = dry_spans(TWELVE, height_m, start, end, timedelta(minutes=margin_min))
    return [(f"{first:%H:%M}", f"{last:%H:%M}") for first, last in spans]


def test_a_height_may_be_passed_until_the_flood_and_again_when_the_water_has_fallen():
    assert clock_spans(3.0, hand(6), hand(18)) == [("06:00", "09:00"), ("15:00", "18:00")]


def test_the_margin_is_kept_before_the_flood_and_not_while_the_water_falls():
    assert clock_spans(3.0, hand(6), hand(18), 60) == [("06:00", "08:00"), ("15:00", "18:00")]


def test_a_higher_point_stays_dry_for_longer_and_one_above_high_water_all_day():
    assert clock_spans(1.5, hand(6), hand(12)) == [("06:00", "08:00")]
    assert clock_spans(7.0, hand(6), hand(18)) == [("06:00", "18:00")]


def test_no_span_is_left_where_it_is_flooded_throughout_or_the_margin_eats_it():
    assert clock_spans(3.0, hand(10), hand(14)) == []
    assert clock_spans(3.0, hand(8, 30), hand(12), 60) == []


def test_any_time_in_a_dry_span_has_its_end_as_clear_by():
    margin = timedelta(minutes=45)
    ((first, last), _later) = dry_spans(TWELVE, 2.0, hand(6), hand(18), margin)
    for share in (0.0, 0.3, 0.99):
        at = first + (last - first) * share
        found = clear_by_at(TWELVE, 2.0, at, margin)
        assert abs(found - last) < timedelta(seconds=1)


def test_dry_spans_of_a_time_no_table_covers_are_refused():
    with pytest.raises(OutOfRange, match="inside the tide table"):
        dry_spans(TWELVE, 2.0, hand(6), hand(19), timedelta(0))
