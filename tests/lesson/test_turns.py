"""Everybody gets every place in the queue."""

import pytest

from planning.lesson.turns import turn_order
from planning.physics.errors import OutOfRange


def test_each_set_starts_one_person_later():
    assert turn_order(["Ana", "Ben", "Cyd"], 0) == ["Ana", "Ben", "Cyd"]
    assert turn_order(["Ana", "Ben", "Cyd"], 1) == ["Ben", "Cyd", "Ana"]


@pytest.mark.parametrize("count", range(1, 9))
def test_over_as_many_sets_as_people_each_stands_once_in_each_place(count):
    # A Latin square: every row and every column is a permutation.
    people = list(range(count))
    day = [turn_order(people, set_index) for set_index in range(count)]
    for line in [*day, *zip(*day, strict=True)]:
        assert sorted(line) == people


def test_more_sets_than_people_begin_again():
    assert turn_order("abc", 3) == turn_order("abc", 0)


def test_nobody_has_no_turns():
    assert turn_order([], 2) == []


def test_a_set_before_the_first_is_refused():
    with pytest.raises(OutOfRange, match="set_index"):
        turn_order(["Ana"], -1)
