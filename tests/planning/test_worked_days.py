"""Whole sets worked by hand on paper; the sum stands beside each number.

The days are common practice put into figures (no published source); the arithmetic is
N^2 adding up, inverse squares and the third-stop series. Tolerance 0.02 stop, as promised.
"""

import math
from dataclasses import replace

import pytest

from planning.physics.exposure import parse_f_mark, parse_shutter_mark
from planning.plan import evaluate
from planning.plan.inputs import AttendeeInputs, FilterInputs
from tests.planning.day import ADVANCED, CAMERA, OCTA, SET, SIMPLE, guide_number_from, reading

STOP = 0.02


def stops_apart(a: float, b: float) -> float:
    return 2 * math.log2(a / b)


def power_stops_apart(a: float, b: float) -> float:
    return math.log2(a / b)


class TestWallAndModelInTheSameSun:
    """Wall and model both read incident f/11 at 1/160, one under, octa f/22 full at 2.0 m."""

    plan = evaluate(SET)

    def test_the_camera_works_one_stop_under_the_base(self):
        assert self.plan.exposure.base_f_number == pytest.approx(parse_f_mark("11"))
        assert self.plan.exposure.working_mark == "f/16"
        assert self.plan.exposure.method == "sync first"

    def test_the_flash_alone_is_one_stop_less_than_the_camera(self):
        # 16^2 - 11.31^2 = 128 = 11.31^2
        assert abs(stops_apart(self.plan.lights[0].reading_f_number, math.sqrt(128))) < STOP

    def test_everything_together_reads_the_working_aperture(self):
        assert abs(stops_apart(self.plan.lights[0].all_in_f_number, 16)) < STOP

    def test_the_head_stands_at_a_quarter(self):
        # (11.31 / 22.63)^2 = 1/4
        assert abs(power_stops_apart(self.plan.lights[0].power, 0.25)) < STOP
        assert self.plan.lights[0].power_mark == "1/4"

    def test_the_face_climbs_down_the_ladder(self):
        # half flash, half ambient: log2(0.5 + 0.5 * 2^j)
        faces = [step.face_stops for step in self.plan.exposure.ladder[:4]]
        assert faces == pytest.approx([0, 0.585, 1.322, 2.170], abs=STOP)

    def test_white_cloth_blows_from_a_fortieth(self):
        assert str(self.plan.exposure.ladder_end) == "1/40: white cloth blows"
        white = {t.shutter_s: t.state for t in self.plan.tones if t.surface == "white cloth lit"}
        assert white[parse_shutter_mark("1/80")] == "holds"
        assert white[parse_shutter_mark("1/40")] == "blown"

    @pytest.mark.parametrize(("gap_m", "backdrop_stops"), [(1.0, -0.46), (4.0, -0.84)])
    def test_spill_lifts_the_wall(self, gap_m, backdrop_stops):
        plan = evaluate(replace(SET, gap_behind_m=gap_m))
        assert plan.exposure.ladder[0].background_stops == pytest.approx(backdrop_stops, abs=STOP)

    def test_the_strip_moves_camera_and_head_together(self):
        strip = {row.base_mark: row for row in self.plan.exposure.correction}
        assert (strip["f/8"].working_mark, strip["f/8"].power_mark) == ("f/11", "1/8")
        assert (strip["f/11"].working_mark, strip["f/11"].power_mark) == ("f/16", "1/4")
        assert (strip["f/16"].working_mark, strip["f/16"].power_mark) == ("f/22", "1/2")
        assert [row.planned for row in strip.values()].count(True) == 1


class TestSunBehindABlackCoat:
    """Wall spot placed at 0 reads f/13 at 1/160, the face f/4.5; sun 27 degrees to the right."""

    set = replace(
        SET,
        base_kind="spot",
        readings=(
            reading("spot", "backdrop", "f/13"),
            reading("incident", "face", "f/4.5"),
            reading("incident", "shade", "f/4.5"),
        ),
        camera_facing_deg=206.8 - 27.0,  # the sun of this start stands at 206.8
        gap_behind_m=None,
        wardrobe="coat",
        wardrobe_reflectance=0.04,
        slowest_hand_held_s=parse_shutter_mark("1/15"),
    )
    plan = evaluate(set)

    def test_the_camera_works_at_eighteen(self):
        assert self.plan.exposure.working_mark == "f/18"

    def test_the_flash_does_nearly_all_of_it(self):
        # 17.96^2 - 4.49^2 = 17.39^2
        assert abs(stops_apart(self.plan.lights[0].reading_f_number, 17.39)) < STOP

    def test_the_face_has_four_stops_less_of_its_own(self):
        ambient = stops_apart(self.plan.exposure.face_ambient_f_number, parse_f_mark("18"))
        assert ambient == pytest.approx(-4.0, abs=STOP)

    def test_the_ratio_falls_down_the_ladder(self):
        # (1 - 1/16 + 2^j/16) : 2^j/16
        ratios = [step.ratio for step in self.plan.exposure.ladder[:4]]
        assert ratios == pytest.approx([16, 8.5, 4.75, 2.875], rel=0.01)

    def test_the_coat_is_blocked_in_its_shade_until_a_fortieth(self):
        # log2(0.04 / 0.18) = -2.17, and four stops less in the shade
        coat = {
            (t.surface, t.shutter_s): t for t in self.plan.tones if t.surface.startswith("coat")
        }
        start, third = parse_shutter_mark("1/160"), parse_shutter_mark("1/40")
        assert coat["coat lit", start].stops == pytest.approx(-2.17, abs=STOP)
        assert coat["coat shaded", start].stops == pytest.approx(-6.17, abs=STOP)
        assert coat["coat shaded", start].state == "blocked"
        assert coat["coat shaded", third].stops == pytest.approx(-4.17, abs=STOP)
        assert coat["coat shaded", third].state == "holds"

    def test_the_side_rule_does_not_apply_and_the_lens_is_warned(self):
        assert self.plan.sun[0].from_camera_deg == pytest.approx(27.0, abs=0.1)
        assert self.plan.lights[0].sun_side in ("behind subject", "changes")
        low = replace(self.set, start_at=SET.start_at.replace(hour=17), camera_facing_deg=250.0)
        low = replace(low, end_at=low.start_at.replace(hour=18))
        assert "sun-in-camera" in {caution.code for caution in evaluate(low).cautions}


class TestTwoPointEightThreeWays:
    """Working f/16 at 1/160, key 0.406 at 2.4 m, curtain 1/250, overhead one stop."""

    key = replace(OCTA, distance_m=2.4, guide_number_m=16 * math.sqrt((2.4**2 + 0.45**2) / 0.406))
    set = replace(
        SET,
        readings=(reading("incident", "backdrop", "f/11"), reading("incident", "face", "f/1")),
        lights=(key,),
        wanted_f_number=parse_f_mark("2.8"),
        filters=(FilterInputs("ND 2", 2.0), FilterInputs("ND 3", 3.0), FilterInputs("ND 6", 6.0)),
    )

    def option(self, name, **changes):
        plan = evaluate(replace(self.set, **changes))
        return next(option for option in plan.exposure.options if option.name == name)

    def test_nd_keeps_shutter_meter_and_power(self):
        nd = self.option("nd")
        assert nd.nd_stops == pytest.approx(5.0)  # 16 to 2.8
        assert nd.camera_f_number == pytest.approx(parse_f_mark("2.8"))
        assert nd.meter_f_number == pytest.approx(16.0)
        assert abs(power_stops_apart(nd.power, 0.406)) < STOP
        assert nd.feasible

    def test_without_glass_nd_says_what_is_missing(self):
        nd = self.option("nd", filters=())
        assert not nd.feasible
        assert "5.0 stops" in str(nd.reason)

    def test_a_near_filter_leaves_the_rest_to_the_aperture(self):
        nd = self.option("nd", filters=(FilterInputs("ND 4", 4.0),))
        assert nd.camera_f_number == pytest.approx(parse_f_mark("4"))
        assert "f/4" in str(nd.reason)

    def test_hss_costs_more_than_nd(self):
        # five stops faster: 1/5160; log2((1/256 + 1/5160)/(1/5160)) + 1 - 5 = 0.41 stop
        body = replace(CAMERA, fastest_shutter_s=parse_shutter_mark("1/8000"))
        hss = self.option("hss", camera=body)
        assert hss.shutter_s == pytest.approx(parse_shutter_mark("1/5000"))
        assert hss.camera_f_number == pytest.approx(parse_f_mark("2.8"))
        assert hss.power == pytest.approx(0.55, rel=0.03)
        assert hss.trigger == "advanced"

    def test_a_body_that_ends_at_a_4000th_gets_three_point_two(self):
        hss = self.option("hss")
        assert hss.shutter_s == pytest.approx(parse_shutter_mark("1/4000"))
        assert hss.camera_f_number == pytest.approx(parse_f_mark("3.2"))
        assert hss.feasible

    def test_without_an_advanced_trigger_there_is_no_hss(self):
        hss = self.option("hss", triggers=(SIMPLE,))
        assert not hss.feasible
        assert "advanced trigger" in str(hss.reason)

    def test_hss_never_comes_out_cheaper_than_nd_even_with_a_slow_group(self):
        slow = replace(CAMERA, sync_s=parse_shutter_mark("1/60"))
        group = tuple(AttendeeInputs(name, replace(slow, owner=name)) for name in ("Gus", "Hal"))
        hss, nd = (self.option(name, attendees=group) for name in ("hss", "nd"))
        assert hss.power >= nd.power


class TestThreeLights:
    """Working f/8; octa 1.5 m metered f/11 full at 2 m, used at 1.5; fill -2, rim +0.5."""

    octa = replace(
        OCTA,
        distance_m=1.5,
        source_diameter_m=1.5,
        guide_number_m=guide_number_from("f/11", 2.0, 1.5),
    )
    fill = replace(OCTA, name="umbrella", role="fill", target_stops=-2.0)
    rim = replace(OCTA, name="edge", role="rim", target_stops=0.5, angle_deg=140.0)
    set = replace(
        SET,
        readings=(reading("incident", "backdrop", "f/5.6"), reading("incident", "face", "f/4")),
        lights=(octa, fill, rim),
    )
    plan = evaluate(set)

    def test_the_key_takes_what_fill_and_ambient_leave(self):
        # 1 - 1/4 - 1/4 = 1/2 of f/8 squared: f/5.66
        assert self.plan.exposure.working_mark == "f/8"
        assert abs(stops_apart(self.plan.lights[0].reading_f_number, 8 / math.sqrt(2))) < STOP

    def test_its_power_follows_the_face_of_its_size(self):
        # full there 11.31 * sqrt((4 + 0.5625) / (2.25 + 0.5625)) = 14.41; (5.66/14.41)^2 = 0.154
        assert abs(power_stops_apart(self.plan.lights[0].power, 0.154)) < STOP
        assert self.plan.lights[0].power_mark == "1/8 +0.3"

    def test_fill_and_rim_read_their_own_targets(self):
        assert abs(stops_apart(self.plan.lights[1].reading_f_number, 4.0)) < STOP
        assert abs(stops_apart(self.plan.lights[2].reading_f_number, 8 * 2**0.25)) < STOP

    def test_the_rim_only_enters_what_the_meter_shows(self):
        # 64 + 64 * 2^0.5 * (1 + cos 140)/2
        expected = math.sqrt(64 + 64 * 2**0.5 * (1 + math.cos(math.radians(140))) / 2)
        assert abs(stops_apart(self.plan.lights[0].all_in_f_number, expected)) < STOP

    def test_a_key_aside_reads_more_alone_so_that_all_together_stays(self):
        # 64 (1 + cos 60)/2 takes 4/3 of the light, 0.415 stop, for the same all-in reading
        aside = evaluate(replace(self.set, lights=(replace(self.octa, angle_deg=60.0),)))
        frontal = evaluate(replace(self.set, lights=(self.octa,)))
        more = stops_apart(aside.lights[0].reading_f_number, frontal.lights[0].reading_f_number)
        assert more == pytest.approx(math.log2(4 / 3), abs=STOP)
        assert abs(stops_apart(aside.lights[0].all_in_f_number, 8)) < STOP


class TestCommonPracticeValues:
    """Common practice, no source."""

    def test_eleven_at_a_125th_is_shot_at_sixteen_with_three_stops_of_trim(self):
        body = replace(CAMERA, sync_s=parse_shutter_mark("1/125"))
        plan = evaluate(
            replace(
                SET,
                attendees=(AttendeeInputs("Abel", body),),
                readings=(
                    reading("incident", "backdrop", "f/11", "1/125"),
                    reading("incident", "face", "f/2", "1/125"),
                ),
                gap_behind_m=None,
            )
        )
        backdrop = {step.mark: step.ambient_background_stops for step in plan.exposure.ladder}
        assert plan.exposure.working_mark == "f/16"
        assert plan.lights[0].all_in_mark == "f/16"
        assert backdrop["1/125"] == pytest.approx(-1.0, abs=STOP)
        assert backdrop["1/60"] == pytest.approx(0.0, abs=STOP)
        assert backdrop["1/15"] - backdrop["1/125"] == pytest.approx(3.0, abs=STOP)

    def test_fire_only_triggers_hold_a_group_of_250ths_to_a_200th_and_160ths_to_a_125th(self):
        simple = replace(SIMPLE, sync_penalty_stops=1 / 3)
        plan = evaluate(replace(SET, triggers=(simple, ADVANCED)))
        assert plan.exposure.sync_s == pytest.approx(parse_shutter_mark("1/125"))

    def test_four_people_all_day_stay_within_one_pack_of_a_200_watt_second_head(self):
        # four sets of 40 demo and 4 x 25 frames at half power, 40 Wh pack
        deep = replace(
            OCTA,
            energy_ws=200.0,
            guide_number_m=80 * math.sqrt(200 / 600) * math.sqrt(2),
            source_diameter_m=0.0,
        )
        deep = replace(deep, battery=replace(deep.battery, name="P40", capacity_wh=40.0))
        plan = evaluate(replace(SET, lights=(deep,), attendees=SET.attendees[:4]))
        assert plan.lights[0].power < 1.0
        assert 4 * plan.battery[0].charge_share < 1.0
