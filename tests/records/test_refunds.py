"""The share refunded by terms rows: the ends of each span, and days on the clock of the place."""

from datetime import UTC, datetime, timedelta

import pytest

from workshops.refunds import refund_share, whole_days_left

# The usual rows: 90 days before all, 60 half, later nothing (common practice, no source).
ROWS = [(60, 0.5), (90, 1.0)]
START = datetime(2027, 5, 8, 8, 0, tzinfo=UTC)  # 09:00 in London, summer time


@pytest.mark.parametrize(
    ("days_left", "share"), [(400, 1.0), (90, 1.0), (89, 0.5), (60, 0.5), (59, 0), (0, 0), (-1, 0)]
)
def test_the_last_row_reached_counts(days_left, share):
    assert refund_share(ROWS, days_left) == share


def test_without_rows_nothing_is_refunded():
    assert refund_share([], 400) == 0


def test_a_row_of_day_0_ends_at_the_start():
    assert refund_share([(0, 0.25)], whole_days_left(START, START, "Europe/London")) == 0.25
    late = START + timedelta(seconds=1)
    assert refund_share([(0, 0.25)], whole_days_left(START, late, "Europe/London")) == 0


def test_days_are_those_of_the_wall_clock_across_a_change_to_summer_time():
    # London put its clocks forward on 28 March 2027 at 01:00 UTC: the last Sunday of March.
    nine_o_clock_in_winter = datetime(2027, 3, 9, 9, 0, tzinfo=UTC)
    assert whole_days_left(START, nine_o_clock_in_winter, "Europe/London") == 60
    a_minute_later = nine_o_clock_in_winter + timedelta(minutes=1)
    assert whole_days_left(START, a_minute_later, "Europe/London") == 59
