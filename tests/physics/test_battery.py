"""Flashes, charge and cold."""

import math

import pytest

from planning.physics.battery import charge_share, cold_share, energy_wh, flashes_per_charge
from planning.physics.errors import OutOfRange


# Wh x 3600 x efficiency / W.s, by hand.
@pytest.mark.parametrize(
    ("capacity_wh", "energy_ws", "efficiency", "flashes"),
    [(43.2, 200, 0.8, 622), (80, 400, 0.75, 540)],
)
def test_flashes_per_charge_by_hand(capacity_wh, energy_ws, efficiency, flashes):
    count = flashes_per_charge(capacity_wh, energy_ws, efficiency)
    assert count == pytest.approx(flashes, abs=0.5)


def test_big_packs_give_what_the_trade_says():
    # Common practice, no source: packs of 1100 to 1200 W.s give 250 to 300 full flashes; such
    # a pack's battery holds about 120 Wh.
    assert 250 <= flashes_per_charge(120, 1150) <= 300


def test_each_stop_less_doubles_the_flashes():
    assert flashes_per_charge(43, 100) == pytest.approx(2 * flashes_per_charge(43, 200))


def test_charge_share_counts_power_and_pops():
    # 240 flashes at 1/4 are 60 full ones; 66 with a tenth more, of 300.
    assert charge_share(240, 1 / 4, 300) == pytest.approx(0.2)
    assert charge_share(240, 1 / 4, 300, overhead_share=0.1) == pytest.approx(0.22)
    assert charge_share(0, 1 / 4, 300) == 0


def test_a_day_of_four_people_below_full_power_stays_within_one_battery():
    # Common practice, no source: 200 W.s, deep reflector at 1/8; 4 people, 200 frames each.
    assert charge_share(4 * 200, 1 / 8, flashes_per_charge(43, 200), overhead_share=0.1) < 1


def test_energy_adds_flashes_idling_and_modelling_light():
    # 100 x 1/2 x 400 / 3600 / 0.75 = 7.407 Wh; 5 W for 2 h; 10 W for 0.5 h.
    flashed_wh = energy_wh(100, 0.5, 400)
    assert flashed_wh == pytest.approx(7.407, abs=1e-3)
    all_wh = energy_wh(100, 0.5, 400, 2, idle_w=5, modelling_w=10, modelling_hours=0.5)
    assert all_wh == pytest.approx(7.407 + 10 + 5, abs=1e-3)


def test_energy_and_charge_tell_the_same_story():
    used_wh = energy_wh(200, 0.25, 600)
    share = charge_share(200, 0.25, flashes_per_charge(150, 600))
    assert used_wh / 150 == pytest.approx(share)


# Bands over cell makers' sheets; from memory.
@pytest.mark.parametrize(
    ("temperature_c", "low", "high"),
    [(30, 1, 1), (20, 1, 1), (0, 0.80, 0.90), (-10, 0.70, 0.85), (-20, 0.50, 0.60)],
)
def test_cold_takes_its_published_share(temperature_c, low, high):
    assert cold_share(temperature_c) == pytest.approx((low, high))


def test_between_published_points_cold_runs_straight():
    assert cold_share(10) == pytest.approx((0.90, 0.95))
    assert cold_share(-15) == pytest.approx((0.60, 0.725))


def test_colder_is_never_better():
    shares = [cold_share(temperature_c) for temperature_c in range(-20, 31)]
    assert shares == sorted(shares)
    assert all(low <= high for low, high in shares)


def test_beyond_published_cold_the_answer_is_a_sentence():
    with pytest.raises(OutOfRange, match="temperature_c must be -20 or more, not -21"):
        cold_share(-21)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: flashes_per_charge(0, 200), "capacity_wh"),
        (lambda: flashes_per_charge(43, math.nan), "energy_ws"),
        (lambda: flashes_per_charge(43, 200, 1.2), "efficiency"),
        (lambda: charge_share(-1, 0.5, 300), "flashes"),
        (lambda: charge_share(10, 0, 300), "power"),
        (lambda: charge_share(10, 0.5, 0), "flashes_at_full"),
        (lambda: charge_share(10, 0.5, 300, -0.1), "overhead_share"),
        (lambda: energy_wh(10, 0.5, 0), "energy_ws"),
        (lambda: energy_wh(10, 2, 200), "power"),
        (lambda: energy_wh(10, 0.5, 200, -1), "hours"),
        (lambda: energy_wh(10, 0.5, 200, idle_w=-1), "idle_w"),
        (lambda: energy_wh(10, 0.5, 200, modelling_hours=-1), "modelling_hours"),
        (lambda: cold_share(math.nan), "temperature_c"),
    ],
)
def test_bad_inputs_are_refused_by_name(call, named):
    with pytest.raises(OutOfRange, match=named):
        call()
