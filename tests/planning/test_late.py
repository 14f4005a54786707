"""Begun late, and under another sky: against the plan of the same set moved there by hand."""

import math
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import ephem
import pytest

from planning.physics.exposure import parse_f_mark, parse_shutter_mark
from planning.physics.sun import Place
from planning.physics.water import TurningPoint
from planning.plan import evaluate
from tests.planning.day import END, OCTA, SET, START, reading

GUESSED = replace(SET, readings=())


def at(inputs, start_at, minutes=75):
    return replace(inputs, start_at=start_at, end_at=start_at + timedelta(minutes=minutes))


def moved(inputs, minutes):
    late = timedelta(minutes=minutes)
    return replace(inputs, start_at=inputs.start_at + late, end_at=inputs.end_at + late)


def with_forecast(inputs, **changes):
    return replace(inputs, forecast=replace(inputs.forecast, **changes))


class TestLate:
    @pytest.mark.parametrize("start", [START, START.replace(hour=19, minute=50)])
    @pytest.mark.parametrize("row", [0, 1])
    def test_a_late_set_is_the_plan_of_the_same_set_moved(self, start, row):
        # The oracle is the plan itself, made for the later hours from the start.
        inputs = at(GUESSED, start)
        late = evaluate(inputs).late[row]
        plan = evaluate(moved(inputs, late.minutes))
        assert late.line.working_mark == plan.exposure.working_mark
        assert late.line.shutter_s == plan.exposure.start_s
        assert late.line.iso == plan.exposure.iso
        assert late.line.method == plan.exposure.method
        assert late.line.power_mark == plan.lights[0].power_mark
        assert late.line.power_verdict == plan.lights[0].verdict
        assert late.sun == plan.sun[0]
        assert late.line.low_stops == pytest.approx(plan.ambient[0].low_stops)

    def test_thirty_and_sixty_minutes_are_told(self):
        assert [row.minutes for row in evaluate(SET).late] == [30, 60]

    @pytest.mark.parametrize(
        ("place", "zone"), [((51.0, -3.0), "Europe/London"), ((-36.9, 174.7), "Pacific/Auckland")]
    )
    def test_the_sun_stands_where_an_independent_almanac_has_it(self, place, zone):
        # PyEphem (libastro, after VSOP87); no air: pressure 0, so against the geometric height.
        start = datetime(2026, 11, 28, 14, 10, tzinfo=ZoneInfo(zone))
        location = replace(SET.location, place=Place(*place), timezone=zone)
        inputs = at(replace(GUESSED, location=location), start)
        for row in evaluate(inputs).late:
            watcher = ephem.Observer()
            watcher.lat, watcher.lon = (str(degrees) for degrees in place)
            watcher.pressure = 0
            watcher.date = row.at.astimezone(ZoneInfo("UTC")).replace(tzinfo=None)
            sun = ephem.Sun(watcher)
            height_deg, azimuth_deg = math.degrees(sun.alt), math.degrees(sun.az)
            assert row.sun.geometric_elevation_deg == pytest.approx(height_deg, abs=0.03)
            assert row.sun.azimuth_deg == pytest.approx(azimuth_deg, abs=0.07)

    def test_what_was_metered_is_carried_and_says_so(self):
        plain, metered = evaluate(GUESSED), evaluate(SET)
        for guess, row in zip(plain.late, metered.late, strict=True):
            assert row.line.source == "metered"
            assert guess.line.source == "estimate"
            assert row.line.high_stops == 0.2
            # Carried by the change of the estimate: both move alike.
            assert row.line.base_moved_stops == pytest.approx(guess.line.base_moved_stops)

    def test_toward_sunset_it_falls_and_after_it_faster(self):
        evening = evaluate(at(GUESSED, START.replace(hour=20, minute=0)))
        first, second = (row.line.base_moved_stops for row in evening.late)
        assert second < first < 0

    def test_past_sunset_the_sun_is_down_and_the_aperture_comes_first(self):
        # USNO: sunset of 21 June at 51 N, 3 W is about 21:30 British summer time.
        late = evaluate(at(GUESSED, START.replace(hour=20, minute=50))).late[1]
        assert late.sun.stands == "down"
        assert late.line.method == "aperture first"
        assert late.line.hand_held == (late.line.shutter_s <= 1 / 30)
        assert late.sun_gone_at is None

    def test_the_minute_the_sun_goes_behind_the_hill_is_named(self):
        horizon = ((0.0, 0.0), (200.0, 0.0), (225.0, 60.0), (300.0, 60.0))
        hill = replace(GUESSED, location=replace(GUESSED.location, horizon=horizon))
        row = evaluate(hill).late[0]
        assert START < row.sun_gone_at < moved(hill, 30).end_at
        before = evaluate(at(hill, row.sun_gone_at - timedelta(minutes=1)))
        after = evaluate(at(hill, row.sun_gone_at))
        assert before.sun[0].above_horizon_profile
        assert not after.sun[0].above_horizon_profile

    def test_in_the_night_without_a_reading_no_light_is_made_up(self):
        night = at(GUESSED, START.replace(month=12, hour=16, minute=40), minutes=20)
        rows = evaluate(night).late
        # The sun stands 12 degrees down about an hour and a quarter after a December sunset there.
        assert rows[0].line is not None
        assert rows[1].line is None

    def test_a_reading_goes_on_in_the_night(self):
        dusk = START.replace(month=12, hour=16, minute=40)
        night = at(SET, dusk, minutes=20)
        night = replace(night, readings=tuple(replace(r, at=dusk) for r in SET.readings))
        assert evaluate(night).late[1].line.source == "metered"

    def test_across_midnight_the_day_turns(self):
        north = replace(GUESSED.location, place=Place(69.6, 18.9), timezone="Europe/Oslo")
        start = datetime(2026, 6, 21, 23, 20, tzinfo=ZoneInfo("Europe/Oslo"))
        rows = evaluate(at(replace(GUESSED, location=north), start)).late
        assert [f"{row.at:%d %H:%M}" for row in rows] == ["21 23:50", "22 00:20"]
        assert all(row.line for row in rows)  # the sun does not set there in June

    def test_without_a_lamp_there_is_no_power_to_tell(self):
        row = evaluate(replace(SET, lights=())).late[0]
        assert row.line.power_mark == ""
        assert row.key_sun_side == ""

    def test_a_fill_set_moves_with_the_sunny_side(self):
        fill = replace(OCTA, role="fill", target_stops=-1.0)
        inputs = replace(GUESSED, job="fill", stops_under=0.0, lights=(fill,))
        row, plan = evaluate(inputs).late[0], evaluate(moved(inputs, 30))
        assert row.line.working_mark == plan.exposure.working_mark
        assert row.line.low_stops == pytest.approx(plan.ambient[0].subject_low_stops)

    def test_it_ends_with_the_years_of_the_almanac(self):
        last = datetime(2099, 12, 31, 22, 40, tzinfo=ZoneInfo("Pacific/Auckland"))
        place = replace(SET.location, place=Place(-36.9, 174.7), timezone="Pacific/Auckland")
        inputs = replace(
            SET, location=place, readings=tuple(replace(one, at=last) for one in SET.readings)
        )
        assert evaluate(at(inputs, last, minutes=30)).late == ()


class TestTurns:
    def test_what_fits_is_counted_by_hand(self):
        # Rig 12, brief 3, demo 10, then a turn of 5 + 1 each, critique 8, strike 8. In 105
        # minutes: 89 to the end of the turns; 30 late (89 - 55) / 6 = 5, 60 late (89 - 85) / 6 = 0.
        inputs = replace(SET, end_at=START + timedelta(minutes=105))
        first, second = evaluate(inputs).late
        assert (first.turns_fit, second.turns_fit, first.turns) == (5, 0, 6)
        # All six: 25 + 36 + 16 = 77; 30 + 77 - 105 = 2 over, 60 + 77 - 105 = 32.
        assert (first.over_min, second.over_min) == (2, 32)

    def test_a_limit_before_the_end_takes_turns_away(self):
        inputs = replace(SET, end_at=START + timedelta(minutes=105))
        sooner = replace(inputs, latest_at=START + timedelta(minutes=99))
        assert evaluate(sooner).late[0].turns_fit == 4

    def test_over_by_its_latest_is_told_and_after_it_left_out(self):
        inputs = replace(SET, latest_at=END + timedelta(minutes=10))
        first, second = (row.passed for row in evaluate(inputs).late)
        assert str(first[0]) == "it must be over by 15:35: cut it short by 20 min"
        assert str(second[0]) == "it must be over by 15:35: cut it short by 50 min"
        gone = replace(
            SET, end_at=START + timedelta(minutes=20), latest_at=START + timedelta(minutes=25)
        )
        assert [str(row.passed[0]) for row in evaluate(gone).late] == [
            "it had to be over by 14:35: leave this set out"
        ] * 2

    def test_nothing_is_passed_where_there_is_time(self):
        assert all(row.passed == () for row in evaluate(SET).late)

    def test_the_tide_waits_for_nobody(self):
        beach = replace(
            SET.location, water="tidal", path_low_point_m=3.0, stand_height_m=4.2, walk_min=10
        )
        low_at = START.replace(hour=14, minute=0)
        tide = (TurningPoint(low_at, 1.0), TurningPoint(low_at + timedelta(hours=6), 5.0))
        plan = evaluate(replace(SET, location=beach, tide=tide))
        # Rule of twelfths: half tide, 3.0 m, at 17:00; an hour's margin, 10 to walk, 8 to
        # strike: striking begins at 15:42. The set ends 15:25: 15:55 and 16:25 when late.
        assert f"{plan.water.strike_from_at:%H:%M}" == "15:42"
        assert [str(row.passed[0]) for row in plan.late] == [
            "striking must begin at 15:42: cut it short by 13 min",
            "striking must begin at 15:42: cut it short by 43 min",
        ]


class TestSkies:
    def test_the_sky_planned_with_is_one_of_the_two_and_gives_the_plan(self):
        for sky, name in (("clear", "sun out"), ("overcast", "cloud over")):
            plan = evaluate(with_forecast(GUESSED, sky=sky))
            row = next(row for row in plan.skies if row.planned)
            assert row.name == name
            assert row.line.working_mark == plan.exposure.working_mark
            assert row.line.power_mark == plan.lights[0].power_mark
            assert row.line.base_moved_stops == 0

    def test_the_other_sky_is_the_plan_made_for_it(self):
        plan = evaluate(with_forecast(GUESSED, sky="clear"))
        other = evaluate(with_forecast(GUESSED, sky="overcast"))
        cloud = plan.skies[1]
        assert cloud.line.working_mark == other.exposure.working_mark
        assert cloud.line.power_mark == other.lights[0].power_mark

    def test_partly_stands_between_its_two_states(self):
        plan = evaluate(with_forecast(GUESSED, sky="partly"))
        out, over = plan.skies
        assert out.line.base_moved_stops > 0 > over.line.base_moved_stops
        assert not out.planned
        assert not over.planned
        states = {state.name: state.background_ev100 for state in plan.ambient[0].states}
        moved_stops = states["sun out"] - plan.ambient[0].background_ev100
        assert out.line.base_moved_stops == pytest.approx(moved_stops)

    def test_a_reading_under_partly_belongs_to_the_nearer_state(self):
        bright = replace(SET, readings=(reading("incident", "backdrop", "f/16"),))
        dull = replace(SET, readings=(reading("incident", "backdrop", "f/4"),))
        for inputs, name in ((bright, "sun out"), (dull, "cloud over")):
            plan = evaluate(with_forecast(inputs, sky="partly"))
            row = next(row for row in plan.skies if row.planned)
            assert row.name == name
            assert row.line.source == "metered"
            assert row.line.base_mark == plan.exposure.correction[3].base_mark

    def test_a_reading_carried_to_the_other_sky_is_an_estimate_with_more_spread(self):
        out, over = evaluate(SET).skies
        assert (out.line.source, over.line.source) == ("metered", "estimate")
        assert over.line.low_stops < out.line.low_stops
        assert over.line.high_stops > out.line.high_stops

    def test_aperture_and_flash_left_alone_the_shutter_makes_it_up(self):
        over = evaluate(GUESSED).skies[1]
        stops = -over.line.base_moved_stops
        slower = parse_shutter_mark(over.line.shutter_alone_mark) / parse_shutter_mark("1/160")
        assert math.log2(slower) == pytest.approx(stops, abs=1 / 6)

    def test_no_shutter_is_offered_faster_than_the_sync_or_slower_than_hands(self):
        dull = with_forecast(GUESSED, sky="overcast")
        assert evaluate(dull).skies[0].line.shutter_alone_mark == ""
        steady = replace(GUESSED, slowest_hand_held_s=parse_shutter_mark("1/125"))
        assert evaluate(steady).skies[1].line.shutter_alone_mark == ""

    def test_with_the_sun_down_or_hidden_there_is_no_strip(self):
        down = at(GUESSED, START.replace(hour=22, minute=0), minutes=30)
        assert evaluate(down).skies == ()
        hidden = replace(GUESSED.location, horizon=((0.0, 80.0), (180.0, 80.0)))
        assert evaluate(replace(GUESSED, location=hidden)).skies == ()

    def test_a_cloud_over_a_lens_too_slow_makes_the_aperture_come_first(self):
        slow = at(GUESSED, START.replace(hour=19, minute=0))
        slow = replace(slow, widest_f_number=parse_f_mark("5.6"))
        assert evaluate(slow).skies[1].line.method == "aperture first"

    def test_under_another_forecast_nothing_is_guessed_of_the_sky_twice(self):
        # The state is known then: its spread is the sky's own, less than that of any sky.
        unknown = evaluate(replace(GUESSED, forecast=None))
        assert unknown.skies[0].line.low_stops > unknown.ambient[0].low_stops
