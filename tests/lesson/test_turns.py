"""Everybody gets every place in the queue, as many turns as the others, and a hand in the work."""

from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.lesson.jobs import Crew
from planning.lesson.turns import Comer, Noted, Pace, deal, slots_owed, turn_order
from planning.physics.errors import OutOfRange

FIRST = datetime(2026, 6, 21, 13, 35, tzinfo=UTC)
PACE = Pace(FIRST, FIRST + timedelta(hours=6), timedelta(minutes=5), timedelta(minutes=1))
SIZES = range(2, 9)


def people(count, **changes):
    return [replace(Comer(name), **changes) for name in "ABCDEFGH"[:count]]


def after(minutes):
    return FIRST + timedelta(minutes=minutes)


def names(rows):
    return "".join(row.name for row in rows)


def had(row):
    """A dealt turn as the instructor notes it: at its end."""
    return Noted(row.name, row.start_at + PACE.turn, row.station)


class TestOrder:
    def test_each_set_starts_one_person_later(self):
        assert turn_order(["Ana", "Ben", "Cyd"], 0) == ["Ana", "Ben", "Cyd"]
        assert turn_order(["Ana", "Ben", "Cyd"], 1) == ["Ben", "Cyd", "Ana"]

    @pytest.mark.parametrize("count", range(1, 9))
    def test_over_as_many_sets_as_people_each_stands_once_in_each_place(self, count):
        # A Latin square: every row and every column is a permutation.
        people = list(range(count))
        day = [turn_order(people, set_index) for set_index in range(count)]
        for line in [*day, *zip(*day, strict=True)]:
            assert sorted(line) == people

    def test_more_sets_than_people_begin_again(self):
        assert turn_order("abc", 3) == turn_order("abc", 0)

    def test_nobody_has_no_turns(self):
        assert turn_order([], 2) == []
        assert deal([], 0, pace=PACE) == ()

    def test_a_set_before_the_first_is_refused(self):
        with pytest.raises(OutOfRange, match="set_index"):
            turn_order(["Ana"], -1)

    @pytest.mark.parametrize(
        ("changes", "says"),
        [({"rounds": 0}, "rounds"), ({"stations": ("wall", "wall")}, "stations")],
    )
    def test_what_cannot_be_dealt_is_refused(self, changes, says):
        with pytest.raises(OutOfRange, match=says):
            deal(people(3), 0, pace=PACE, **changes)

    def test_two_people_of_one_name_are_refused(self):
        with pytest.raises(OutOfRange, match="names of their own"):
            deal([Comer("A"), Comer("A")], 0, pace=PACE)


class TestEqualTurns:
    @pytest.mark.parametrize("count", SIZES)
    @pytest.mark.parametrize("rounds", [1, 2, 3])
    def test_nobody_has_a_second_before_all_had_a_first(self, count, rounds):
        rows = deal(people(count), 1, pace=PACE, rounds=rounds)
        for number in range(rounds):
            one_round = rows[number * count : (number + 1) * count]
            assert sorted(names(one_round)) == sorted("ABCDEFGH"[:count])
            assert {row.round for row in one_round} == {number + 1}
            assert [row.place for row in one_round] == list(range(1, count + 1))
        starts = [row.start_at for row in rows]
        assert starts == [after(6 * number) for number in range(count * rounds)]

    @pytest.mark.parametrize("count", SIZES)
    def test_over_the_day_everybody_is_once_first_and_once_last(self, count):
        day = [deal(people(count), set_index, pace=PACE) for set_index in range(count)]
        assert Counter(rows[0].name for rows in day) == Counter("ABCDEFGH"[:count])
        assert Counter(rows[-1].name for rows in day) == Counter("ABCDEFGH"[:count])

    @pytest.mark.parametrize("count", range(1, 9))
    @pytest.mark.parametrize("stations", [("wall", "gate"), ("wall", "gate", "pool")])
    @pytest.mark.parametrize("rounds", [1, 2])
    def test_everybody_visits_each_station_equally_often_and_stands_at_one(
        self, count, stations, rounds
    ):
        rows = deal(people(count), 2, pace=PACE, rounds=rounds, stations=stations)
        visits = Counter((row.name, row.station) for row in rows)
        assert set(visits.values()) == {rounds}
        assert len(visits) == count * len(stations)
        side_by_side = Counter((row.start_at, row.name) for row in rows)
        assert set(side_by_side.values()) == {1}
        # No slot is wasted: as many as the larger of people and stations (König 1916).
        slots = {row.start_at for row in rows}
        assert len(slots) == rounds * max(count, len(stations))


class TestWork:
    @pytest.mark.parametrize("count", SIZES)
    def test_who_shoots_or_comes_next_neither_holds_nor_writes(self, count):
        rows = deal(people(count), 0, pace=PACE, rounds=2, crew=Crew(2))
        for row, following in zip(rows, [*rows[1:], None], strict=True):
            assert row.on_deck == (following.name if following else "")
            busy = {row.name, row.on_deck} - {""}
            assert not busy & {*row.holders, row.log}
            assert row.log not in row.holders

    @pytest.mark.parametrize("count", range(4, 9))
    def test_in_every_round_each_holds_once_and_writes_once(self, count):
        rows = deal(people(count), 3, pace=PACE)
        assert Counter(name for row in rows for name in row.holders) == Counter("ABCDEFGH"[:count])
        assert Counter(row.log for row in rows) == Counter("ABCDEFGH"[:count])

    @pytest.mark.parametrize("count", SIZES)
    @pytest.mark.parametrize("hands", [1, 2, 3])
    @pytest.mark.parametrize("rounds", [1, 2, 3])
    def test_over_as_many_sets_as_people_the_work_is_shared_alike(self, count, hands, rounds):
        held, logged = Counter(), Counter()
        for set_index in range(count):
            for row in deal(people(count), set_index, pace=PACE, rounds=rounds, crew=Crew(hands)):
                held.update(row.holders)
                logged[row.log] += 1
        del logged[""]
        for job in (held, logged):
            shares = [job[name] for name in "ABCDEFGH"[:count]]
            assert max(shares) - min(shares) <= 1

    def test_of_three_one_is_free_to_hold_and_the_instructor_writes(self):
        rows = deal(people(3), 0, pace=PACE)
        assert [row.holders for row in rows] == [("C",), ("A",), ("B",)]
        assert [row.log for row in rows] == ["", "", "A"]  # nobody is next at the end

    def test_of_two_nobody_is_free_until_the_last_turn(self):
        assert [row.holders for row in deal(people(2), 0, pace=PACE)] == [(), ("A",)]

    def test_the_houses_helpers_hold_first_and_two_boxes_take_two(self):
        rows = deal(people(6), 0, pace=PACE, crew=Crew(2, ("Oda",)))
        assert rows[0].holders == ("Oda", "C")
        idle = deal(people(2), 0, pace=PACE, crew=Crew(1, ("Oda", "Per")))
        assert (idle[0].holders, idle[0].log) == (("Oda",), "Per")


class TestTheDayGoesOn:
    def test_given_turns_keep_their_time_and_the_next_comes_after_the_change(self):
        noted = [Noted("A", after(7)), Noted("B", after(15))]
        rows = deal(people(4), 0, pace=PACE, noted=noted)
        assert [(row.name, row.given) for row in rows[:3]] == [
            ("A", True), ("B", True), ("C", False),
        ]  # fmt: skip
        assert [row.start_at for row in rows] == [after(7), after(15), after(16), after(22)]

    def test_who_comes_late_goes_last_in_every_round(self):
        late = [replace(one, arrives_at=after(9)) if one.name == "A" else one for one in people(4)]
        assert names(deal(late, 0, pace=PACE, rounds=2)) == "BCDABCDA"

    def test_a_late_first_pass_still_comes_before_anybodys_second(self):
        late = [replace(one, arrives_at=after(15)) if one.name == "A" else one for one in people(3)]
        assert names(deal(late, 0, pace=PACE, rounds=2)) == "BCBACA"

    def test_who_comes_when_the_turns_are_over_has_none_on_this_set(self):
        late = [Comer("A", arrives_at=PACE.until_at), *people(3)[1:]]
        assert names(deal(late, 0, pace=PACE)) == "BC"

    def test_everybody_waits_where_the_only_one_left_is_still_to_come(self):
        rows = deal([Comer("A"), Comer("B", arrives_at=after(40))], 0, pace=PACE)
        assert [row.start_at for row in rows] == [after(0), after(40)]

    def test_who_was_called_in_vain_comes_at_the_end_of_the_round(self):
        noted = [Noted("A", after(1), missed=True)]
        rows = deal(people(4), 0, pace=PACE, noted=noted, rounds=2)
        assert names(rows) == "BCDABCDA"
        assert rows[0].start_at == after(1)  # the slot goes to the next one

    def test_a_second_call_in_vain_holds_nobody_up(self):
        noted = [Noted("A", after(0), missed=True), Noted("B", after(6)), Noted("C", after(12))]
        noted.append(Noted("A", after(13), missed=True))
        assert names(deal(people(3), 0, pace=PACE, noted=noted, rounds=2)) == "BCBCAA"

    def test_who_leaves_early_is_called_in_time(self):
        leaves = [
            replace(one, leaves_at=after(12)) if one.name == "D" else one for one in people(4)
        ]
        assert names(deal(leaves, 0, pace=PACE)) == "ADBC"

    def test_two_who_leave_together_both_get_their_turn(self):
        leaving = [*people(2), Comer("C", leaves_at=after(18)), Comer("D", leaves_at=after(18))]
        rows = deal(leaving, 0, pace=PACE)
        assert names(rows) == "ACDB"
        assert rows[2].start_at + PACE.turn <= after(18)

    def test_who_has_left_has_no_turn_and_no_work(self):
        gone = [*people(4)[:3], Comer("D", leaves_at=after(-10))]
        rows = deal(gone, 0, pace=PACE)
        assert names(rows) == "ABC"
        assert not any("D" in (*row.holders, row.log) for row in rows)

    def test_who_had_fewer_before_comes_first_and_gets_the_slot_left_over(self):
        short = [*people(3)[:2], Comer("C", behind=1)]
        roomy = deal(short, 0, pace=PACE)
        assert names(roomy) == "CABC"
        tight = replace(PACE, until_at=after(18))
        assert names(deal(short, 0, pace=tight)) == "CAB"

    def test_a_turn_of_somebody_who_has_gone_stays(self):
        rows = deal(people(2), 0, pace=PACE, noted=[Noted("Zoe", after(5))])
        assert [(row.name, row.given) for row in rows] == [
            ("Zoe", True),
            ("A", False),
            ("B", False),
        ]


@settings(derandomize=True, max_examples=60, deadline=None)
@given(
    count=st.integers(2, 8),
    rounds=st.integers(1, 3),
    stations=st.sampled_from([(), ("wall", "gate"), ("wall", "gate", "pool")]),
    set_index=st.integers(0, 7),
    done=st.integers(0, 12),
    missing=st.integers(0, 7),
    late=st.integers(0, 90),
)
def test_however_the_day_goes_turns_end_equal_and_the_given_ones_stay(
    count, rounds, stations, set_index, done, missing, late
):
    group = people(count)
    asked = {"pace": PACE, "rounds": rounds, "stations": stations}
    plan = deal(group, set_index, **asked)
    noted = [had(row) for row in plan[:done]]
    at = max((one.at for one in noted), default=FIRST)
    noted.append(Noted(group[missing % count].name, at, missed=True))
    group[0] = replace(group[0], arrives_at=after(late))
    rows = deal(group, set_index, **asked, noted=noted)
    kept = [(row.name, row.start_at, row.station) for row in rows if row.given]
    assert sorted(kept) == sorted(
        (one.name, one.at, one.station) for one in noted if not one.missed
    )
    turns = Counter((row.name, row.station) for row in rows)
    assert set(turns.values()) == {rounds}
    assert len(turns) == count * max(1, len(stations))
    for row in rows:
        if not row.given:
            beside = [one for one in rows if not one.given and one.start_at == row.start_at]
            assert len({one.name for one in beside}) == len(beside)
            assert row.name != group[0].name or row.start_at >= after(late)
            assert not {one.name for one in beside} & {*row.holders, row.log}


@settings(derandomize=True, max_examples=40, deadline=None)
@given(
    triggers=st.lists(st.sampled_from(["", "T1", "T2", "T3"]), min_size=2, max_size=8),
    rounds=st.integers(1, 2),
    stations=st.sampled_from([("wall", "gate"), ("wall", "gate", "pool")]),
    set_index=st.integers(0, 7),
)
def test_a_shared_trigger_is_at_one_station_and_costs_no_more_slots_than_it_must(
    triggers, rounds, stations, set_index
):
    group = [
        replace(one, trigger=unit)
        for one, unit in zip(people(len(triggers)), triggers, strict=True)
    ]
    rows = deal(group, set_index, pace=PACE, rounds=rounds, stations=stations)
    visits = Counter((row.name, row.station) for row in rows)
    assert set(visits.values()) == {rounds}
    assert len(visits) == len(group) * len(stations)
    unit_of = {one.name: one.trigger for one in group}
    slots = Counter(row.start_at for row in rows)
    for at in slots:
        beside = [unit_of[row.name] for row in rows if row.start_at == at]
        named = [unit for unit in beside if unit]
        assert len(set(named)) == len(named)
    # No slot takes more than one turn of a trigger, of a person, of a station.
    shared = Counter(unit for unit in triggers if unit)
    most = max([len(stations) * many for many in shared.values()] + [len(stations), len(group)])
    assert rounds * most <= len(slots) <= rounds * (most + 1)


class TestSlotsOwed:
    @pytest.mark.parametrize(("count", "rounds"), [(6, 1), (5, 2), (1, 2)])
    @pytest.mark.parametrize("stations", [(), ("wall", "gate", "pool")])
    def test_the_slots_owed_are_those_dealt(self, count, rounds, stations):
        slots = slots_owed(count, max(len(stations), 1), rounds)
        tight = replace(PACE, until_at=FIRST + slots * PACE.step)
        dealt = deal(people(count), 0, pace=tight, rounds=rounds, stations=stations)
        assert len({row.start_at for row in dealt}) == slots

    def test_nobody_is_owed_none(self):
        assert slots_owed(0, 3, 2) == 0
