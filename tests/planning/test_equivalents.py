"""One recipe on other cameras and with a smaller flash, against arithmetic done by hand."""

import math
from dataclasses import replace

import pytest

from planning.physics.errors import OutOfRange
from planning.physics.exposure import f_mark, parse_f_mark, parse_shutter_mark, shutter_mark
from planning.plan.equivalents import Recipe, hot_shoe, own_settings, smaller_flash
from tests.planning.day import CAMERA

RECIPE = Recipe(
    f_number=parse_f_mark("16"),
    shutter_s=parse_shutter_mark("1/160"),
    iso=100.0,
    focal_mm=85.0,
    sensor_width_mm=36.0,
    sensor_height_mm=24.0,
    key_alone_f_number=parse_f_mark("11"),
    key_distance_m=2.0,
)
FAST = replace(CAMERA, sync_s=parse_shutter_mark("1/250"), lowest_iso=100, measured_sync_s=None)


def test_the_same_kind_of_body_sets_the_same():
    own = own_settings(RECIPE, FAST)
    assert (f_mark(own.f_number), shutter_mark(own.shutter_s), own.iso) == ("f/16", "1/160", 100)
    assert own.focal_mm == 85
    assert not own.differs


def test_a_floor_of_iso_200_closes_one_stop_and_leaves_the_flash():
    # light-method.md section 4: "ISO 200 bodies: f/22", same power.
    own = own_settings(RECIPE, replace(FAST, lowest_iso=200))
    assert f_mark(own.f_number) == "f/22"
    assert own.iso == 200
    assert own.backdrop_stops == 0


def test_a_slower_sync_keeps_the_aperture_and_lifts_the_backdrop():
    # 1/60 less a third of a stop is 1/50: from 1/160 that is 5/3 stops.
    own = own_settings(RECIPE, replace(FAST, sync_s=parse_shutter_mark("1/60")))
    assert shutter_mark(own.shutter_s) == "1/50"
    assert f_mark(own.f_number) == "f/16"
    assert own.backdrop_stops == pytest.approx(5 / 3, abs=1e-6)


def test_a_measured_sync_beats_the_manual():
    slow = replace(FAST, sync_s=parse_shutter_mark("1/60"))
    measured = replace(slow, measured_sync_s=parse_shutter_mark("1/160"))
    assert not own_settings(RECIPE, measured).differs


def test_a_smaller_sensor_wants_a_shorter_lens_for_the_same_width():
    # 85 x 23.5 / 36 = 55.5 mm.
    small = replace(FAST, sensor_width_mm=23.5, sensor_height_mm=15.6)
    own = own_settings(RECIPE, small)
    assert own.focal_mm == pytest.approx(55.5, abs=0.1)
    # The blur allowed shrinks with the diagonal, 28.2 to 43.3 mm: f/16 x 0.652 = f/10.4.
    assert f_mark(own.same_depth_f_number) == "f/10"


def test_a_hot_shoe_flash_reaches_as_far_as_its_guide_number_says():
    # Guide number 42 at f/11.31: 42 / 11.31 = 3.71 m; at 2 m (2/3.71)^2 = 0.29 of full power.
    flash = smaller_flash(RECIPE, 42.0)
    assert flash.full_power_m == pytest.approx(3.71, abs=0.01)
    assert flash.power == pytest.approx(0.29, abs=0.005)
    assert flash.short_stops == 0


def test_one_that_is_too_weak_says_by_how_many_stops():
    # Half the guide number needed is two stops short.
    flash = smaller_flash(RECIPE, RECIPE.key_alone_f_number * 2.0 / 2)
    assert flash.short_stops == pytest.approx(2.0)
    assert flash.full_power_m == pytest.approx(1.0)


def test_a_set_without_a_key_has_no_smaller_flash():
    assert smaller_flash(replace(RECIPE, key_distance_m=None), 42.0) is None


@pytest.mark.parametrize("guide_number_m", [0.0, -3.0, math.nan, math.inf])
def test_a_guide_number_must_be_a_size(guide_number_m):
    with pytest.raises(OutOfRange):
        smaller_flash(RECIPE, guide_number_m)


def test_an_umbrella_shot_through_brings_the_hot_shoe_flash_nearer():
    # 1.7 stops less light is 2^(-0.85) of the distance: 3.71 m x 0.555 = 2.06 m.
    bare, soft = hot_shoe(RECIPE)
    assert soft.full_power_m == pytest.approx(2.06, abs=0.01)
    assert soft.full_power_m < bare.full_power_m
