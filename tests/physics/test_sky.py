"""Sky patterns against closed forms, older published skies and a plain sum over the dome."""

from math import acos, cos, degrees, exp, inf, log2, nan, pi, radians, sin

import pytest

from planning.physics.errors import OutOfRange
from planning.physics.sky import (
    PATTERN_OF_SKY,
    SkyPattern,
    relative_luminance,
    sky_luminance_cd_m2,
    sky_pattern,
    sky_share,
)

UNIFORM, OVERCAST, PARTLY, CLEAR = 5, 1, 7, 12


def luminance(elevation_deg, *, sun_deg=40.0, azimuth_deg=0.0, pattern=CLEAR, lx=10_000.0):
    """A patch with the sun in the south at ``sun_deg``."""
    return sky_luminance_cd_m2(
        lx,
        sun_deg,
        180.0,
        patch_elevation_deg=elevation_deg,
        patch_azimuth_deg=azimuth_deg,
        pattern=pattern,
    )


def test_our_three_skies_are_the_overcast_the_partly_cloudy_and_the_clear_type():
    # CIE S 011:2003: 1 overcast, steep; 7 partly cloudy, brighter towards the sun; 12 clear, clean.
    assert PATTERN_OF_SKY == {"clear": 12, "partly": 7, "overcast": 1}


def test_the_uniform_sky_is_uniform():
    for zenith_angle_deg, from_sun_deg in ((0, 50), (45, 10), (90, 140)):
        assert relative_luminance(zenith_angle_deg, 50, from_sun_deg, pattern=UNIFORM) == 1
    # Lambert: illuminance of a uniform dome is pi times its luminance.
    assert luminance(30, pattern=UNIFORM, lx=pi * 1000) == pytest.approx(1000, rel=1e-3)


def test_the_overcast_zenith_is_three_times_its_horizon():
    # Moon & Spencer (1942), the traditional overcast sky: L = Lz (1 + 2 sin) / 3. Type 1 is the
    # standard's nearest to it, a tenth of the zenith darker low down.
    assert 1 / relative_luminance(90, 50, 90, pattern=OVERCAST) == pytest.approx(3, rel=0.02)
    for elevation_deg in (15, 30, 60):
        ratio = relative_luminance(90 - elevation_deg, 50, 60, pattern=OVERCAST)
        assert ratio == pytest.approx((1 + 2 * sin(radians(elevation_deg))) / 3, abs=0.1)
    # and the level gathers 7 pi / 9 of the zenith's luminance.
    assert 1000 / luminance(90, pattern=OVERCAST, lx=1000) == pytest.approx(7 * pi / 9, rel=0.05)


def test_the_overcast_sky_is_the_same_all_round():
    assert luminance(20, azimuth_deg=180, pattern=OVERCAST) == luminance(20, pattern=OVERCAST)


def test_the_clear_sky_is_the_older_cie_clear_sky():
    # CIE S 003:1996 (Kittler): (0.91 + 10 e^-3x + 0.45 cos^2 x)(1 - e^(-0.32 / cos Z)), over the
    # same at the zenith, where the last factor is 0.27385.
    def kittler(zenith_angle, from_sun):
        scatter = 0.91 + 10 * exp(-3 * from_sun) + 0.45 * cos(from_sun) ** 2
        return scatter * (1 - exp(-0.32 / cos(zenith_angle)))

    for zenith_angle_deg, sun_zenith_deg, from_sun_deg in (
        (60, 50, 30),
        (30, 50, 80),
        (85, 20, 100),
    ):
        expected = kittler(radians(zenith_angle_deg), radians(from_sun_deg)) / (
            kittler(0, radians(sun_zenith_deg))
        )
        found = relative_luminance(zenith_angle_deg, sun_zenith_deg, from_sun_deg, pattern=CLEAR)
        assert found == pytest.approx(expected, rel=0.002)  # 0.91 is the standard's rounding
    assert 1 - exp(-0.32) == pytest.approx(0.27385, abs=1e-5)


@pytest.mark.parametrize("pattern", range(1, 16))
def test_every_type_has_the_zenith_at_one_and_nowhere_goes_dark(pattern):
    assert relative_luminance(0, 50, 50, pattern=pattern) == pytest.approx(1)
    for zenith_angle_deg in (0, 45, 89, 90):
        for from_sun_deg in (0, 60, 120, 180):
            assert relative_luminance(zenith_angle_deg, 50, from_sun_deg, pattern=pattern) > 0


def test_the_clear_sky_brightens_towards_the_sun():
    assert luminance(40, azimuth_deg=150) > luminance(40, azimuth_deg=90) > luminance(40)


def test_a_patch_near_the_disc_is_answered_ten_degrees_off():
    beside = relative_luminance(50, 50, 10, pattern=CLEAR)
    assert luminance(40, azimuth_deg=180) == pytest.approx(luminance(90) * beside, rel=1e-9)


def test_a_sun_below_the_horizon_counts_as_on_it():
    assert luminance(30, sun_deg=-4) == luminance(30, sun_deg=0)


def test_sky_turns_with_the_sun_in_either_hemisphere():
    south = sky_luminance_cd_m2(
        1e4, 40, 180, patch_elevation_deg=20, patch_azimuth_deg=120, pattern=CLEAR
    )
    north = sky_luminance_cd_m2(
        1e4, 40, 0, patch_elevation_deg=20, patch_azimuth_deg=300, pattern=CLEAR
    )
    assert south == pytest.approx(north)


def share(tilt_deg, *, off_deg=0.0, sun_deg=40.0, pattern=CLEAR):
    return sky_share(sun_deg, 180, facing_deg=180 + off_deg, tilt_deg=tilt_deg, pattern=pattern)


@pytest.mark.parametrize("tilt_deg", [0, 30, 90, 150, 180])
def test_an_even_sky_gives_half_of_one_plus_the_cosine(tilt_deg):
    # Liu & Jordan (1963), isotropic view factor.
    expected = (1 + cos(radians(tilt_deg))) / 2
    assert share(tilt_deg, pattern=UNIFORM) == pytest.approx(expected, abs=1e-6)


def test_an_upright_wall_under_the_overcast_sky_gathers_two_fifths():
    # BRE, "Site layout planning for daylight and sunlight": 39.6 % for the Moon-Spencer sky; the
    # standard's type 1 is a little steeper at the horizon.
    assert share(90, pattern=OVERCAST) == pytest.approx(0.396, abs=0.02)


@pytest.mark.parametrize("pattern", [OVERCAST, PARTLY, CLEAR, 15])
@pytest.mark.parametrize(
    ("tilt_deg", "off_deg"), [(90, 0), (90, 90), (90, 180), (45, 30), (120, 0)]
)
@pytest.mark.parametrize("sun_deg", [2, 40])
def test_plane_shares_match_a_plain_sum_over_the_dome(pattern, tilt_deg, off_deg, sun_deg):
    tilt, off, sun = radians(tilt_deg), radians(off_deg), radians(sun_deg)
    plane = level = 0.0
    for i in range(60):
        h = (i + 0.5) / 60 * pi / 2
        for k in range(120):
            azimuth = (k + 0.5) / 120 * 2 * pi  # from the sun
            cos_x = sin(sun) * sin(h) + cos(sun) * cos(h) * cos(azimuth)
            x_deg = degrees(acos(max(-1.0, min(1.0, cos_x))))
            light = relative_luminance(90 - h * 180 / pi, 90 - sun_deg, x_deg, pattern=pattern)
            facing = sin(h) * cos(tilt) + cos(h) * sin(tilt) * cos(azimuth - off)
            plane += light * cos(h) * max(0.0, facing)
            level += light * cos(h) * sin(h)
    found = share(tilt_deg, off_deg=off_deg, sun_deg=sun_deg, pattern=pattern)
    assert found == pytest.approx(plane / level, rel=0.006)


def test_a_wall_facing_a_low_clear_sun_gathers_more_sky_than_one_facing_away():
    towards, away = share(90, sun_deg=20), share(90, off_deg=180, sun_deg=20)
    assert towards > 0.5 > away
    assert share(90, off_deg=90, sun_deg=20) == pytest.approx(share(90, off_deg=-90, sun_deg=20))


def test_an_overcast_sky_stands_two_and_a_half_stops_over_an_upright_face():
    # Common practice, no source: about 2.6 stops, read low over the horizon, flat disc beside spot
    # reading (ISO 2720, K 12.5, C 250), ground of 0.2.
    face_lx = 10_000 * (share(90, pattern=OVERCAST) + 0.2 / 2)
    face_ev100 = log2(face_lx / 2.5)
    sky_ev100 = log2(luminance(10, pattern=OVERCAST) / 0.125)
    assert sky_ev100 - face_ev100 == pytest.approx(2.6, abs=0.2)


def test_the_clear_sky_over_the_horizon_reads_from_about_15_to_17_by_direction():
    # Common practice, no source.
    readings = [
        log2(luminance(10, azimuth_deg=azimuth_deg, lx=13_000) / 0.125)
        for azimuth_deg in range(0, 360, 30)
    ]
    assert min(readings) == pytest.approx(15, abs=0.5)
    assert max(readings) == pytest.approx(17, abs=0.5)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: sky_pattern(0), "1 to 15"),
        (lambda: sky_pattern(16), "1 to 15"),
        (lambda: sky_pattern("clear"), "1 to 15"),
        (lambda: relative_luminance(91, 40, 40, pattern=1), "zenith_angle_deg"),
        (lambda: relative_luminance(40, -1, 40, pattern=1), "sun_zenith_angle_deg"),
        (lambda: relative_luminance(40, 40, 181, pattern=1), "from_sun_deg"),
        (lambda: luminance(-1), "patch_elevation_deg"),
        (lambda: luminance(10, lx=-1), "diffuse_horizontal_lx"),
        (lambda: luminance(10, lx=nan), "diffuse_horizontal_lx"),
        (lambda: luminance(10, sun_deg=91), "sun_elevation_deg"),
        (lambda: luminance(10, azimuth_deg=inf), "patch_azimuth_deg"),
        (lambda: share(181), "tilt_deg"),
        (lambda: share(90, off_deg=nan), "facing_deg"),
    ],
)
def test_what_no_pattern_covers_is_refused_by_name(call, named):
    with pytest.raises(OutOfRange, match=named):
        call()


def test_a_pattern_of_ones_own_passes_through():
    own = SkyPattern(0.0, -1.0, 0.0, -1.0, 0.0)
    assert sky_pattern(own) is own
    assert share(90, pattern=own) == pytest.approx(0.5)
