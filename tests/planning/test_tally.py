"""What was noted of a set put together: every expected figure is a sum done by hand beside it."""

from datetime import UTC, datetime, timedelta

import pytest

from planning.after.packs import in_heads, pack_uses, within_share
from planning.after.tally import AsPlanned, Noted, PlannedHead, set_tally

START = datetime(2027, 5, 8, 14, 10, tzinfo=UTC)
PLANNED = AsPlanned(
    set_id=1,
    title="Slate wall",
    start_at=START,
    end_at=START + timedelta(minutes=75),
    heads=(
        PlannedHead("octa", "Head 600", flashes=110.0, share=0.4, power=0.25),
        PlannedHead("edge", "Head 200", flashes=110.0, share=None, power=0.5),
    ),
    people=((1, "Abel"), (2, "Bea")),
    names=((1, "Abel"), (2, "Bea"), (3, "Cyd")),
)


def at(minutes):
    return START + timedelta(minutes=minutes)


def tally(*events):
    return set_tally(PLANNED, events)


def flashes(minutes, count, light="octa"):
    return Noted("flashes", at(minutes), light=light, count=count)


def locked(minutes, power, light="octa"):
    return Noted("recipe locked", at(minutes), light=light, power=power)


def pack(kind, minutes, tag, share=None, *, light="octa", lamps=None):
    return Noted(
        f"pack {kind}", at(minutes), unit_id=ord(tag), tag=tag, light=light, share=share,
        lamps=lamps,
    )  # fmt: skip


def octa(*events):
    return tally(*events).heads[0]


class TestFlashes:
    def test_nobody_counted_is_not_none_at_all(self):
        assert (octa().flashes, octa().full_power_flashes) == (None, None)
        assert (octa(flashes(9, 0)).flashes, octa(flashes(9, 0)).full_power_flashes) == (0, 0)

    def test_several_counts_add_up(self):
        assert octa(flashes(20, 40), flashes(60, 31)).flashes == 71

    def test_without_a_locked_recipe_they_count_at_the_planned_power(self):
        head = octa(flashes(60, 80))
        assert head.full_power_flashes == 20.0  # 80 at 1/4
        assert (head.power, head.power_source) == (0.25, "planned")

    def test_each_count_is_at_the_power_locked_before_it(self):
        head = octa(locked(5, 0.5), flashes(30, 40), locked(30, 0.125), flashes(70, 40))
        assert head.full_power_flashes == 25.0  # 40 / 2 + 40 / 8
        assert (head.power, head.power_source) == (0.3125, "locked")  # 25 / 80

    def test_a_power_changed_between_two_counts_goes_by_its_minutes(self):
        # 30 minutes at a half, 10 at a quarter: 0.4375 of full on the mean, 40 flashes 17.5
        head = octa(locked(0, 0.5), locked(30, 0.25), flashes(40, 40))
        assert head.full_power_flashes == pytest.approx(17.5)
        assert head.power == pytest.approx(0.4375)

    def test_a_recipe_locked_late_counts_for_the_flashes_before_rather_than_the_plan(self):
        head = octa(flashes(30, 40), locked(31, 1.0))
        assert (head.full_power_flashes, head.power_source) == (40.0, "locked")

    def test_more_power_takes_more_of_the_pack(self):
        low, high = (octa(locked(1, power), flashes(9, 50)) for power in (0.25, 0.5))
        assert high.full_power_flashes == 2 * low.full_power_flashes

    def test_a_light_that_is_not_of_the_set_any_more_comes_last(self):
        heads = tally(flashes(9, 12, light="wall")).heads
        assert [head.light for head in heads] == ["octa", "edge", "wall"]
        assert (heads[2].flashes, heads[2].full_power_flashes, heads[2].power) == (12, None, None)


class TestPacks:
    def test_a_stay_is_in_to_out_and_uses_the_difference(self):
        (use,) = octa(pack("in", 0, "A", 1.0), pack("out", 75, "A", 0.55)).packs
        assert (use.in_at, use.out_at) == (at(0), at(75))
        assert use.used_share == pytest.approx(0.45)

    def test_a_pack_put_in_sends_out_the_other_unread(self):
        first, second = octa(pack("in", 0, "A", 1.0), pack("in", 40, "B", 0.9)).packs
        assert (first.out_at, first.out_share, first.used_share) == (at(40), None, None)
        assert (second.tag, second.out_at) == ("B", None)

    def test_a_pack_read_after_the_swap_still_counts(self):
        first, _second = octa(
            pack("in", 0, "A", 1.0), pack("in", 40, "B"), pack("out", 44, "A", 0.1)
        ).packs
        assert (first.out_at, first.out_share) == (at(40), 0.1)

    def test_a_pack_is_in_one_head_at_a_time(self):
        tallied = tally(pack("in", 0, "A", 1.0), pack("in", 30, "A", 0.7, light="edge"))
        (left,), (there,) = (head.packs for head in tallied.heads)
        assert (left.out_at, there.in_share) == (at(30), 0.7)
        assert list(in_heads([left, there])) == ["edge"]

    def test_back_into_the_same_head_is_a_second_stay(self):
        stays = octa(
            pack("in", 0, "A", 1.0), pack("out", 20, "A", 0.8), pack("in", 30, "A", 0.8),
            pack("out", 50, "A", 0.5),
        ).packs  # fmt: skip
        assert [stay.used_share for stay in stays] == pytest.approx([0.2, 0.3])

    def test_out_without_in_has_nothing_to_take_it_from(self):
        (use,) = octa(pack("out", 75, "A", 0.5)).packs
        assert (use.in_share, use.used_share) == (None, None)

    def test_four_lamps_are_right_within_half_a_lamp(self):
        # Three of four burn from 62.5 % to 87.5 %: 75 % within 12.5 %.
        (use,) = octa(pack("in", 0, "A", 1.0), pack("out", 75, "A", 0.75, lamps=4)).packs
        assert (within_share(4), use.within_share) == (0.125, 0.125)
        assert within_share(5) < within_share(4)

    def test_nothing_noted_is_no_stay(self):
        assert pack_uses([]) == ()


class TestTheRest:
    def test_times_run_from_the_first_beginning_to_the_last_end(self):
        one = tally(Noted("set began", at(6)), Noted("set ended", at(94)))
        assert (one.began_at, one.ended_at) == (at(6), at(94))
        assert one.minutes_over == 13.0  # 88 against 75

    def test_people_have_their_turns_frames_and_misfires(self):
        one = tally(
            Noted("turn given", at(20), booking_id=2),
            Noted("turn given", at(50), booking_id=2),
            Noted("turn missed", at(30), booking_id=1),
            Noted("frames", at(30), booking_id=2, count=18),
            Noted("frames", at(60), booking_id=2, count=7),
            Noted("misfire", at(25), booking_id=2, cause="body", tag="T1", light="octa"),
        )
        abel, bea = one.people
        assert (abel.turns, abel.missed, abel.frames, abel.misfires) == (0, 1, None, 0)
        assert (bea.turns, bea.missed, bea.frames, bea.misfires) == (2, 0, 25, 1)
        (misfire,) = one.misfires
        assert (misfire.attendee, misfire.trigger, misfire.cause) == ("Bea", "T1", "body")

    def test_whoever_has_no_turn_any_more_comes_last(self):
        one = tally(Noted("frames", at(30), booking_id=3, count=5))
        assert [person.name for person in one.people] == ["Abel", "Bea", "Cyd"]

    def test_wind_sky_and_words_keep_their_times(self):
        one = tally(
            Noted("wind seen", at(40), gust_m_s=9.5),
            Noted("wind seen", at(10), gust_m_s=7.0),
            Noted("sky seen", at(5), sky="partly"),
            Noted("near miss", at(12), notes="Stand went over"),
            Noted("note", at(13), notes="Sand"),
        )
        assert one.gusts_m_s == ((at(10), 7.0), (at(40), 9.5))
        assert one.skies == ((at(5), "partly"),)
        assert one.near_misses == ((at(12), "Stand went over"),)
        assert one.notes == ((at(13), "Sand"),)

    def test_it_says_what_is_missing_until_nothing_is(self):
        assert tally().missing == ("times", "flashes", "turns", "packs")
        whole = tally(
            Noted("set began", at(0)),
            Noted("set ended", at(75)),
            flashes(75, 80),
            flashes(75, 80, light="edge"),
            Noted("turn given", at(20), booking_id=1),
            pack("in", 0, "A", 1.0),  # the edge's head has no pack planned
        )
        assert whole.missing == ()


def test_delays_and_lengths_are_those_of_the_times_one_reads_on_a_clock():
    # Read: 14:20 to 15:26 beside 14:10 to 15:25 planned: 66 min of 75, though 65 min 10 s went by.
    noted = tally(Noted("set began", at(10) + timedelta(seconds=50)), Noted("set ended", at(76)))
    assert (noted.began_at - START, noted.ended_at - noted.began_at) == (
        timedelta(minutes=10), timedelta(minutes=66),
    )  # fmt: skip
    assert noted.minutes_over == 66 - 75
