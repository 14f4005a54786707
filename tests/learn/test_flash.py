"""A flash reading with daylight in it, taken apart."""

import math
from dataclasses import replace

import pytest

from planning.learn.flash import (
    FlashMetered,
    about,
    chosen_above_stops,
    daylight_over_flash,
    guide_witness,
    teaches,
)
from planning.physics.errors import OutOfRange
from planning.physics.flash import flash_f_number

GUIDE_NUMBER_M = 46.0
STOPS = 2 * math.log2(GUIDE_NUMBER_M)


def metered(power=0.25, distance_m=2.0, iso=100.0, diameter_m=0.9, offset_m=0.0, **more):
    """A lamp of 46 m as a perfect meter would read it, daylight and dome as in ``more``."""
    alone = flash_f_number(GUIDE_NUMBER_M, distance_m, iso, power, diameter_m, offset_m)
    gel = more.get("gel_loss_stops", 0.0)
    angle_deg = more.get("angle_deg", 0.0) if more.get("to_lens") else 0.0
    seen = alone * 2 ** (-gel / 2) * math.sqrt((1 + math.cos(math.radians(angle_deg))) / 2)
    whole = math.hypot(seen, more.get("daylight_f_number") or 0.0)
    shape = {"source_diameter_m": diameter_m, "source_offset_m": offset_m}
    return FlashMetered("r", "d", whole, iso, power, distance_m, **shape, **more)


@pytest.mark.parametrize(
    "case",
    [
        {},
        {"power": 1.0, "distance_m": 1.2, "iso": 400.0},
        {"distance_m": 0.6, "diameter_m": 1.5},  # near a large face
        {"diameter_m": 0.0, "offset_m": 0.4},  # a beam that starts behind its rim
        {"gel_loss_stops": 1.1},
        {"daylight_f_number": 5.6},
        {"daylight_f_number": 8.0, "to_lens": True, "angle_deg": 45.0},
        {"daylight_f_number": 4.0, "to_lens": True, "angle_deg": -90.0},
    ],
)
def test_the_lamps_own_number_comes_back_whatever_was_added(case):
    # light adds: whole^2 = flash^2 + daylight^2; a dome sees (1 + cos a)/2 (light method 1.3, 2.1)
    assert guide_witness(metered(**case)).value == pytest.approx(STOPS)


def test_the_slate_wall_reading_by_hand():
    # light method 13, same sun: face f/11 in daylight, all f/16, so the flash alone f/11.3:
    # 11.314 at 1/4 and 2.0 m from a face of 0.9 m: 11.314 * 2.05 / sqrt(1/4) = 46.4 m
    reading = FlashMetered(
        "r", "d", 16.0, 100.0, 0.25, 2.0, source_diameter_m=0.9, daylight_f_number=11.314
    )
    assert 2 ** (guide_witness(reading).value / 2) == pytest.approx(46.4, abs=0.05)


def test_the_nearer_the_daylight_the_noisier_the_witness():
    ratios = [guide_witness(metered(daylight_f_number=n)).noise_ratio for n in (0.5, 4, 8, 16)]
    assert ratios == sorted(ratios)
    assert ratios[0] == pytest.approx(1.0, abs=0.01)
    # half the light is the day's, which changes by half of what a reading errs by
    # and stands on a third-stop mark: sqrt(1 + (1 + 1/4 + (5/3)^2 / 12) / 4) / (1/2)
    alone = flash_f_number(GUIDE_NUMBER_M, 2.0, 100.0, 0.25, 0.9)
    assert guide_witness(metered(daylight_f_number=alone)).noise_ratio == pytest.approx(
        math.sqrt(1 + (1.25 + (5 / 3) ** 2 / 12) / 4) / 0.5
    )


def test_a_witness_laid_about_a_figure_says_the_same_where_it_agrees_and_as_much_either_way():
    daylight = flash_f_number(GUIDE_NUMBER_M, 2.0, 100.0, 0.25, 0.9)  # as bright as the lamp
    reading = metered(daylight_f_number=daylight)
    plain = guide_witness(reading)
    here, lowered = about(reading, STOPS, 0.05)
    assert lowered == pytest.approx(0.0, abs=1e-6)  # far above its daylight: none were left out
    assert here.value == pytest.approx(plain.value)
    assert here.noise_ratio == pytest.approx(plain.noise_ratio)
    # a whole 0.2 stop higher or lower, half of it flash: 0.4 stop of the lamp, nearly as noisy
    for off in (0.2, -0.2):
        moved = replace(reading, f_number=reading.f_number * 2 ** (off / 2))
        odd, _lowered = about(moved, STOPS, 0.05)
        assert odd.value - STOPS == pytest.approx(2 * off, rel=0.1)
        assert odd.noise_ratio == pytest.approx(plain.noise_ratio, rel=0.1)
    dark = metered()
    assert about(dark, STOPS - 1.0, 0.2) == (guide_witness(dark), 0.0)  # in the dark it is as read


def test_readings_chosen_for_standing_above_their_daylight_stand_higher_on_average():
    # a normal cut at its middle stands sqrt(2 / pi) deviations above it
    deviation = math.hypot(1.0, math.sqrt(1.25 + (5 / 3) ** 2 / 12)) * 0.1
    assert chosen_above_stops(0.28, 0.1) == pytest.approx(deviation * math.sqrt(2 / math.pi))
    highers = [chosen_above_stops(above, 0.1) for above in (-3.0, 0.0, 0.2, 0.5, 3.0)]
    assert highers == sorted(highers, reverse=True)
    assert highers[0] == pytest.approx(3.28, abs=0.02)  # what is left stands just above the cut
    assert highers[-1] < 1e-9


def test_how_bright_the_daylight_was_beside_the_lamp():
    # one stop under the whole: half of it, as bright as the lamp
    reading = FlashMetered("r", "d", 16.0, 100.0, 0.25, 2.0)
    assert daylight_over_flash(reading) == 0.0
    for f_number, times in ((16.0 / math.sqrt(2), 1.0), (16.0 * math.sqrt(2 / 3), 2.0)):
        with_day = replace(reading, daylight_f_number=f_number)
        assert daylight_over_flash(with_day) == pytest.approx(times)
    assert daylight_over_flash(replace(reading, daylight_f_number=16.0)) is None


def test_daylight_far_brighter_than_the_lamp_teaches_nothing():
    whole = FlashMetered("r", "d", 11.314, 100.0, 0.25, 2.0)
    assert teaches(whole)
    for above, says in ((0.27, False), (0.30, True), (1.0, True)):
        with_day = FlashMetered(
            "r", "d", 11.314, 100.0, 0.25, 2.0, daylight_f_number=11.314 * 2 ** (-above / 2)
        )
        assert teaches(with_day) is says


def test_full_power_has_no_mark_to_be_off_and_others_share_theirs():
    assert guide_witness(metered(power=1.0)).mark == ""
    assert guide_witness(metered(power=0.25)).mark == guide_witness(metered(power=0.25001)).mark
    assert guide_witness(metered(power=0.25)).mark != guide_witness(metered(power=0.5)).mark


def test_a_reading_that_cannot_be_is_refused():
    with pytest.raises(OutOfRange):  # brighter by day than with the flash
        guide_witness(FlashMetered("r", "d", 8.0, 100.0, 0.25, 2.0, daylight_f_number=11.0))
    with pytest.raises(OutOfRange):  # the dome does not see it
        guide_witness(FlashMetered("r", "d", 8.0, 100.0, 0.25, 2.0, to_lens=True, angle_deg=180.0))
    with pytest.raises(OutOfRange):
        guide_witness(FlashMetered("r", "d", 8.0, 100.0, 2.0, 2.0))
