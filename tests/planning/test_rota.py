"""The turns on a plan: hands, where the time is up, and when the base is metered again."""

import math
from collections import Counter
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import ephem
import pytest

from planning.physics.sun import Place, sun_position
from planning.plan import evaluate
from planning.plan.as_dict import as_dict
from planning.plan.inputs import AttendeeInputs, GivenTurnInputs
from tests.planning.day import CAMERA, OCTA, SET, START
from tests.published import published

CONTRACT = {"attendee", "trigger", "live_trigger", "round", "order", "start_at", "minutes"}
MINUTE = timedelta(minutes=1)
EVENING = datetime(2026, 3, 20, 16, 0, tzinfo=ZoneInfo("UTC"))


def said(plan, code):
    return next((str(one.text) for one in plan.cautions if one.code == code), "")


def group(count):
    return tuple(AttendeeInputs(name, CAMERA) for name in "ABCDEFGH"[:count])


def clock(at):
    return f"{at:%H:%M}"


def dusk(place, at, **changes):
    """Turns of two minutes before an open sky while the light goes."""
    location = replace(SET.location, place=place, timezone=str(at.tzinfo), horizon=())
    return replace(
        SET,
        location=location,
        start_at=at,
        end_at=at + 45 * MINUTE,
        readings=(),
        given_f_number=4.0,
        **{"rig_min": 5.0, "brief_min": 0.0, "demo_min": 0.0, "turn_min": 2.0, "rounds": 2}
        | {"critique_min": 0.0, "strike_min": 5.0}
        | changes,
    )


class TestHands:
    def test_two_boxes_to_hold_take_two_people(self):
        boxes = tuple(replace(OCTA, name=name, hand_held=True) for name in ("one", "two"))
        plan = evaluate(replace(SET, lights=boxes, attendees=group(4), helpers=("Oda",)))
        assert {len(turn.holders) for turn in plan.turns} == {2}
        assert {turn.holders[0] for turn in plan.turns} == {"Oda"}
        assert not said(plan, "hands")

    def test_with_too_few_the_caution_counts_what_the_rota_has(self):
        boxes = tuple(replace(OCTA, name=name, hand_held=True) for name in ("one", "two"))
        plan = evaluate(replace(SET, lights=boxes, attendees=group(3)))
        assert min(len(turn.holders) for turn in plan.turns) == 1
        assert "2 wanted, 1 free" in said(plan, "hands")

    def test_somebody_stands_by_where_nothing_has_to_be_held(self):
        assert all(len(turn.holders) == 1 for turn in evaluate(SET).turns)


class TestOverRun:
    # 14:10 and 12 + 3 + 10 min: first turn 14:35; 15:25 less 8 + 8 min: the talk at 15:09.
    def test_it_names_the_minute_the_turns_and_what_would_fit(self):
        plan = evaluate(replace(SET, attendees=group(8)))
        # 8 turns of 5 + 1 min end at 15:23; 34 min / 8 - 1 = 3.25: three whole minutes
        text = said(plan, "over-run")
        assert "the last 3 of 8 end after 15:09" in text
        assert "14 min over: make each 3 min" in text
        assert [clock(turn.start_at) for turn in plan.turns if turn.over] == [
            "15:05", "15:11", "15:17",
        ]  # fmt: skip
        fits = evaluate(replace(SET, attendees=group(8), turn_min=3.0))
        assert not said(fits, "over-run")

    def test_one_round_less_is_offered_only_where_it_fits(self):
        both = {"attendees": group(5), "turn_min": 4.0}
        assert "one round less" in said(evaluate(replace(SET, rounds=2, **both)), "over-run")
        assert not said(evaluate(replace(SET, rounds=1, **both)), "over-run")
        more = {"attendees": group(8), "turn_min": 5.0, "rounds": 2}
        assert "one round less" not in said(evaluate(replace(SET, **more)), "over-run")

    def test_no_turn_of_a_minute_is_proposed(self):
        text = said(evaluate(replace(SET, attendees=group(8), rounds=3)), "over-run")
        assert "a longer set" in text

    def test_a_late_start_is_counted_from_what_was_noted(self):
        fits = replace(SET, attendees=group(5), turn_min=5.0)
        assert not said(evaluate(fits), "over-run")
        slow = replace(fits, given=(GivenTurnInputs("A", START + 45 * MINUTE),))
        # A ended at 14:55; four more of 6 min from 14:56 end at 15:20
        assert "the last 2 of 5 end after 15:09" in said(evaluate(slow), "over-run")

    def test_json_keeps_the_contracts_keys_and_says_it_too(self):
        plan = as_dict(evaluate(replace(SET, attendees=group(8))))
        assert set(plan["turns"][0]) >= CONTRACT | {"on_deck", "holders", "log", "station"}
        assert plan["turns"][-1]["over"] is True
        assert any(one["code"] == "over-run" for one in plan["cautions"])


class TestTheDayGoesOn:
    def test_times_are_those_of_the_place(self):
        zone = ZoneInfo("Pacific/Auckland")
        south = replace(
            SET.location, place=Place(-36.85, 174.76), timezone="Pacific/Auckland", horizon=()
        )
        at = datetime(2027, 1, 12, 15, 0, tzinfo=zone)
        there = replace(SET, location=south, start_at=at, end_at=at + 80 * MINUTE, readings=())
        late = (*group(2), AttendeeInputs("C", CAMERA, arrives_at=at.astimezone(ZoneInfo("UTC"))))
        rows = evaluate(replace(there, attendees=late)).turns
        assert clock(rows[0].start_at) == "15:25"
        assert rows[0].start_at.utcoffset() == timedelta(hours=13)  # summer time there

    def test_who_gets_fewer_turns_is_named(self):
        short = replace(group(3)[2], arrives_at=SET.end_at)
        plan = evaluate(replace(SET, attendees=(*group(2), short)))
        assert "C" in said(plan, "fewer-turns")
        assert {turn.attendee for turn in plan.turns} == {"A", "B"}

    def test_more_stations_than_people_is_said(self):
        plan = evaluate(replace(SET, attendees=group(2), stations=("wall", "gate", "pool")))
        assert "3 stations for 2 people" in said(plan, "stations-empty")
        assert Counter(turn.station for turn in plan.turns) == {"wall": 2, "gate": 2, "pool": 2}

    def test_a_trigger_is_never_dealt_to_two_stations_at_a_time(self):
        shared = replace(SET, attendees=group(3), stations=("wall", "gate"), turn_min=2.0)
        plan = evaluate(shared)  # one trigger for the three: one of them at a time
        assert Counter(Counter(turn.start_at for turn in plan.turns).values()) == {1: 6}
        assert set(Counter((turn.attendee, turn.station) for turn in plan.turns).values()) == {1}
        # At the end nobody waits any more: whoever is last has the trigger alone.
        assert "5 of the turns to come leave a station empty: T1" in said(plan, "triggers-shared")

    def test_a_second_trigger_fills_the_other_station(self):
        two = replace(SET.triggers[0], name="T9")
        four = replace(SET, attendees=group(4), stations=("wall", "gate"), turn_min=2.0)
        plan = evaluate(replace(four, triggers=(*SET.triggers, two)))
        assert len({turn.start_at for turn in plan.turns}) == 4
        for at in {turn.start_at for turn in plan.turns}:
            beside = [turn.trigger for turn in plan.turns if turn.start_at == at]
            assert len(set(beside)) == len(beside) == 2
        assert not said(plan, "triggers-shared")

    def test_namesakes_that_come_in_unnumbered_are_told_apart(self):
        rows = evaluate(replace(SET, attendees=(group(1)[0], group(1)[0]))).turns
        assert [turn.attendee for turn in rows] == ["A", "A 2"]


class TestReMetering:
    def test_steady_noon_asks_for_none_after_the_first(self):
        noon = datetime(2026, 6, 21, 12, 30, tzinfo=ZoneInfo("Europe/London"))
        flat = replace(SET, backdrop_tilt_deg=0.0, readings=(), start_at=noon)
        plan = evaluate(replace(flat, end_at=noon + 75 * MINUTE))
        assert not any(turn.re_meter for turn in plan.turns)

    @pytest.mark.parametrize(
        ("place", "start"),
        [
            (Place(50.0, 0.0), datetime(2027, 3, 20, 17, 50, tzinfo=ZoneInfo("UTC"))),
            (
                Place(-36.85, 174.76),
                datetime(2027, 3, 20, 19, 15, tzinfo=ZoneInfo("Pacific/Auckland")),
            ),
        ],
    )
    def test_dusk_asks_at_the_published_rate_north_and_south(self, place, start):
        turns = evaluate(dusk(place, start)).turns
        assert sum(turn.re_meter for turn in turns) >= len(turns) - 1
        # USNO Circular 171: what the light falls by from 0 to 3 degrees under the horizon; at
        # the equinox the sun sinks 15 degrees an hour times the cosine of the latitude.
        table = published("twilight_usno")
        lux = {float(row["elevation_deg"]): float(row["illuminance_lx"]) for row in table}
        fall_min = 60.0 * 3.0 / (15.0 * math.cos(math.radians(place.latitude_deg)))
        third_min = fall_min / math.log2(lux[0.0] / lux[-3.0]) / 3.0
        down = [turn.re_meter_min for turn in turns if -3.0 < _height_deg(place, turn) < 0.0]
        assert sum(down) / len(down) == pytest.approx(third_min, rel=0.25)

    def test_no_turn_ends_a_third_of_a_stop_off_its_last_metering(self):
        inputs = dusk(Place(50.0, 0.0), EVENING, turn_min=3.0)
        plan = evaluate(replace(inputs, rounds=1))
        last = inputs.start_at + 5 * MINUTE
        for turn in plan.turns:
            last = turn.start_at if turn.re_meter else last
            moved = _base(inputs, turn.start_at + 3 * MINUTE) - _base(inputs, last)
            assert abs(moved) < 1 / 3 + 0.02  # the curve is drawn straight between samples

    def test_in_a_long_set_the_rate_is_that_of_each_hour(self):
        lisbon, zone = Place(38.7, -9.1), ZoneInfo("Europe/Lisbon")
        inputs = dusk(lisbon, datetime(2027, 3, 10, 16, 30, tzinfo=zone), turn_min=9.0)
        turns = evaluate(replace(inputs, end_at=inputs.start_at + 165 * MINUTE)).turns
        late = [turn for turn in turns if f"{turn.start_at:%H:%M}" > "17:40"]
        assert len(late) >= 4
        for turn in late:
            moved = _base(inputs, turn.start_at + MINUTE) - _base(inputs, turn.start_at)
            assert turn.re_meter_min == pytest.approx(1 / 3 / abs(moved), rel=0.2)

    def test_behind_a_hill_it_asks_when_the_sun_goes_and_not_before(self):
        lisbon, zone = Place(38.7, -9.1), ZoneInfo("Europe/Lisbon")
        inputs = dusk(lisbon, datetime(2027, 3, 10, 15, 30, tzinfo=zone), turn_min=4.0)
        hill = replace(inputs.location, horizon=((0.0, 20.0),))
        inputs = replace(inputs, location=hill, end_at=inputs.start_at + 210 * MINUTE)
        plan = evaluate(replace(inputs, attendees=group(8)))
        gone_at = _sinks_through(20.0, lisbon, inputs.start_at)
        asked = {turn.start_at: turn.re_meter for turn in plan.turns}
        during = max(at for at in asked if at <= gone_at)
        assert asked[during]
        for turn in plan.turns:
            if turn.start_at < during:
                assert turn.re_meter_min > 20.0  # the open sky's own pace, an hour from sunset

    def test_a_reading_taken_meanwhile_counts_as_metering(self):
        inputs = dusk(Place(50.0, 0.0), EVENING, turn_min=3.0)
        plan = evaluate(inputs)
        first = next(turn for turn in plan.turns if turn.re_meter)
        taken = replace(SET.readings[0], at=first.start_at)
        again = evaluate(replace(inputs, readings=(taken,)))
        same = next(turn for turn in again.turns if turn.start_at == first.start_at)
        assert not same.re_meter


def _sinks_through(height_deg, place, at):
    """The first minute from then on in which PyEphem (VSOP87) has the sun below a height."""
    there = ephem.Observer()
    there.lat, there.lon = str(place.latitude_deg), str(place.longitude_deg)
    while True:
        there.date = at.astimezone(ZoneInfo("UTC")).replace(tzinfo=None)
        if math.degrees(ephem.Sun(there).alt) < height_deg:
            return at
        at += MINUTE


def _height_deg(place, turn):
    return sun_position(place, turn.start_at).geometric_elevation_deg


def _base(inputs, at):
    """The plan's own ambient at one instant: that of a set that begins there."""
    there = replace(inputs, start_at=at, end_at=at + MINUTE, attendees=(), given=())
    return evaluate(there).ambient[0].background_ev100
