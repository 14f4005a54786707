"""Days that do not fit: what would have to give, by how many minutes, and what a day breaks."""

from dataclasses import replace
from datetime import timedelta

import pytest

from planning.lesson.day import best_day
from planning.lesson.day_check import check_day
from planning.lesson.day_inputs import DayBreak, DayPlace, Span
from tests.lesson.every_day import best_by_trying, some_day
from tests.lesson.test_day import at, day, short


def least(proposal) -> dict[str, int | None]:
    return {one.kind: one.minutes for one in proposal.relaxed}


def test_two_sets_too_long_for_the_day_lack_what_they_lack():
    # 80 minutes from 09:00 with 10 of closing end at 10:30; the day ends at 10:10.
    proposal = best_day(day(short(1), short(2), end="10:10", closing_min=10))
    assert not proposal.fits
    assert least(proposal) == {"finish": 20, "begin": 20}
    (fault,) = proposal.faults
    assert (fault.kind, fault.minutes) == ("finish", 20.0)


def test_a_pin_in_the_way_lacks_least():
    # Pinned at 09:20 it leaves 20 minutes before and, over at 10:00, 20 until 10:20: none has 40.
    proposal = best_day(day(short(1, "09:20", pinned=True), short(2), end="10:20"))
    assert least(proposal) == {"finish": 20, "begin": 20, "pin": 20}


def test_permitted_hours_that_are_too_short_lack_the_difference():
    one = short(1, earliest_at=at("10:00"), latest_at=at("10:25"))
    proposal = best_day(day(one))
    # 40 minutes in 25: each end by 7.5, but rigging begins on the steps of the clock: at 09:55 it
    # is over at 10:35, ten too late; at 09:50 by half past, ten too early.
    assert least(proposal) == {"span": 10, "finish": None, "begin": None}


def test_a_break_without_room_says_by_how_much_it_would_have_to_slip():
    lunch = DayBreak("lunch", at("09:20"), at("09:30"), 30)
    proposal = best_day(day(short(1), short(2), end="10:50", breaks=(lunch,)))
    # No room before: 09:20 and 30 minutes, then 80 of sets end at 11:10. After the first set it
    # begins at 09:40, ten minutes late, and all is over at 10:50.
    assert least(proposal)["break"] == 10
    assert [f"{one.start_at:%H:%M}" for one in proposal.breaks] == ["09:40"]
    assert [(one.kind, one.minutes) for one in proposal.faults] == [("break", 10.0)]


def test_the_water_is_told_by_how_much_and_never_asked_to_wait():
    spans = (Span(at("09:00"), at("10:00")),)
    proposal = best_day(day(short(1, dry=spans), short(2, dry=spans)))
    # 80 minutes in a dry hour: 20 too many, and no other limit helps.
    assert least(proposal)["tide"] == 20
    assert not proposal.fits
    assert proposal.placed == ()


def test_kinds_that_are_not_enough_alone_give_together():
    # The hours of a gate want ten minutes more, and so does the day: five at either end of both.
    gated = short(1, earliest_at=at("09:00"), latest_at=at("09:30"))
    proposal = best_day(day(gated, short(2), short(3), end="10:50"))
    lacks = least(proposal)
    assert lacks["finish"] is None
    assert lacks["span"] is None
    assert lacks["all"] == 5


def widened(made, kind, minutes):
    """The day with its end, or its begin, further out; in the test's own words."""
    more = timedelta(minutes=minutes)
    if kind == "finish":
        return replace(made, end_at=made.end_at + more)
    return replace(made, start_at=made.start_at - more)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("kind", ["finish", "begin"])
def test_one_minute_less_than_told_would_not_do(seed, kind):
    made = some_day(seed * 10 + 3, 3, slack_min=-25, on_steps=False)
    proposal = best_day(made)
    lacks = None if proposal.fits else least(proposal)[kind]
    if lacks is None:
        assert proposal.fits == (best_by_trying(made) is not None)
        return
    assert best_by_trying(widened(made, kind, lacks)) is not None
    assert best_by_trying(widened(made, kind, lacks - 1)) is None


def test_what_todays_plan_breaks_is_told_set_by_set():
    walk = DayPlace(1, "Hill", walk_min=10)
    made = replace(
        day(
            short(1, "09:05"),
            short(2, "09:30", latest_at=at("10:00")),
            short(3, "12:30", dry=(Span(at("06:00"), at("12:00")),)),
            intro_min=20,
            closing_min=30,
        ),
        places=(walk, DayPlace(2, "Shore")),
    )
    found = check_day(made, {one.key: one.start_at for one in made.sets})
    told = {(fault.kind, fault.key): fault.minutes for fault in found}
    assert told == {
        ("begin", 1): 25.0,  # welcome until 09:20, walk until 09:30
        ("way", 2): 15.0,  # the first is over at 09:45
        ("span", 2): 10.0,
        ("tide", 3): 80.0,  # out at 13:20
        ("finish", 3): 50.0,  # 13:10, walk until 13:20, closing until 13:50
    }


def test_a_break_todays_plan_has_no_room_for_is_told_with_its_title():
    lunch = DayBreak("lunch", at("09:50"), at("10:00"), 30)
    made = day(short(1, "09:00"), short(2, "10:00"), breaks=(lunch,))
    # From 09:50 until 10:20, and the second set begins at 10:00: 20 minutes are missing. After it
    # lunch would begin at 10:40, 40 minutes late.
    (fault,) = check_day(made, {one.key: one.start_at for one in made.sets})
    assert (fault.kind, fault.title, fault.minutes) == ("break", "lunch", 20.0)


def test_a_day_that_holds_breaks_nothing():
    made = day(short(1, "09:00"), short(2, "10:00", place=2))
    assert check_day(made, {one.key: one.start_at for one in made.sets}) == ()
