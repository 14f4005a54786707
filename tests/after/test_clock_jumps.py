"""A camera's clock set anew in the middle of the day, told by the numbers of its files.

CIPA DC-009 (DCF) 3.2: a file's name ends in four digits that go on from frame to frame.
"""

from datetime import UTC, datetime, timedelta

import pytest

from planning.after.clock_jumps import BACK, SHARED, ZONES, Jump, Shown, jump

START = datetime(2027, 5, 8, 15, tzinfo=UTC)


def day(*minutes: float, first: int = 120, name: str = "IMG_{:04}.JPG", offset=None) -> list[Shown]:
    return [
        Shown(name.format(first + number), START + timedelta(minutes=at), offset)
        for number, at in enumerate(minutes)
    ]


def test_a_clock_that_runs_on_is_left_alone():
    assert jump([]) is None
    assert jump(day(0)) is None
    assert jump(day(0, 1, 1, 30, 200)) is None
    # Put forward it looks like a pause.
    assert jump(day(0, 1, 62, 63)) is None


def test_a_clock_put_back_is_told_with_the_files_on_both_sides():
    found = jump(reversed(day(0, 10, -50, -40)))
    assert found == Jump(BACK, "IMG_0121.JPG", "IMG_0122.JPG", 3600)


@pytest.mark.parametrize(
    "frames",
    [
        day(100, 101, first=1) + day(0, 1, 2, first=9997),  # the numbers began again from 1
        day(100, 101, first=10) + day(0, 1, first=500),  # another card
        day(0, 0.2, 0.1, 0.3),  # a burst written out of order
        day(100, 101) + day(0, 1, first=122, name="DSC_{:04}.JPG"),  # another way of naming
        day(100, 0, name="picture.jpg"),  # no numbers at all
        day(*range(9)) + day(*range(1440, 1449)),  # numbered from the same again the next day
    ],
)
def test_what_only_looks_so_is_left_alone(frames):
    assert jump(frames) is None


def test_a_clock_put_back_by_years_is_told_as_well():
    assert jump(day(0, 1, -600_000, -599_999)).back_s == 600_001 * 60


def test_two_bodies_under_one_name_are_told_from_a_clock_that_was_changed():
    one, other = day(*range(20)), day(*range(60, 80), first=121)
    assert jump(one + other) == Jump(SHARED)


def test_an_offset_that_changes_is_told():
    frames = day(0, 1, offset=60) + day(2, 3, first=122, offset=120)
    assert jump(frames) == Jump(ZONES, "IMG_0121.JPG", "IMG_0122.JPG")
    # Put back by the hour that its zone goes back: the clock is what matters.
    assert jump(day(0, 1, offset=120) + day(-58, first=122, offset=60)).kind == BACK
