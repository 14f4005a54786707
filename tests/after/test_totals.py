"""A day added up, and what is said of it: sums by hand beside each figure."""

from dataclasses import replace

import pytest

from planning.after.frames import SetFrames
from planning.after.seen import COUNTED, NOT_NOTED, Pair
from planning.after.strobes import pack_days
from planning.after.summary import summary
from planning.after.totals import compare_day
from tests.after.days import at, head, pack, person, set_day, tally
from tests.planning import day
from tests.sheets import example

SECOND = replace(
    day.SET, id=2, title="Second wall", set_index=1,
    start_at=at(120), end_at=at(195), readings=(),
)  # fmt: skip


def one(*packs, inputs=day.SET, **changes):
    """A set whose octa had these packs."""
    return set_day(tally(inputs, heads=(head(inputs, packs=packs, **changes),)), inputs)


def said(*days, faults=()) -> list[str]:
    return [str(words) for words in summary(compare_day(days, faults))]


def batteries(*days) -> list[str]:
    return [words for words in said(*days) if "atter" in words]


class TestPeople:
    def test_who_got_fewer_over_the_day(self):
        # Abel 1 + 2 = 3, Bea 1 + 1 = 2, Cyd 0 + 1 = 1.
        first = tally(people=(person(0, 1), person(1, 1), person(2, 0, missed=1)))
        second = tally(SECOND, people=(person(0, 2), person(1, 1), person(2, 1)))
        day_found = compare_day([set_day(first), set_day(second, SECOND)])
        assert [one.turns.actual for one in day_found.people] == [3, 2, 1]
        assert [one.behind for one in day_found.people] == [0, 1, 2]
        told = said(set_day(first), set_day(second, SECOND))
        assert "Bea: 1 turn fewer than whoever had most." in told
        assert "Cyd: 2 turns fewer than whoever had most." in told

    def test_a_set_whose_turns_nobody_kept_does_not_count_against_anybody(self):
        first = tally(people=(person(0, 1), person(1, 1)))
        second = tally(SECOND, people=(person(0), person(1)))
        found = compare_day([set_day(first), set_day(second, SECOND)]).people
        assert [one.turns for one in found] == [Pair(1, 1, (COUNTED,))] * 2
        assert [one.turn_sets for one in found] == [1, 1]
        assert "Everybody had equally many turns." in said(set_day(first))

    def test_nothing_is_said_of_turns_nobody_kept(self):
        assert not [words for words in said(set_day()) if "turn" in words]


class TestWasOneBatteryEnough:
    def test_it_was(self):
        # 100 % at the beginning, 62 % used: 38 % left.
        assert batteries(one(pack("P1", 1.0, 0.38))) == [
            "One battery was enough for S600: 62 % used."
        ]

    def test_over_two_sets_in_the_same_head(self):
        # 100 to 70 %, then 68 to 40 %: 30 + 2 while it stood between the sets + 28 = 60.
        days = one(pack("P1", 1.0, 0.7)), one(pack("P1", 0.68, 0.4, begins=125), inputs=SECOND)
        found = compare_day(days)
        assert found.packs[0].used == pytest.approx(0.60)
        assert found.strobes[0].charge.actual == pytest.approx(0.60)
        assert batteries(*days) == ["One battery was enough for S600: 60 % used."]

    def test_a_set_between_two_readings_of_the_same_pack_is_known(self):
        third = replace(SECOND, id=3, set_index=2, start_at=at(240), end_at=at(300))
        days = (
            one(pack("P1", 1.0, None)), set_day(inputs=SECOND),
            one(pack("P1", None, 0.3, begins=250, ends=300), inputs=third),
        )  # fmt: skip
        assert batteries(*days) == ["One battery was enough for S600: 70 % used."]

    def test_it_was_not(self):
        # 100 to 5 % and 100 to 60 %: 0.95 + 0.40 = 1.35 charges from 2 packs, 4 % either way.
        days = [one(pack("P1", 1.0, 0.05), pack("P2", 1.0, 0.6, begins=40))]
        told = "One battery was not enough for S600: 1.4 charges, batteries used: 2."
        assert batteries(*days) == [told]
        assert compare_day(days).strobes[0].swaps == 1

    def test_it_would_have_been(self):
        # 30 % of one and 40 % of another: 70 % of one charge, 4 % either way.
        told = batteries(one(pack("P1", 1.0, 0.7), pack("P2", 1.0, 0.6, begins=40)))
        assert told == [
            "One battery would have been enough for S600: 2 used or charged anew, 70 % of one "
            "charge in all."
        ]

    def test_too_near_to_say(self):
        # 55 + 42 = 97 %, and four readings of 2 % each: anywhere from 93 to 101 %.
        told = batteries(one(pack("P1", 1.0, 0.45), pack("P2", 1.0, 0.58, begins=40)))
        assert "too near to say" in told[0]

    def test_charged_in_between_is_no_single_battery(self):
        # 100 to 30 %, charged to 90 %, to 20 %: 70 + 70 = 140 % of a charge.
        days = one(pack("P1", 1.0, 0.3)), one(pack("P1", 0.9, 0.2, begins=125), inputs=SECOND)
        found = compare_day(days)
        assert (found.packs[0].recharges, found.packs[0].used) == (1, pytest.approx(1.4))
        assert "was not enough" in batteries(*days)[0]

    def test_a_pack_read_once_says_nothing(self):
        told = batteries(one(pack("P1", 1.0, None)))
        assert told == [
            "Whether one battery was enough for S600 cannot be told: no pack of it was read twice."
        ]

    def test_no_reading_at_all(self):
        assert batteries(set_day(tally(began_at=at(0)))) == [
            "Whether one battery was enough cannot be told for S600: no reading was noted."
        ]

    def test_one_set_of_two_noted(self):
        told = batteries(one(pack("P1", 1.0, 0.6)), set_day(inputs=SECOND))
        assert told[0].startswith("Whether one battery was enough for S600 cannot be told")
        assert "0.4 charges at the least" in told[0]

    def test_a_pack_that_shows_lamps_is_told_as_nearly_as_it_can_be(self):
        # Four lamps: half a lamp either way, 12.5 %, at both ends: root of 2 times that, 17.7 %.
        found = compare_day([one(pack("P1", 1.0, 0.5, within=0.125))])
        assert found.packs[0].within_share == pytest.approx(0.1768, abs=1e-4)

    def test_both_kinds_of_head_in_one_sentence(self):
        inputs = example.three_lights()
        lamps = [
            head(inputs, place, packs=(pack(f"P{place}", 1.0, left, light=name),))
            for place, (name, left) in enumerate([("Octa", 0.5), ("Fill", 0.38), ("Rim", 0.9)])
        ]
        told = batteries(set_day(tally(inputs, heads=tuple(lamps)), inputs))
        assert told == [
            "One battery a head was enough for Strobe 200, Strobe 600, Strobe 60: 62 % used at the "
            "most."
        ]

    def test_a_pack_in_two_kinds_of_head_gives_to_each_what_it_gave_there(self):
        # 100 to 80 % in one, 80 to 50 % in the other: 20 and 30.
        inputs = example.three_lights()
        lamps = (
            head(inputs, 0, packs=(pack("P1", 1.0, 0.8, light="Octa", ends=30),)),
            head(inputs, 1, packs=(pack("P1", 0.8, 0.5, light="Fill", begins=31),)),
            head(inputs, 2),
        )
        found = compare_day([set_day(tally(inputs, heads=lamps), inputs)]).strobes
        assert [one.charge.actual for one in found] == [
            pytest.approx(0.2), pytest.approx(0.3), None,
        ]  # fmt: skip


class TestSummary:
    def test_times_flashes_wind_and_trouble(self):
        noted = tally(
            began_at=at(12),
            ended_at=at(101),
            heads=(head(flashes=240, full_power_flashes=60.0),),
            gusts_m_s=((at(20), 12.0),),
            near_misses=((at(30), "a stand went over"),),
        )
        told = said(set_day(noted))
        assert "Set 1 took 14 min longer than planned." in told  # 89 for 75
        assert "Set 1 began 12 min late." in told
        assert "240 flashes for the 209 planned." in told
        assert (
            "A gust of 12.0 m/s on set 1 was above the limit of octa: strike from 11.0 m/s." in told
        )
        assert "1 near miss noted." in told

    def test_a_day_that_kept_its_time_says_so_once(self):
        noted = tally(began_at=at(0), ended_at=at(78))
        assert "Every set took its planned time to within 5 min." in said(set_day(noted))

    def test_of_a_day_nobody_noted_nothing_is_said(self):
        plan = set_day().plan
        assert said(set_day(metered=plan)) == []
        assert compare_day([set_day(metered=plan)]).is_blank
        assert not compare_day([set_day()]).is_blank  # its base was metered

    def test_a_day_whose_end_nobody_noted_is_not_called_punctual(self):
        assert not [words for words in said(set_day(tally(began_at=at(0)))) if "Every" in words]

    def test_flashes_by_frames_are_the_least_there_were(self):
        # 61 flashed frames; 209 planned.
        files = SetFrames(1, frames=90, by_booking={0: 61}, flashed=61)
        told = said(set_day(tally(heads=(head(power=0.25),)), frames=files))
        assert "At least 61 flashes, by the frames, for the 209 planned." in told

    def test_words_of_nothing_are_never_a_zero(self):
        bare = replace(set_day(), plan=None, inputs=None, metered=None)
        found = compare_day([bare])
        assert found.flashes.actual is None
        assert found.strobes[0].charge.actual is None
        assert NOT_NOTED == "not noted"


def test_packs_without_times_keep_the_order_they_were_noted_in():
    untimed = [replace(pack("P1", *shares), in_at=None, out_at=None)
               for shares in ((1.0, 0.8), (0.8, 0.5))]  # fmt: skip
    found = pack_days([one(*untimed)])
    assert [read.share for read in found[0].reads] == [1.0, 0.8, 0.8, 0.5]
    assert found[0].left == 0.5


def test_a_hand_and_the_files_that_differ_are_both_kept():
    noted = tally(people=(person(0, 1, frames=24), person(1, 1, frames=22)))
    files = SetFrames(1, frames=44, by_booking={0: 22, 1: 22})
    found = compare_day([set_day(noted, frames=files)]).people
    assert [one.apart for one in found] == [((1, 24, 22),), ()]


def two_heads(*lefts):
    """Two heads of one kind side by side, each with a pack that was left at so much."""
    inputs = replace(day.SET, lights=(day.OCTA, replace(day.OCTA, name="edge", angle_deg=140.0)))
    lamps = tuple(
        head(inputs, place, packs=(pack(f"P{place}", 1.0, left, light=name),))
        for place, (name, left) in enumerate(zip(("octa", "edge"), lefts, strict=True))
    )
    return set_day(tally(inputs, heads=lamps), inputs)


def test_two_heads_of_one_kind_need_a_battery_each():
    # 38 % and 70 % left: 62 % of one and 30 % of the other.
    assert batteries(two_heads(0.38, 0.7)) == [
        "One battery a head was enough for the 2 of S600: 62 % used at the most."
    ]
