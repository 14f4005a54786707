"""A strobe's counter beside the frames, and the reasons told for what lies between."""

from datetime import UTC, datetime

import pytest

from planning.after.frames import SetFrames
from planning.after.reconcile import flash_counts
from planning.after.results import HeadUse, Misfire, PersonUse, SetTally

AT = datetime(2027, 5, 8, 13, 0, tzinfo=UTC)


def tally(counted, people=(), misfires=0):
    head = HeadUse("octa", "Head 200", 110, 0.5, counted, None, 0.25, "planned")
    misfire = Misfire(AT, None, "", "T1", "octa", "channel", "")
    return SetTally(1, "Slate wall", AT, AT, None, None, (head,), people, (misfire,) * misfires)


def frames(flashed, most=None, by_booking=None):
    return SetFrames(
        1, flashed or 0, by_booking=by_booking or {}, flashed=flashed,
        at_or_below_sync=flashed if most is None else most,
    )  # fmt: skip


def reasons(counted, flashed, **more):
    (one,) = flash_counts(tally(counted, **more), frames(flashed), test_share=0.1)
    return " ".join(str(reason) for reason in one.reasons)


def test_test_flashes_come_on_top_of_the_frames():
    (one,) = flash_counts(tally(110), frames(100), test_share=0.1)
    # 100 frames and one test flash to ten: 110.
    assert (one.counted, one.expected, one.difference) == (
        110,
        pytest.approx(110),
        pytest.approx(0),
    )
    assert one.reasons == ()


def test_a_tenth_either_way_agrees():
    assert reasons(120, 100) == reasons(100, 100) == ""
    assert reasons(122, 100) != ""
    # A handful on a small set is no difference: 10 frames, 11 expected, 16 counted.
    assert reasons(16, 10) == ""


def test_more_flashes_than_frames_may_be_frames_that_are_not_here():
    people = (PersonUse(7, "Ana", 1, 0, None, 0), PersonUse(8, "Bo", 0, 1, None, 0))
    told = reasons(300, 100, people=people)
    assert "No frames of Ana are here." in told
    assert "Bo" not in told  # missed the turn, so there is nothing to bring
    (one,) = flash_counts(
        tally(300, people), frames(100, most=140, by_booking={7: 100}), test_share=0.1
    )
    told = " ".join(str(reason) for reason in one.reasons)
    assert "Ana" not in told
    assert "Frames at the sync or slower, taken outside own turns: 40." in told


def test_frames_faster_than_the_sync_may_have_fired_too():
    seen = SetFrames(1, 140, by_booking={7: 140}, flashed=100, at_or_below_sync=100)
    (one,) = flash_counts(tally(150), seen, test_share=0.1)
    assert "Frames of turns that were faster than the sync: 40." in str(one.reasons[0])


def test_fewer_flashes_than_frames_name_the_misfires():
    told = reasons(40, 100, misfires=6)
    assert "Misfires noted on this set: 6." in told
    assert "lamp off" in told
    assert "Misfires" not in reasons(40, 100)


def test_where_one_side_is_not_known_nothing_is_compared():
    (one,) = flash_counts(tally(None), frames(100), test_share=0.1)
    assert (one.difference, one.reasons) == (None, ())
    (one,) = flash_counts(tally(100), frames(None), test_share=0.1)
    assert (one.expected, one.difference) == (None, None)
    # Two stations side by side: nobody knows which lamp fired for which frame.
    (one,) = flash_counts(tally(100), frames(100), test_share=0.1, side_by_side=2)
    assert one.expected is None


def test_a_negative_share_is_refused():
    with pytest.raises(ValueError, match="0 or more"):
        flash_counts(tally(1), frames(1), test_share=-0.1)
