"""Guide numbers, power and distance against published dials and the geometry of light."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.physics.errors import OutOfRange
from planning.physics.exposure import parse_f_mark
from planning.physics.flash import (
    beam_cover_m,
    distance_for,
    dome_weight,
    estimated_guide_number_m,
    fall_off_stops,
    flash_alone_f_number,
    flash_f_number,
    flash_lit_share,
    flash_tail_loss_stops,
    gap_for_spill_m,
    guide_number_m,
    guide_number_spread_stops,
    high_speed_loss_stops,
    power_for,
    power_mark,
    power_setting,
    spill_stops,
)

steady = settings(derandomize=True, database=None)
GUIDE_NUMBERS_M = st.floats(5, 200)
DISTANCES_M = st.floats(0.3, 20)
POWERS = st.floats(1 / 256, 1)
DIAMETERS_M = st.floats(0, 2)


# Handbooks' dials (feet or metres, the law is the same): GN 80 at 20 is f/4; GN 45 at 5 is
# f/9; GN 32 at 4 is f/8. GN 60: by hand, sqrt(ISO / 100), sqrt(power).
@pytest.mark.parametrize(
    ("guide_number", "distance_m", "iso", "power", "f_number"),
    [
        (80, 20, 100, 1, 4),
        (45, 5, 100, 1, 9),
        (32, 4, 100, 1, 8),
        (60, 5, 400, 1, 24),
        (60, 5, 100, 1 / 4, 6),
        (60, 3, 200, 1 / 16, 7.071),
        (60, 2, 100, 1 / 128, 2.652),
    ],
)
def test_the_flash_reads_what_the_dial_says(guide_number, distance_m, iso, power, f_number):
    assert flash_f_number(guide_number, distance_m, iso, power) == pytest.approx(f_number, abs=1e-3)


def test_the_same_dial_read_for_distance():
    # GN 80 at f/8 reaches 10.
    assert distance_for(8, 80) == pytest.approx(10)


@pytest.mark.parametrize(("f_number", "distance_m"), [(4, 30), (8, 15), (16, 7.5)])
def test_a_guide_number_is_aperture_times_distance(f_number, distance_m):
    # A published GN of 120: 4 x 30 = 8 x 15 = 16 x 7.5.
    assert guide_number_m(f_number, distance_m) == pytest.approx(120)


@steady
@given(GUIDE_NUMBERS_M, DISTANCES_M, POWERS, DIAMETERS_M)
def test_power_distance_and_guide_number_undo_each_other(gn_m, distance_m, power, diameter_m):
    f_number = flash_f_number(gn_m, distance_m, 200, power, diameter_m)
    assert guide_number_m(f_number, distance_m, 200, power, diameter_m) == pytest.approx(gn_m)
    assert power_for(f_number, gn_m, distance_m, 200, diameter_m) == pytest.approx(power)
    assert distance_for(f_number, gn_m, power, 200, diameter_m) == pytest.approx(distance_m)


@steady
@given(GUIDE_NUMBERS_M, DISTANCES_M, st.floats(0.01, 2))
def test_a_beam_is_undone_the_same_way(gn_m, distance_m, offset_m):
    f_number = flash_f_number(gn_m, distance_m, source_offset_m=offset_m)
    assert distance_for(f_number, gn_m, source_offset_m=offset_m) == pytest.approx(distance_m)


# 20 log rule of the inverse square, by hand: 2 log2(d1 / d2).
@pytest.mark.parametrize(
    ("from_m", "to_m", "stops"), [(2, 3, -1.170), (2, 4, -2.0), (1, 1.4, -0.971)]
)
def test_light_falls_with_the_square_of_the_distance(from_m, to_m, stops):
    assert fall_off_stops(from_m, to_m) == pytest.approx(stops, abs=1e-3)


def test_a_wide_face_and_a_deep_reflector_fall_more_slowly():
    bare = fall_off_stops(1, 2)
    assert bare < fall_off_stops(1, 2, source_diameter_m=1.2) < 0
    assert bare < fall_off_stops(1, 2, source_offset_m=0.5) < 0


def test_far_away_a_face_is_a_point():
    assert fall_off_stops(50, 100, source_diameter_m=1.5) == pytest.approx(-2, abs=1e-3)


def test_a_source_is_a_face_or_a_beam_not_both():
    with pytest.raises(OutOfRange, match="source_offset_m"):
        flash_f_number(60, 2, source_diameter_m=1, source_offset_m=0.3)


def test_out_of_reach_shows_as_power_above_one():
    assert power_for(22, 30, 3) > 1


def test_touching_the_face_is_the_end_of_coming_nearer():
    # GN 10 behind a 1 m face: at most 10 / 0.5 = f/20.
    with pytest.raises(OutOfRange, match="f_number"):
        distance_for(21, 10, source_diameter_m=1)
    with pytest.raises(OutOfRange, match="f_number"):
        distance_for(21, 10, source_offset_m=0.5)


def test_watt_seconds_guess_a_guide_number():
    # Makers' sheets: 600 W.s about GN 80 m; scaled with the root, a stop is 0.707.
    assert estimated_guide_number_m(600) == pytest.approx(80)
    assert estimated_guide_number_m(150) == pytest.approx(40)
    assert estimated_guide_number_m(600, modifier_stops=-2) == pytest.approx(40)


def test_a_published_reading_lies_within_the_spread_of_the_guess():
    # A 1200 W.s pack in its reflector read f/45 at 10 ft, GN 137 m: 0.55 stop over the guess.
    # (A hot-shoe flash zoomed to 50 mm, GN 42 m from 76 W.s, is no standard reflector: 1.1.)
    off_stops = 2 * math.log2(45 * 3.048 / estimated_guide_number_m(1200))
    assert 0 < off_stops <= guide_number_spread_stops == 1.0


# Even curtain speed, 1/250 s of travel: share t / Tc.
@pytest.mark.parametrize(
    ("shutter_s", "share"),
    [(1 / 320, 0.781), (1 / 500, 0.5), (1 / 1000, 0.25), (1 / 2000, 0.125), (1 / 60, 1)],
)
def test_faster_than_sync_part_of_the_frame_stays_dark(shutter_s, share):
    assert flash_lit_share(shutter_s, 1 / 250) == pytest.approx(share, abs=1e-3)


# log2((Tc + t) / t) with Tc 1/250.
@pytest.mark.parametrize(
    ("shutter_s", "loss"),
    [(1 / 250, 1.0), (1 / 500, 1.585), (1 / 1000, 2.322), (1 / 4000, 4.087), (1 / 8000, 5.044)],
)
def test_high_speed_sync_costs_what_the_geometry_says(shutter_s, loss):
    assert high_speed_loss_stops(shutter_s, 1 / 250) == pytest.approx(loss, abs=1e-3)
    assert high_speed_loss_stops(shutter_s, 1 / 250, 1.0) == pytest.approx(loss + 1, abs=1e-3)


def test_far_above_sync_each_halving_costs_a_whole_stop():
    step = high_speed_loss_stops(1 / 64000, 1 / 250) - high_speed_loss_stops(1 / 32000, 1 / 250)
    assert step == pytest.approx(1, abs=0.01)


def test_flash_and_ambient_share_the_working_aperture():
    # Equal parts: sqrt(16^2 - 11.314^2) = 11.314, one stop less power than the naive f/16.
    assert flash_alone_f_number(16, parse_f_mark("11")) == pytest.approx(11.314, abs=1e-3)
    assert flash_alone_f_number(8, 0) == 8


@pytest.mark.parametrize("ambient", [8, 11])
def test_a_face_already_bright_enough_is_said_in_words(ambient):
    with pytest.raises(OutOfRange, match=r"the face already reads f/\d+ without flash"):
        flash_alone_f_number(8, ambient)


def test_the_gap_that_puts_spill_three_stops_down_is_about_1_8_distances():
    # (d + g)^2 = 8 d^2 for a point: g = (sqrt 8 - 1) d.
    assert gap_for_spill_m(2, 3) == pytest.approx(1.828 * 2, abs=1e-2)
    gap_m = gap_for_spill_m(2, 3, source_diameter_m=0.9)
    assert spill_stops(2, gap_m, 0.9) == pytest.approx(-3)


def test_no_gap_no_loss():
    assert spill_stops(2, 0) == 0
    assert gap_for_spill_m(2, 0, 1.0) == pytest.approx(0)


@pytest.mark.parametrize(("angle_deg", "weight"), [(0, 1), (90, 0.5), (-90, 0.5), (180, 0)])
def test_a_dome_sees_half_of_a_light_from_the_side(angle_deg, weight):
    assert dome_weight(angle_deg) == pytest.approx(weight)


def test_a_beam_covers_twice_its_half_angle():
    assert beam_cover_m(2, 90) == pytest.approx(4)
    assert beam_cover_m(3, 40) < beam_cover_m(3, 60)


@pytest.mark.parametrize(
    ("power", "mark"),
    [
        (1, "1/1"),
        (1 / 2, "1/2"),
        (1 / 4, "1/4"),
        (2 ** (-5 / 3), "1/4 +0.3"),
        (2 ** (-4 / 3), "1/4 +0.7"),
        (0.154, "1/8 +0.3"),
        (1 / 256, "1/256"),
    ],
)
def test_power_is_marked_as_heads_show_it(power, mark):
    assert power_mark(power) == mark


@pytest.mark.parametrize(
    ("step_stops", "scale", "mark"),
    [
        (0.1, "fraction", "1/4 +0.3"),
        (1, "fraction", "1/4"),
        (0.5, "fraction", "1/4 +0.5"),
        (0.3, "fraction", "1/4 +0.3"),
        (1 / 3, "ten", "8.3"),
        (0.1, "ten", "8.3"),
        (1, "ten", "8.0"),
    ],
)
def test_other_heads_count_in_their_own_steps(step_stops, scale, mark):
    assert power_mark(2**-1.68, step_stops, scale) == mark


def test_full_power_is_ten_on_the_scale_of_ten():
    assert power_mark(1, scale="ten") == "10.0"


def test_a_setting_is_the_nearest_the_head_has():
    assert power_setting(0.154) == pytest.approx(2 ** (-8 / 3))
    assert power_setting(0.001, least_power=1 / 128) == 1 / 128
    assert power_setting(1.7) == 1
    # Halfway between two settings the brighter one is taken.
    assert power_setting(2**-0.5, step_stops=1) == 1


@steady
@given(POWERS, st.sampled_from([1, 0.5, 1 / 3, 0.1]))
def test_a_setting_lies_half_a_step_from_the_need_at_most(power, step_stops):
    off_stops = abs(math.log2(power_setting(power, step_stops) / power))
    assert off_stops <= step_stops / 2 + 1e-5


@pytest.mark.parametrize("bad", [0, -1, math.nan, math.inf])
@pytest.mark.parametrize("name", ["f_number", "guide_number_m", "distance_m", "iso"])
def test_a_size_that_is_none_is_refused_by_name(name, bad):
    good = {"f_number": 8, "guide_number_m": 60, "distance_m": 2, "iso": 100}
    with pytest.raises(OutOfRange, match=name):
        power_for(**{**good, name: bad})


@pytest.mark.parametrize("power", [0, -0.5, 1.01, math.nan])
def test_power_outside_zero_to_one_is_refused(power):
    for call in (
        lambda: flash_f_number(60, 2, power=power),
        lambda: guide_number_m(8, 2, power=power),
        lambda: distance_for(8, 60, power=power),
        lambda: power_mark(power),
    ):
        with pytest.raises(OutOfRange, match="power"):
            call()


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: estimated_guide_number_m(0), "energy_ws"),
        (lambda: estimated_guide_number_m(600, math.nan), "modifier_stops"),
        (lambda: flash_lit_share(0, 1 / 250), "shutter_s"),
        (lambda: high_speed_loss_stops(0.001, 0), "curtain_s"),
        (lambda: high_speed_loss_stops(0.001, 0.004, -1), "overhead_stops"),
        (lambda: spill_stops(2, -1), "gap_m"),
        (lambda: gap_for_spill_m(2, -1), "stops_down"),
        (lambda: fall_off_stops(0, 1), "distance_m"),
        (lambda: dome_weight(math.nan), "angle_deg"),
        (lambda: beam_cover_m(2, 180), "beam_deg"),
        (lambda: power_mark(0.5, step_stops=0.7), "step_stops"),
        (lambda: power_mark(0.5, scale="eleven"), "scale"),
        (lambda: power_setting(0.5, least_power=0), "least_power"),
    ],
)
def test_other_bad_inputs_are_refused_by_name(call, named):
    with pytest.raises(OutOfRange, match=named):
        call()


@pytest.mark.parametrize(("t01_s", "lost_stops"), [(1 / 300, 0.094), (1 / 200, 0.249)])
def test_a_shutter_cuts_the_tail_of_a_slow_flash(t01_s, lost_stops):
    # 1/250 open collects 93.7 % and 84.2 % of an exponential flash: 1 - 10^(-T/t0.1);
    # definition of t0.1 by ISO 2827:1988, arithmetic ours
    assert flash_tail_loss_stops(1 / 250, t01_s) == pytest.approx(lost_stops, abs=1e-3)


def test_a_longer_shutter_loses_less_and_no_shutter_is_refused():
    assert flash_tail_loss_stops(1 / 60, 1 / 200) < flash_tail_loss_stops(1 / 250, 1 / 200)
    assert flash_tail_loss_stops(1.0, 1 / 1000) == pytest.approx(0.0)
    with pytest.raises(OutOfRange, match="shutter_s"):
        flash_tail_loss_stops(0.0, 1 / 200)
