"""Frames by set and turn: whose they are, what counts as flashed, what is counted of settings."""

from datetime import UTC, datetime, timedelta

import pytest

from planning.after.frames import (
    DEMONSTRATION,
    IN_TURN,
    NO_SET,
    OUTSIDE,
    SetSpan,
    Setting,
    Shot,
    TurnSpan,
    frames_by_set,
)
from planning.after.spans import SetTimes, TurnEnd, set_span, turns_from_ends

START = datetime(2027, 5, 8, 13, 0, tzinfo=UTC)
SYNC_S = 2.0 ** (-22 / 3)  # the 1/160 mark
AT_SYNC = Setting(SYNC_S, 16.0, 100.0)
ANA, BO = 1, 2
FIVE = timedelta(minutes=5)


def minutes(number):
    return START + timedelta(minutes=number)


def span(set_id=1, begins=0, ends=60, turns=(), sync_s=SYNC_S):
    return SetSpan(set_id, minutes(begins), minutes(ends), tuple(turns), sync_s)


def turn(who, begins, ends):
    return TurnSpan(who, minutes(begins), minutes(ends))


def shot(at, who=ANA, setting=AT_SYNC, frame_id=0, **more):
    return Shot(frame_id, None if at is None else minutes(at), who, setting, **more)


def placed(one, *spans):
    (found,) = frames_by_set([one], spans).placed
    return found.set_id, found.where


def test_a_frame_belongs_to_the_turn_of_its_owner():
    one = span(turns=[turn(ANA, 20, 25), turn(BO, 26, 31)])
    assert placed(shot(22), one) == (1, IN_TURN)
    assert placed(shot(28), one) == (1, OUTSIDE)  # over Bo's shoulder
    assert placed(shot(28, BO), one) == (1, IN_TURN)
    assert placed(shot(70), one) == (None, NO_SET)
    assert placed(shot(None), one) == (None, NO_SET)


def test_the_house_photographs_in_the_demonstration_and_not_in_turns():
    one = span(turns=[turn(ANA, 20, 25)])
    assert placed(shot(10, None), one) == (1, DEMONSTRATION)
    assert placed(shot(22, None), one) == (1, OUTSIDE)
    # An attendee who photographs the demonstration has no turn then, and no trigger.
    assert placed(shot(10), one) == (1, OUTSIDE)


def test_a_set_chosen_by_hand_holds_against_the_time():
    one, two = span(1, 0, 60), span(2, 70, 130, [turn(ANA, 90, 95)])
    assert placed(shot(30, settled=True, set_id=2), one, two) == (2, OUTSIDE)
    assert placed(shot(30, settled=True), one, two) == (None, NO_SET)


def test_of_two_sets_that_lap_over_the_owners_turn_decides_then_the_nearer_core():
    early = SetSpan(
        1, minutes(0), minutes(75), (turn(ANA, 58, 63),), SYNC_S, minutes(0), minutes(60)
    )
    late = SetSpan(2, minutes(50), minutes(130), (), SYNC_S, minutes(65), minutes(130))
    assert placed(shot(62), early, late) == (1, IN_TURN)
    assert placed(shot(61, BO), early, late)[0] == 1
    assert placed(shot(64, BO), early, late)[0] == 2


def test_flashed_are_frames_of_turns_and_demonstration_at_the_sync_or_slower():
    slow, fast = Setting(SYNC_S * 4, 16.0, 100.0), Setting(SYNC_S / 2, 16.0, 100.0)
    one = span(turns=[turn(ANA, 20, 25)])
    shots = [
        shot(21),
        shot(22, setting=slow),
        shot(23, setting=fast),
        shot(24, setting=Setting(None, 16.0, 100.0)),  # a file that does not say
        shot(40),  # outside: no trigger on the camera
        shot(5, None),
    ]
    (found,) = frames_by_set(shots, [one]).sets
    assert (found.flashed, found.at_or_below_sync) == (3, 4)
    # As a camera writes 1/160: 0.00625 s, a hair faster than the exact third of a stop.
    (found,) = frames_by_set([shot(21, setting=Setting(0.00625, 16.0, 100.0))], [one]).sets
    assert found.flashed == 1
    # 1/180 is the half stop beside 1/160: faster than a group at 1/160 may go.
    (found,) = frames_by_set([shot(21, setting=Setting(2.0**-7.5, 16.0, 100.0))], [one]).sets
    assert found.flashed == 0


def test_without_a_plan_nothing_counts_as_flashed_and_the_sum_says_so():
    (found,) = frames_by_set([shot(21)], [span(turns=[turn(ANA, 20, 25)], sync_s=None)]).sets
    assert (found.flashed, found.at_or_below_sync, found.frames) == (None, None, 1)


def test_settings_are_counted_over_turns_and_demonstration_alone():
    one = span(turns=[turn(ANA, 20, 25)])
    wide = Setting(SYNC_S, 2.0, 800.0)
    shots = [shot(21), shot(22), shot(23, setting=wide), shot(50, setting=wide)]
    (found,) = frames_by_set(shots, [one]).sets
    assert found.f_numbers == ((2.0, 1), (16.0, 2))
    assert found.isos == ((100.0, 2), (800.0, 1))
    assert (found.taken, found.frames, found.other_by_booking) == (3, 4, {ANA: 1})
    assert found.settings[0] == (AT_SYNC, 2)


def test_a_recipe_is_kept_exactly_or_with_the_flash_as_it_was():
    one = span(turns=[turn(ANA, 20, 25)])
    # ISO 200 and f/22.6 expose a flash as ISO 100 and f/16: N squared over S is the same.
    iso_200 = Setting(SYNC_S, 2.0**4.5, 200.0)
    trimmed = Setting(SYNC_S * 2, 16.0, 100.0)  # background up a stop, flash the same
    opened = Setting(SYNC_S, 2.0**3.5, 100.0)
    shots = [shot(21, setting=setting) for setting in (AT_SYNC, iso_200, trimmed, opened)]
    (found,) = frames_by_set(shots, [one]).sets
    assert (found.at_recipe(AT_SYNC), found.at_flash(AT_SYNC)) == (1, 3)
    assert found.at_flash(Setting(SYNC_S, None, 100.0)) == 0


def test_every_frame_is_placed_and_every_set_is_there():
    found = frames_by_set([shot(70), shot(10, None)], [span(1), span(2, 100, 160)])
    assert [one.frames for one in found.sets] == [1, 0]
    assert len(found.of_no_set) == 1
    assert frames_by_set([], []).sets == ()


def test_a_turn_begins_where_the_one_before_it_ended():
    first, second = turns_from_ends([TurnEnd(BO, minutes(31)), TurnEnd(ANA, minutes(25))], FIVE)
    # The first: half as long again as planned at the most, 7 min 30 s.
    assert (first.booking_id, first.begins_at) == (ANA, minutes(17.5))
    assert (second.begins_at, second.ends_at) == (minutes(25), minutes(31))
    # After a pause a turn does not begin with the pause.
    _first, late = turns_from_ends([TurnEnd(ANA, minutes(25)), TurnEnd(BO, minutes(60))], FIVE)
    assert late.begins_at == minutes(52.5)


def test_stations_run_side_by_side():
    wall, gate = turns_from_ends(
        [TurnEnd(ANA, minutes(25), "wall"), TurnEnd(BO, minutes(26), "gate")], FIVE
    )
    assert wall.begins_at == minutes(17.5)
    assert gate.begins_at == minutes(18.5)


def test_a_turn_without_length_is_refused():
    with pytest.raises(ValueError, match="last some time"):
        turns_from_ends([], timedelta(0))


@pytest.mark.parametrize(
    ("began", "ended", "first", "last"),
    [
        (None, None, -15, 75),  # planned from 0 to 60, a quarter of an hour of room
        (20, None, 19, 95),  # began late, lasts as long as planned
        (None, 80, -15, 81),
        (20, 90, 19, 91),
    ],
)
def test_a_set_lasts_as_noted_else_as_planned_with_room(began, ended, first, last):
    times = SetTimes(
        START,
        minutes(60),
        None if began is None else minutes(began),
        None if ended is None else minutes(ended),
    )
    found = set_span(1, times, (), None)
    assert (found.begins_at, found.ends_at) == (minutes(first), minutes(last))


def test_a_set_holds_the_turns_that_were_noted_whatever_was_planned():
    found = set_span(1, SetTimes(START, minutes(60)), [turn(ANA, 100, 105)], None)
    assert found.holds(minutes(104))
    planned = TurnSpan(ANA, minutes(100), minutes(105), noted=False)
    assert not set_span(1, SetTimes(START, minutes(60)), [planned], None).holds(minutes(104))
