"""Drag, tipping and ballast against handbooks and moments taken by hand."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.physics.errors import OutOfRange
from planning.physics.wind import (
    StandLoad,
    ballast_kg,
    ballast_on_foot_kg,
    beaufort,
    drag_n,
    gust_from_mean_m_s,
    more_ballast_kg,
    stability,
    tipping_speed_m_s,
    wind_at_height_m_s,
)
from tests.published import published

steady = settings(derandomize=True, database=None)
# 0.54 m2 at Cd 1.18, 3 m up, 8 kg on legs of 0.55 m.
SHAPE = {
    "area_m2": 0.54,
    "drag_coefficient": 1.18,
    "lamp_height_m": 3,
    "mass_kg": 8,
    "leg_radius_m": 0.55,
}
STAND = StandLoad(mass_kg=8, leg_radius_m=0.55)


@pytest.mark.parametrize("row", published("drag"))
def test_drag_matches_published_coefficients(row):
    force_n = drag_n(float(row["speed_m_s"]), float(row["area_m2"]), float(row["drag_coefficient"]))
    assert force_n == pytest.approx(float(row["force_n"]), rel=5e-3)


@pytest.mark.parametrize("row", published("wind_pressure"))
def test_pressure_matches_the_building_code_in_other_units(row):
    # 1 mph = 0.44704 m/s, 1 psf = 47.880 Pa.
    pressure_pa = drag_n(float(row["mph"]) * 0.44704, area_m2=1, drag_coefficient=1)
    assert pressure_pa / 47.880 == pytest.approx(float(row["psf"]), rel=5e-3)


def test_thin_air_pushes_less():
    # ISO 2533 at 2000 m: 1.0065 kg/m3.
    share = drag_n(10, 1, 1.2, air_density_kg_m3=1.0065) / drag_n(10, 1, 1.2)
    assert share == pytest.approx(1.0065 / 1.225)


# ln(3 / z0) / ln(10 / z0): open ground 0.03 m, open water 0.0002 m.
@pytest.mark.parametrize(("roughness_m", "share"), [(0.03, 0.793), (0.0002, 0.889)])
def test_mean_wind_is_weaker_near_the_ground(roughness_m, share):
    assert wind_at_height_m_s(10, 3, roughness_m) == pytest.approx(10 * share, abs=5e-3)


def test_at_ten_metres_the_forecast_stands():
    assert wind_at_height_m_s(7.3, 10, 0.03) == pytest.approx(7.3)


# v = sqrt(2 g m (R / 2) / (rho Cd A h)): 7.19 N tips it bare.
@pytest.mark.parametrize(("bag_kg", "speed_m_s"), [(0, 4.29), (10, 6.44), (20, 8.03)])
def test_tipping_speed_by_hand(bag_kg, speed_m_s):
    assert tipping_speed_m_s(**SHAPE, ballast_kg=bag_kg) == pytest.approx(speed_m_s, rel=5e-3)


# 1.5 F h / (g R / 2) - m.
@pytest.mark.parametrize(("speed_m_s", "need_kg"), [(5, 8.3), (8, 33.7), (10, 57.1)])
def test_ballast_by_hand(speed_m_s, need_kg):
    assert ballast_kg(speed_m_s, **SHAPE) == pytest.approx(need_kg, rel=0.01)
    assert ballast_on_foot_kg(speed_m_s, **SHAPE) == pytest.approx(need_kg / 3, rel=0.01)


@pytest.mark.parametrize("speed_m_s", [0, 1, 3])
def test_ballast_is_never_below_none(speed_m_s):
    assert ballast_kg(speed_m_s, **SHAPE) == 0
    assert ballast_on_foot_kg(speed_m_s, **SHAPE) == 0


@steady
@given(st.floats(4.4, 15))
def test_the_stand_tips_just_where_its_ballast_ends(speed_m_s):
    need_kg = ballast_kg(speed_m_s, **SHAPE, safety_factor=1)
    assert tipping_speed_m_s(**SHAPE, ballast_kg=need_kg) == pytest.approx(speed_m_s)


@steady
@given(st.floats(0.5, 20))
def test_twice_the_wind_is_four_times_the_force(speed_m_s):
    assert drag_n(2 * speed_m_s, 0.5, 1.4) == pytest.approx(4 * drag_n(speed_m_s, 0.5, 1.4))


def test_higher_lamps_and_shorter_legs_want_more():
    base_kg = ballast_kg(8, **SHAPE)
    assert ballast_kg(8, **{**SHAPE, "lamp_height_m": 3.5}) > base_kg
    assert ballast_kg(8, **{**SHAPE, "leg_radius_m": 0.5}) > base_kg
    assert ballast_kg(8, **{**SHAPE, "mass_kg": 10}) == pytest.approx(base_kg - 2)


def test_the_fuller_case_agrees_with_the_plain_one_on_level_ground():
    force_n = drag_n(8, 0.54, 1.18)
    need_kg = ballast_kg(8, **SHAPE)
    assert more_ballast_kg(force_n, 3, STAND) == pytest.approx(need_kg)
    bagged = StandLoad(mass_kg=8, leg_radius_m=0.55, hung_kg=need_kg)
    assert stability(force_n, 3, bagged).safety_factor == pytest.approx(1.5)
    assert more_ballast_kg(force_n, 3, bagged) == pytest.approx(0, abs=1e-9)


def test_a_bag_on_the_foot_holds_straight_wind_but_not_a_swinging_one():
    # Straight: F h = 8 g 0.275 + 15 g 0.825 holds. 45 degrees off, the edge at 120 degrees
    # gets F h cos 75 against the bare 8 g 0.275 = 21.57 N m: the bagged foot stands on it.
    force_n = drag_n(8, 0.54, 1.18)
    load = StandLoad(mass_kg=8, leg_radius_m=0.55, on_foot_kg=15)
    straight = stability(force_n, 3, load, off_axis_deg=0)
    assert straight.safety_factor == pytest.approx(
        9.80665 * (8 * 0.275 + 15 * 0.825) / (force_n * 3)
    )
    swinging = stability(force_n, 3, load)
    assert abs(swinging.edge_deg) == 120
    assert swinging.resisting_nm == pytest.approx(21.57, abs=0.01)
    assert swinging.overturning_nm == pytest.approx(force_n * 3 * math.cos(math.radians(75)))


def test_wind_exactly_toward_a_foot_tips_half_as_easily():
    # Arm R / 2 against an edge, R against a foot: 7.19 N and 14.38 N on the same stand.
    tips_at_n = 9.80665 * 8 * 0.275 / 3
    assert tips_at_n == pytest.approx(7.19, abs=0.005)
    assert stability(tips_at_n, 3, STAND, off_axis_deg=0).safety_factor == pytest.approx(1)
    toward_foot_share = math.cos(math.radians(60))
    assert tips_at_n / toward_foot_share == pytest.approx(14.38, abs=0.01)


def test_an_overhanging_box_and_a_slope_shorten_the_arm():
    # 2 kg 0.3 m ahead take 2 g 0.3; 3 degrees take 8 g 2 tan 3 with the mass 2 m up.
    force_n = drag_n(5, 0.54, 1.18)
    ahead = StandLoad(mass_kg=8, leg_radius_m=0.55, overhang_mass_kg=2, overhang_m=0.3)
    assert stability(force_n, 3, ahead).resisting_nm == pytest.approx(
        9.80665 * (8 * 0.275 - 2 * 0.3)
    )
    tilted = StandLoad(mass_kg=8, leg_radius_m=0.55, slope_deg=3, mass_height_m=2)
    assert stability(force_n, 3, tilted).resisting_nm == pytest.approx(
        9.80665 * 8 * (0.275 - 2 * math.tan(math.radians(3)))
    )
    level_kg = more_ballast_kg(force_n, 3, STAND)
    assert more_ballast_kg(force_n, 3, ahead) == pytest.approx(level_kg + 2 * 0.3 / 0.275)


def test_a_stand_steep_enough_falls_without_wind():
    # Tips where h tan(slope) passes R / 2: 3 m up on 5.24 degrees.
    for slope_deg, holds in [(5.2, True), (5.3, False)]:
        load = StandLoad(mass_kg=8, leg_radius_m=0.55, slope_deg=slope_deg)
        assert (stability(0, 3, load).safety_factor > 0) is holds


def test_still_air_tips_nothing():
    assert stability(0, 3, STAND).safety_factor == math.inf


@pytest.mark.parametrize("row", published("beaufort"))
def test_beaufort_matches_the_wmo_table(row):
    assert beaufort(float(row["from_m_s"])) == int(row["force"])
    if row["to_m_s"]:
        assert beaufort(float(row["to_m_s"])) == int(row["force"])


@steady
@given(st.integers(0, 11))
def test_beaufort_limits_follow_the_power_law(force):
    # Simpson's relation behind the table: v = 0.836 B^1.5 at B + 1/2, to 0.1 m/s or so.
    limit_m_s = 0.836 * (force + 0.5) ** 1.5
    assert beaufort(limit_m_s - 0.15) == force
    assert beaufort(limit_m_s + 0.15) == force + 1


def test_a_gust_is_the_mean_times_its_factor():
    assert gust_from_mean_m_s(6, 1.7) == pytest.approx(10.2)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: drag_n(-1, 1, 1), "speed_m_s"),
        (lambda: drag_n(5, 0, 1), "area_m2"),
        (lambda: drag_n(5, 1, math.nan), "drag_coefficient"),
        (lambda: drag_n(5, 1, 1, 0), "air_density_kg_m3"),
        (lambda: wind_at_height_m_s(5, 0.03, 0.03), "height_m"),
        (lambda: wind_at_height_m_s(5, 3, 12), "roughness_length_m"),
        (lambda: wind_at_height_m_s(math.inf, 3, 0.03), "speed_10m_m_s"),
        (lambda: tipping_speed_m_s(**{**SHAPE, "leg_radius_m": 0}), "leg_radius_m"),
        (lambda: tipping_speed_m_s(**SHAPE, ballast_kg=-1), "ballast_kg"),
        (lambda: ballast_kg(8, **{**SHAPE, "mass_kg": 0}), "mass_kg"),
        (lambda: ballast_kg(8, **SHAPE, safety_factor=0.9), "safety_factor"),
        (lambda: ballast_on_foot_kg(8, **{**SHAPE, "lamp_height_m": 0}), "lamp_height_m"),
        (lambda: gust_from_mean_m_s(6, 0.8), "gust_factor"),
        (lambda: beaufort(-0.1), "speed_m_s"),
        (lambda: stability(5, 3, StandLoad(8, 0.55, slope_deg=40)), "slope_deg"),
        (lambda: stability(5, 3, StandLoad(8, 0.55, hung_kg=-1)), "hung_kg"),
        (lambda: stability(5, 3, STAND, off_axis_deg=100), "off_axis_deg"),
        (lambda: stability(5, 3, StandLoad(8, 0.55, mass_height_m=-1)), "mass_height_m"),
        (lambda: more_ballast_kg(math.nan, 3, STAND), "force_n"),
        (lambda: more_ballast_kg(5, 3, STAND, safety_factor=0.5), "safety_factor"),
    ],
)
def test_bad_inputs_are_refused_by_name(call, named):
    with pytest.raises(OutOfRange, match=named):
        call()
