"""The day's order against every day there is, tried one by one, and against days worked by hand.

There is no published table of such days: the referee is ``every_day``, written from the definition
alone (for days of six to eight sets see ``test_long_days``). Durations and spans of the small days
are ours; what is expected is worked out beside them.
"""

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from planning.lesson.day import best_day
from planning.lesson.day_check import check_day
from planning.lesson.day_inputs import Day, DayBreak, DayPlace, DaySet, Span, Way
from planning.physics.errors import OutOfRange
from tests.lesson.every_day import best_by_trying, cost, some_day


def at(clock: str, day: str = "2027-05-08") -> datetime:
    return datetime.fromisoformat(f"{day}T{clock}:00+01:00")


HILL, SHORE = DayPlace(1, "Hill"), DayPlace(2, "Shore")
# Forty minutes: 10 of rigging, 20 of pictures, 10 of striking.
SHORT = {"rig_min": 10, "demo_min": 5, "turns_min": 15, "strike_min": 10}


def short(key: int, start: str = "09:00", place: int = 1, **limits) -> DaySet:
    return DaySet(key, f"Set {key}", place, at(start), **SHORT | limits)


def day(*sets: DaySet, start: str = "09:00", end: str = "13:00", **more) -> Day:
    return Day(at(start), at(end), sets, (HILL, SHORE), **{"ways": (Way(1, 2, 15),)} | more)


def clocks(proposal) -> dict[int, str]:
    return {placed.one.key: f"{placed.start_at:%H:%M}" for placed in proposal.placed}


def agree(one: Day) -> None:
    wanted, found = best_by_trying(one), best_day(one)
    assert found.proved
    assert found.fits == (wanted is not None)
    if wanted is not None:
        assert cost(one, [(two.one, two.start_at) for two in found.placed]) == wanted
        assert found.finish_at == wanted[1]


@pytest.mark.parametrize("seed", range(9))
@pytest.mark.parametrize("on_steps", [True, False])
def test_no_day_of_one_to_three_sets_is_better(seed, on_steps):
    for count, slack_min in ((1, 40), (2, 30), (3, 15)):
        agree(some_day(seed * 10 + count, count, slack_min=slack_min, on_steps=on_steps))


@pytest.mark.parametrize(("seed", "count", "slack_min"), [(0, 4, 10), (1, 4, 10), (2, 5, 0)])
def test_no_day_of_four_or_five_sets_is_better(seed, count, slack_min):
    agree(some_day(seed * 10 + count, count, slack_min=slack_min, on_steps=seed % 2 == 0))


def test_the_referee_is_given_days_with_everything_in_them():
    days = [
        some_day(seed * 10 + count, count, slack_min=15)
        for seed in range(12)
        for count in (2, 3)
    ]  # fmt: skip
    sets = [one for made in days for one in made.sets]
    assert any(made.breaks for made in days)
    assert any(len(made.breaks) > 1 for made in days)
    assert any(len({one.place for one in made.sets}) > 1 for made in days)
    for wanted in ("pinned", "latest_at", "earliest_at", "dry", "light"):
        assert any(getattr(one, wanted) for one in sets), wanted


def test_light_is_counted_while_pictures_are_made_and_not_while_rigging_or_striking():
    # Pictures from 10 minutes after the start for 20: at 09:50 they fill 10:00 to 10:20 exactly.
    one = short(1, light=(Span(at("10:00"), at("10:20")),))
    proposal = best_day(day(one))
    assert clocks(proposal) == {1: "09:50"}
    assert proposal.placed[0].light_min == pytest.approx(20.0)


def test_of_two_sets_that_want_one_hour_the_one_with_less_to_lose_gives_way():
    # Both want 10:00 to 10:20; the second one only needs 5 of its 20 minutes to lie there.
    first = short(1, light=(Span(at("10:00"), at("10:20")),))
    second = short(2, light=(Span(at("10:00"), at("10:20")), Span(at("10:45"), at("11:00"))))
    proposal = best_day(day(first, second))
    assert clocks(proposal) == {1: "09:50", 2: "10:30"}
    assert [round(one.lost_min) for one in proposal.placed] == [0, 5]
    (given,) = proposal.given
    # At 09:50 it would have all of its own, and the first one none.
    assert (given.key, given.rivals, given.alone) == (2, (1,), False)


def test_a_set_that_gives_up_light_is_told_which_set_would_lose_it_instead():
    wide = (Span(at("10:00"), at("10:20")),)
    proposal = best_day(day(short(1, light=wide), short(2, light=wide)))
    lost = {one.one.key: round(one.lost_min) for one in proposal.placed}
    # 40 minutes apart, in a light of 20: one of them has it all, or both halves of nothing.
    assert sorted(lost.values()) == [0, 20]
    (given,) = proposal.given
    assert (lost[given.key], given.alone) == (20, False)
    assert given.rivals == (3 - given.key,)


def test_a_pinned_set_begins_to_the_minute_where_it_is_pinned():
    proposal = best_day(day(short(1, "10:03", pinned=True), short(2), short(3)))
    assert clocks(proposal)[1] == "10:03"
    # The others round it: the first is over at 09:40, and the next step after 10:43 is 10:45.
    assert sorted(clocks(proposal).values()) == ["09:00", "10:03", "10:45"]


def test_what_the_water_closes_comes_before_it_walk_and_all():
    shore = DayPlace(2, "Shore", walk_min=12)
    wet = short(2, place=2, dry=(Span(at("06:00"), at("10:30")),))
    made = Day(at("09:00"), at("13:00"), (short(1), wet), (HILL, shore), ways=(Way(1, 2, 15),))
    proposal = best_day(made)
    # First 09:15 (walk in 12 minutes from 09:00, next step), over at 09:55 and out at 10:07.
    # After the hill it would be over at 10:35 and out at 10:47: too late.
    assert clocks(proposal) == {2: "09:15", 1: "10:10"}


def test_a_tide_that_comes_twice_leaves_the_hours_between():
    spans = (Span(at("06:00"), at("09:30")), Span(at("11:30"), at("18:00")))
    proposal = best_day(day(short(1, dry=spans)))
    assert clocks(proposal) == {1: "11:30"}


def test_a_break_lies_in_no_set_and_not_on_the_way():
    lunch = DayBreak("lunch", at("10:00"), at("10:10"), 30)
    proposal = best_day(day(short(1), short(2, place=2), breaks=(lunch,)))
    (rest,) = proposal.breaks
    # 09:00 to 09:40 on the hill; the way of 15 minutes first, lunch at 10:00, the shore from 10:30.
    assert f"{rest.start_at:%H:%M}" == "10:00"
    assert sorted(clocks(proposal).values()) == ["09:00", "10:30"]


def test_the_way_there_and_the_way_back_may_differ():
    one_way = best_day(day(short(1), short(2, place=2), ways=(Way(1, 2, 60), Way(2, 1, 10))))
    assert clocks(one_way) == {2: "09:00", 1: "09:50"}


def test_an_unknown_way_takes_the_stated_minutes_and_both_walks():
    places = (replace(HILL, walk_min=5), replace(SHORE, walk_min=7))
    made = Day(at("09:00"), at("13:00"), (short(1), short(2, place=2)), places, unknown_way_min=30)
    # 09:05, over at 09:45; 5 + 30 + 7 minutes on the way: 10:27, next step 10:30. The other way
    # round it begins at 09:10 and the last one at 10:35.
    assert clocks(best_day(made)) == {1: "09:05", 2: "10:30"}
    assert made.way_known_min(1, 2) is None


def test_what_is_as_good_stays_in_todays_order():
    proposal = best_day(day(short(1, "11:00"), short(2, "10:00"), short(3, "12:00")))
    assert [one.one.key for one in proposal.placed] == [2, 1, 3]


def test_a_day_over_the_change_of_clocks_counts_true_minutes():
    # Europe/London goes from 01:00 to 02:00 on 28 March 2027: half past midnight and 60 minutes on
    # is half past two on the clock.
    london = ZoneInfo("Europe/London")
    start = datetime(2027, 3, 28, 0, 30, tzinfo=london)
    end = datetime(2027, 3, 28, 5, 0, tzinfo=london)
    long = replace(short(1), turns_min=35, start_at=start)
    made = Day(start, end, (long, replace(short(2), start_at=start)), (HILL, SHORE))
    proposal = best_day(made)
    first, second = proposal.placed
    assert (f"{first.start_at:%H:%M}", f"{second.start_at:%H:%M}") in {
        ("00:30", "02:30"),
        ("00:30", "02:10"),
    }
    assert proposal.finish_at.astimezone(ZoneInfo("UTC")).strftime("%H:%M") == "02:10"


def test_more_sets_than_are_proved_still_make_a_day_that_holds():
    sets = [short(key, light=(Span(at("12:00"), at("13:00")),)) for key in range(10)]
    made = day(*sets, end="17:00", breaks=(DayBreak("lunch", at("12:00"), at("14:00"), 30),))
    proposal = best_day(made)
    assert proposal.fits
    assert not proposal.proved
    starts = {one.one.key: one.start_at for one in proposal.placed}
    assert check_day(made, starts) == ()


def test_a_day_without_sets_is_no_fault():
    assert best_day(day()).placed == ()


@pytest.mark.parametrize(
    ("made", "told"),
    [
        (day(end="08:00"), "lies before"),
        (day(short(1), short(1)), "key of its own"),
        (day(short(1, place=7)), "its place is none of the day's"),
        (day(short(1, rig_min=-1)), "rig_min must be 0 or more"),
        (day(short(1, turns_min=float("nan"))), "turns_min must be 0 or more"),
        (day(replace(short(1), start_at=at("09:00").replace(tzinfo=None))), "needs a time zone"),
        (day(short(1), breaks=(DayBreak("tea", at("11:00"), at("10:00"), 10),)), "lies before"),
        (day(short(1), ways=(Way(1, 2, float("inf")),)), "minutes must be 0 or more"),
    ],
)
def test_what_is_no_day_is_refused(made, told):
    with pytest.raises(OutOfRange, match=told):
        best_day(made)


def test_shifting_the_whole_day_shifts_the_proposal_alike():
    made = some_day(31, 3, slack_min=30)
    proposal = best_day(made)
    later = timedelta(hours=2)

    def moved(one):
        spans = {
            name: tuple(Span(s.start_at + later, s.end_at + later) for s in getattr(one, name))
            for name in ("dry", "light")
            if getattr(one, name) is not None
        }
        times = {
            name: getattr(one, name) + later
            for name in ("start_at", "earliest_at", "latest_at")
            if getattr(one, name) is not None
        }
        return replace(one, **spans, **times)

    rests = [
        replace(rest, earliest_at=rest.earliest_at + later, latest_at=rest.latest_at + later)
        for rest in made.breaks
    ]
    shifted = replace(
        made,
        start_at=made.start_at + later,
        end_at=made.end_at + later,
        sets=tuple(moved(one) for one in made.sets),
        breaks=tuple(rests),
    )
    assert [one.start_at - later for one in best_day(shifted).placed] == [
        one.start_at for one in proposal.placed
    ]
