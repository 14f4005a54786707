"""Tones on the scale of the picture, from reflectance and light."""

import math

import pytest

from planning.physics.errors import OutOfRange
from planning.physics.tone import tone_state, tone_stops


# log2(r / 0.18): printed values for white paper, 90 % white and 3.5 % black.
@pytest.mark.parametrize(
    ("reflectance", "stops"), [(1, 2.474), (0.9, 2.322), (0.18, 0), (0.035, -2.36)]
)
def test_a_surface_stands_where_its_reflectance_puts_it(reflectance, stops):
    assert tone_stops(reflectance, ambient_stops=0) == pytest.approx(stops, abs=5e-3)


def test_ambient_and_flash_add_as_light():
    assert tone_stops(0.18, ambient_stops=-1, flash_stops=-1) == pytest.approx(0)
    assert tone_stops(0.18, ambient_stops=-1, flash_stops=None) == -1


def test_a_black_coat_blocks_on_its_shadow_side_until_the_shutter_opens():
    # Reflectance 0.04, shadow side 4 stops under at 1/160, 2 under at 1/40; lit side at 0.
    assert tone_stops(0.04, flash_stops=0) == pytest.approx(-2.17, abs=5e-3)
    early, late = (tone_stops(0.04, ambient_stops=stops) for stops in (-4, -2))
    assert (early, late) == pytest.approx((-6.17, -4.17), abs=5e-3)
    assert (tone_state(early), tone_state(late)) == ("blocked", "holds")


def test_without_light_there_is_no_tone():
    assert tone_stops(0.9) == -math.inf
    assert tone_state(-math.inf) == "blocked"


# Common practice, no source: three stops over grey is clean white, four and a half under black.
@pytest.mark.parametrize(
    ("stops", "state"),
    [(3.01, "blown"), (3, "holds"), (0, "holds"), (-4.5, "holds"), (-4.51, "blocked")],
)
def test_the_limits_of_the_scale(stops, state):
    assert tone_state(stops) == state


@pytest.mark.parametrize("reflectance", [0, -0.1, 1.01, math.nan, None])
def test_what_no_surface_reflects_is_refused(reflectance):
    with pytest.raises(OutOfRange, match="reflectance"):
        tone_stops(reflectance, ambient_stops=0)


@pytest.mark.parametrize("name", ["ambient_stops", "flash_stops"])
def test_light_that_is_no_level_is_refused_by_name(name):
    for bad in (math.nan, math.inf):
        with pytest.raises(OutOfRange, match=name):
            tone_stops(0.18, **{name: bad})


def test_a_tone_that_is_no_number_has_no_state():
    with pytest.raises(OutOfRange, match="stops"):
        tone_state(math.nan)
