"""Whole settings of a set, worked by hand with a pocket calculator."""

import math

import pytest

from planning.physics.exposure import parse_f_mark, parse_shutter_mark, sum_stops
from planning.physics.flash import (
    flash_alone_f_number,
    flash_f_number,
    guide_number_m,
    high_speed_loss_stops,
    power_for,
    power_mark,
    spill_stops,
)


# A day worked by hand. Wall and face both f/11 at 1/160 in the same sun, one stop under; a
# 0.9 m octa reads f/22 at full at 2 m; wall 1 m behind the face.
def test_same_sun_worked_by_hand():
    gn_m = guide_number_m(parse_f_mark("22"), 2, source_diameter_m=0.9)
    alone = flash_alone_f_number(parse_f_mark("16"), parse_f_mark("11"))
    assert power_mark(power_for(alone, gn_m, 2, source_diameter_m=0.9)) == "1/4"
    face = [sum_stops(-1, -1 + doublings) for doublings in range(4)]
    assert face == pytest.approx([0, 0.58, 1.32, 2.17], abs=0.006)
    wall = [sum_stops(-1, -1 + spill_stops(2, gap_m, 0.9)) for gap_m in (1, 4)]
    assert wall == pytest.approx([-0.46, -0.84], abs=0.006)


def test_sun_behind_worked_by_hand():
    # Wall f/13, one under f/18; the face's own light f/4.5.
    alone = flash_alone_f_number(parse_f_mark("18"), parse_f_mark("4.5"))
    assert alone == pytest.approx(17.4, abs=0.05)


def test_wide_open_by_high_speed_sync_worked_by_hand():
    # f/16 to f/2.8 gives five stops back; 1/5000 over a 1/250 curtain and a stop of overhead
    # takes 5.43: 0.406 becomes 0.55.
    shutter_s = parse_shutter_mark("1/5000")
    cost = high_speed_loss_stops(shutter_s, 1 / 250, 1.0) - 5
    assert 0.406 * 2**cost == pytest.approx(0.55, abs=0.005)


def test_three_lights_worked_by_hand():
    # Octa 1.5 m metered f/11 at full at 2 m, used at 1.5 m, for half of f/8: f/5.66.
    gn_m = guide_number_m(parse_f_mark("11"), 2, source_diameter_m=1.5)
    assert flash_f_number(gn_m, 1.5, source_diameter_m=1.5) == pytest.approx(14.4, abs=0.05)
    power = power_for(8 / math.sqrt(2), gn_m, 1.5, source_diameter_m=1.5)
    assert power == pytest.approx(0.154, abs=0.0005)
    assert power_mark(power) == "1/8 +0.3"
