"""Planned against actual: every expected figure is worked out by hand beside it."""

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from planning.after.compare import compare_set
from planning.after.frames import SetFrames
from planning.after.seen import COUNTED, FROM_FRAMES, LATER, METERED, NOTED, Pair, Recipe, TurnEnd
from planning.physics.exposure import parse_f_mark, parse_shutter_mark
from planning.physics.sun import Place
from tests.after.days import at, head, pack, person, set_day, tally
from tests.planning import day
from tests.sheets import example


def compared(noted=None, inputs=day.SET, **changes):
    return compare_set(set_day(noted, inputs, **changes))


class TestTimes:
    def test_a_set_that_ran_over(self):
        # Planned 14:10 to 15:25 is 75 min; 14:18 to 15:47 is 89 min: 14 over, 8 late.
        found = compared(tally(began_at=at(8), ended_at=at(97)))
        assert found.minutes == Pair(75.0, 89.0, (NOTED,))
        assert found.minutes.over == 14.0
        assert (found.began.over, found.ended.over) == (8.0, 22.0)

    def test_an_end_nobody_noted_is_no_length(self):
        found = compared(tally(began_at=at(8)))
        assert found.minutes == Pair(75.0)
        assert found.ended == Pair(day.END)
        assert found.began.sources == (NOTED,)

    def test_what_was_copied_from_paper_says_so(self):
        noted = tally(began_at=at(0), ended_at=at(75))
        assert compared(noted, later=frozenset({"times"})).minutes.sources == (LATER,)

    def test_over_midnight(self):
        # 23:30 to 00:45 planned; 23:40 to 01:20 is 100 min, 25 over the 75.
        zone = ZoneInfo("Europe/London")
        start = datetime(2026, 6, 21, 23, 30, tzinfo=zone)
        noted = replace(
            tally(),
            planned_start_at=start,
            planned_end_at=start + timedelta(minutes=75),
            began_at=start + timedelta(minutes=10),
            ended_at=datetime(2026, 6, 22, 1, 20, tzinfo=zone),
        )
        assert compared(noted).minutes.over == 25.0


class TestTurns:
    def test_each_attendee_beside_the_plan(self):
        people = (person(0, 1, frames=31), person(1, 0, missed=1), person(2, 2, misfires=3))
        found = compared(tally(people=people))
        # One round: one turn each planned. Noted are 1 + 0 + 2.
        assert found.turns == Pair(6, 3, (COUNTED,))
        assert [one.turns for one in found.people] == [
            Pair(1, 1, (COUNTED,)),
            Pair(1, 0, (COUNTED,)),
            Pair(1, 2, (COUNTED,)),
        ]
        assert [one.missed for one in found.people] == [0, 1, 0]
        assert found.people[0].frames == Pair(25, 31, (COUNTED,))
        assert found.people[1].frames == Pair(25)
        assert found.people[2].misfires == 3

    def test_where_nobody_kept_the_turns_nobody_had_none(self):
        found = compared(tally(people=(person(0), person(1))))
        assert [one.turns.actual for one in found.people] == [None, None]
        assert found.turns.actual is None
        assert found.people[0].missed is None

    def test_minutes_from_turn_to_turn_at_each_station(self):
        # Wall: 6 and 10 between; porch: 7. The median of 6, 7, 10 is 7; planned are 5 + 1.
        ends = [("wall", 30), ("wall", 36), ("wall", 46), ("porch", 31), ("porch", 38)]
        found = compared(turn_ends=tuple(TurnEnd(name, at(minute)) for name, minute in ends))
        assert found.turn_min == Pair(6.0, 7.0, (NOTED,))

    def test_one_turn_alone_has_no_pace(self):
        assert compared(turn_ends=(TurnEnd("", at(30)),)).turn_min == Pair(6.0)


class TestFrames:
    FILES = SetFrames(1, frames=90, by_booking={0: 31, 1: 22}, other_by_booking={3: 4}, flashed=61)

    def test_files_stand_in_where_nobody_counted(self):
        people = (person(0, 1), person(1, 1, frames=24), person(2, 1), person(3, 1))
        found = compared(tally(people=people), frames=self.FILES)
        assert found.people[0].frames == Pair(25, 31, (FROM_FRAMES,))
        assert found.people[1].frames == Pair(25, 24, (COUNTED,))
        assert found.people[1].files == 22  # the hand says 24
        assert found.people[2].frames == Pair(25)  # no file of theirs was brought in
        assert found.people[3].frames == Pair(25)  # files, but outside the own turn: a wrong clock

    def test_the_sum_is_of_those_noted_planned_and_actual_alike(self):
        people = (person(0, 1, frames=31), person(1, 1), person(2, 1, frames=20))
        assert compared(tally(people=people)).frames == Pair(50, 51, (COUNTED,))


class TestHeads:
    # (40 of the demonstration + 6 people x 25 frames) x 1.1 for test flashes = 209.
    PLANNED = 209.0

    def test_flashes_counted_beside_the_plan(self):
        octa = head(flashes=240, full_power_flashes=60.0, power=0.25, power_source="locked")
        row = compared(tally(heads=(octa,))).heads[0]
        assert row.flashes.planned == pytest.approx(self.PLANNED)
        assert row.flashes.actual == 240
        assert row.flashes.over == pytest.approx(31.0)
        assert row.full_power.actual == 60.0
        assert row.full_power.planned == pytest.approx(
            self.PLANNED * set_day().plan.lights[0].power
        )

    def test_flashes_from_files_where_nobody_counted(self):
        octa = head(power=0.25)
        row = compared(tally(heads=(octa,)), frames=TestFrames.FILES).heads[0]
        assert row.flashes.actual == 61
        assert row.flashes.sources == (FROM_FRAMES,)
        assert row.full_power.actual == 61 * 0.25

    def test_nobody_counted(self):
        row = compared().heads[0]
        assert (row.flashes.actual, row.full_power.actual, row.charge.actual) == (None, None, None)
        assert (row.swaps, row.tags, row.flashes.sources) == (None, (), ())

    def test_the_charge_used_is_the_sum_of_the_packs(self):
        # P1 100 % to 10 %, then P2 100 % to 55 %: 0.90 + 0.45 = 1.35 of a charge, one swap; four
        # readings of 2 % each: root of 4 times 2 % is 4 % (JCGM 100:2008, 5.1.2).
        packs = (pack("P1", 1.0, 0.1, ends=40), pack("P2", 1.0, 0.55, begins=40))
        row = compared(tally(heads=(head(packs=packs),))).heads[0]
        assert row.charge.actual == pytest.approx(1.35)
        assert row.within_share == pytest.approx(0.04)
        assert (row.tags, row.swaps) == (("P1", "P2"), 1)

    def test_a_pack_nobody_read_again_leaves_the_charge_open(self):
        packs = (pack("P1", 1.0, None),)
        row = compared(tally(heads=(head(packs=packs),))).heads[0]
        assert row.charge.actual is None
        assert row.swaps == 0


class TestLight:
    def test_the_base_metered_a_stop_brighter_is_a_stop(self):
        # The same reading one full mark wider apart: f/16 for f/11 at the same shutter and ISO.
        def plan_with(f_mark):
            readings = (day.reading("incident", "backdrop", f_mark),)
            return set_day(inputs=replace(day.SET, readings=readings)).metered

        eleven, sixteen = plan_with("f/11"), plan_with("f/16")
        found = compared(plan=eleven, metered=sixteen).base
        assert found.moved_stops is None  # a plan that was metered before has no estimate
        estimated = compared(metered=sixteen).base.moved_stops
        assert estimated - compared(metered=eleven).base.moved_stops == pytest.approx(1.0)

    def test_the_mark_it_would_have_read_follows_the_stops(self):
        # f-numbers go with the root of the light: 2 stops brighter doubles the number.
        base = compared().base
        ratio = base.f_number.actual / base.f_number.planned
        assert ratio == pytest.approx(2 ** (base.moved_stops / 2))
        # Read was f/11 at 1/160, ISO 100, and planned at the same.
        assert base.f_number.actual == pytest.approx(parse_f_mark("f/11"), rel=1e-6)
        assert base.f_number.sources == (METERED,)

    def test_without_a_reading_nothing_was_metered(self):
        plan = set_day().plan
        base = compared(plan=plan, metered=plan).base
        assert (base.f_number.actual, base.moved_stops) == (None, None)

    def test_the_recipe_locked_in_stops_of_light(self):
        plan = set_day().plan
        line, power = plan.exposure, plan.lights[0].set_power
        # One stop closed, two stops slower, ISO doubled, half the power.
        locked = Recipe(
            line.working_f_number * 2**0.5, line.start_s * 4, line.iso * 2, (("octa", power / 2),)
        )
        parts = compared(recipe=locked).recipe
        assert [part.what for part in parts] == ["aperture", "shutter", "iso", "power"]
        assert [part.stops for part in parts] == pytest.approx([-1.0, 2.0, 1.0, -1.0])
        assert parts[3].light == "octa"

    def test_without_a_recipe_locked_the_planned_one_stands_alone(self):
        parts = compared().recipe
        assert {part.value.actual for part in parts} == {None}
        assert {part.stops for part in parts} == {None}
        assert parts[1].value.planned == pytest.approx(parse_shutter_mark("1/160"))


class TestWind:
    def test_the_strongest_gust_against_forecast_and_limits(self):
        # Forecast 3 m/s; the house strikes above 11 m/s whatever hangs on a stand.
        noted = tally(gusts_m_s=((at(10), 6.5), (at(30), 12.0), (at(50), 9.0)))
        wind = compared(noted).wind
        assert wind.gust == Pair(3.0, 12.0, (NOTED,))
        assert wind.gust.over == 9.0
        strike = next(one for one in wind.limits if one.what == "strike")
        assert (strike.gust_m_s, strike.passed) == (11.0, True)
        assert len(wind.met) == 3

    def test_a_gust_on_the_limit_has_not_passed_it(self):
        wind = compared(tally(gusts_m_s=((at(10), 11.0),))).wind
        assert not next(one for one in wind.limits if one.what == "strike").passed

    def test_without_a_gust_no_limit_was_passed_or_kept(self):
        wind = compared().wind
        assert wind.gust == Pair(3.0)
        assert {one.passed for one in wind.limits} == {None}

    def test_an_exposed_place_raises_the_gust_expected(self):
        # 3 m/s on a crest with the factor 1.5: 4.5 m/s.
        place = replace(day.SET.location, wind_exposure_factor=1.5)
        assert compared(inputs=replace(day.SET, location=place)).wind.gust.planned == 4.5


def test_a_caution_is_answered_by_what_was_noted_of_it():
    inputs = example.three_lights()
    asked = {one.caution.code: one for one in compared(inputs=inputs).cautions}
    assert not any(one.noted for one in asked.values())
    noted = replace(tally(inputs), gusts_m_s=((at(20), 7.0),), began_at=at(0), ended_at=at(90))
    answered = {one.caution.code: one for one in compared(noted, inputs).cautions}
    assert str(answered["wind-modifier-off"].words) == "strongest gust met: 7.0 m/s, at 14:30"
    # Planned are 75 minutes, it took 90.
    assert str(answered["over-run"].words) == "it ran 15 min over"
    assert all(one.caution.level in ("stop", "act") for one in answered.values())


def test_a_set_without_a_plan_shows_what_was_noted():
    noted = tally(
        began_at=at(0),
        ended_at=at(80),
        people=(person(0, 2, frames=9),),
        heads=(head(planned_flashes=None, planned_share=None, flashes=12, power=None,
                    full_power_flashes=None),),
    )  # fmt: skip
    bare = replace(set_day(noted), plan=None, inputs=None, metered=None, reason="no coordinates")
    found = compare_set(bare)
    assert found.reason == "no coordinates"
    assert found.minutes.over == 5.0
    assert found.people[0].turns == Pair(None, 2, (COUNTED,))
    assert found.people[0].frames == Pair(None, 9, (COUNTED,))
    assert found.heads[0].flashes == Pair(None, 12, (COUNTED,))
    assert found.heads[0].full_power == Pair(None)
    assert (found.base, found.recipe, found.cautions, found.wind.limits) == (None, (), (), ())


def test_of_a_set_without_any_event_everything_is_still_to_note():
    assert compared().missing == (
        "times", "turns", "frames", "flashes", "packs", "recipe", "gusts", "sky",
    )  # fmt: skip
    plan = set_day().plan
    assert "base" in compared(metered=plan).missing


def test_eight_people_and_three_lights():
    found = compared(inputs=example.three_lights())
    assert len(found.people) == 8
    assert [one.light for one in found.heads] == ["Octa", "Fill", "Rim"]
    # (40 + 8 x 25) x 1.1 = 264 flashes of each lamp.
    assert [one.flashes.planned for one in found.heads] == pytest.approx([264.0] * 3)


def test_a_southern_place_in_its_own_clock():
    zone = ZoneInfo("Australia/Hobart")
    start = datetime(2026, 12, 21, 14, 10, tzinfo=zone)
    place = replace(day.SET.location, place=Place(-42.9, 147.3), timezone="Australia/Hobart")
    inputs = replace(
        day.SET, location=place, start_at=start, end_at=start + timedelta(minutes=75), readings=()
    )
    noted = tally(inputs, began_at=start, ended_at=start + timedelta(minutes=70))
    found = compared(noted, inputs)
    assert found.minutes.over == -5.0
    assert found.began.planned.utcoffset() == timedelta(hours=11)
    assert found.base.f_number.planned > 0
