"""Mireds and gels."""

import math

import pytest

from planning.physics.colour import filtered_kelvin, mired
from planning.physics.errors import OutOfRange


# A million over kelvin, by hand.
@pytest.mark.parametrize(("kelvin", "expected"), [(5500, 181.8), (3200, 312.5), (10_000, 100)])
def test_mired_is_a_million_over_kelvin(kelvin, expected):
    assert mired(kelvin) == pytest.approx(expected, abs=0.05)


# Two rival series of full CTO, 159 and 167 mired, on a 5500 K flash: 2870 to 2930 K in print.
@pytest.mark.parametrize(("shift_mired", "kelvin"), [(159, 2930), (167, 2870), (0, 5500)])
def test_a_gel_brings_daylight_to_its_printed_colour(shift_mired, kelvin):
    assert filtered_kelvin(5500, shift_mired) == pytest.approx(kelvin, rel=2e-3)


def test_warming_lowers_kelvin_and_cooling_raises_it():
    assert filtered_kelvin(5500, 42) < 5500 < filtered_kelvin(5500, -42)


def test_a_gel_and_its_opposite_cancel():
    assert filtered_kelvin(filtered_kelvin(5500, 81), -81) == pytest.approx(5500)


@pytest.mark.parametrize("kelvin", [0, -5500, math.nan, math.inf])
def test_no_colour_temperature_is_refused(kelvin):
    with pytest.raises(OutOfRange, match="kelvin"):
        mired(kelvin)


@pytest.mark.parametrize("shift_mired", [-182, math.nan])
def test_a_filter_past_the_blue_end_is_refused(shift_mired):
    with pytest.raises(OutOfRange, match="shift_mired"):
        filtered_kelvin(5500, shift_mired)
