"""Daylight against the published equations, twilight tables, exposure guide and typical years."""

from itertools import pairwise
from math import cos, inf, log2, nan, radians

import pytest

from planning.physics.constants import SPREAD_STOPS
from planning.physics.daylight import (
    Daylight,
    air_mass,
    daylight,
    horizontal_lx,
    plane_lx,
    plane_parts_lx,
    spread_stops,
)
from planning.physics.errors import OutOfRange
from planning.physics.sky import PATTERN_OF_SKY
from tests.physics.learn_spread import HELD_OUT, LEARNED_FROM, SKIES, hours_of, learned_table
from tests.physics.published import rows

MEAN_DISTANCE_DAY = 93  # a quarter of a year after the nearest: distance factor 1.000


def level_lx(elevation_deg, sky="clear", day_of_year=MEAN_DISTANCE_DAY):
    return horizontal_lx(daylight(elevation_deg, sky, day_of_year), elevation_deg)


def test_the_three_skies_keep_to_the_ies_equations():
    # RP-21 with air mass 1/sin; Kasten and Young's air mass moves a total by under 2 %.
    for row in rows("daylight_ies"):
        elevation_deg = float(row["elevation_deg"])
        clear = daylight(elevation_deg, "clear", MEAN_DISTANCE_DAY)
        assert clear.direct_normal_lx == pytest.approx(1000 * float(row["clear_beam"]), rel=0.04)
        assert clear.diffuse_horizontal_lx == pytest.approx(
            1000 * float(row["clear_sky"]), rel=0.005
        )
        for sky in SKIES:
            expected_lx = 1000 * float(row[f"{sky}_total"])
            assert level_lx(elevation_deg, sky) == pytest.approx(expected_lx, rel=0.02)


@pytest.mark.parametrize(
    ("elevation_deg", "expected"),
    [(0, 37.92), (1, 26.31), (5, 10.306), (10, 5.586), (30, 1.9943), (60, 1.1540), (90, 0.9997)],
)
def test_air_mass_matches_kasten_and_young(elevation_deg, expected):
    # Kasten & Young, Applied Optics 28(22) 4735, 1989.
    assert air_mass(elevation_deg) == pytest.approx(expected, rel=0.001)


def test_the_beam_follows_the_suns_distance():
    # IES RP-21: 131.83 klx on 2 January, 123.17 on 4 July, above the air.
    january = daylight(30, "clear", 2).direct_normal_lx
    july = daylight(30, "clear", 185).direct_normal_lx
    assert january / july == pytest.approx(131.83 / 123.17, rel=0.001)


def test_clear_twilight_is_the_usno_table():
    for row in rows("twilight_usno"):
        elevation_deg, expected_lx = float(row["elevation_deg"]), float(row["illuminance_lx"])
        tolerance_stops = 0.1 if elevation_deg == 0 else 0.02  # above -0.8 the ratio sets in
        assert abs(log2(level_lx(elevation_deg) / expected_lx)) < tolerance_stops


def test_sunset_and_the_end_of_civil_twilight_lie_in_the_published_spans():
    # AMS glossary, "civil twilight": 585 to 410 lx at sunset, 3.5 to 2 lx at its end.
    assert 410 <= level_lx(-0.833) <= 585
    assert 2 <= level_lx(-6) <= 3.5


def test_overcast_dusk_is_one_to_two_stops_darker():
    # Common practice, no source.
    for elevation_deg in (-6, -3, -0.833):
        assert 1 <= log2(level_lx(elevation_deg) / level_lx(elevation_deg, "overcast")) <= 2


@pytest.mark.parametrize("sky", SKIES)
@pytest.mark.parametrize("day_of_year", [2, 93, 185, 366])
def test_light_rises_with_the_sun_without_a_step(sky, day_of_year):
    elevations_deg = [step / 50 for step in range(-600, 4501)]
    lights = [daylight(elevation_deg, sky, day_of_year) for elevation_deg in elevations_deg]
    for values in (
        [horizontal_lx(*pair) for pair in zip(lights, elevations_deg, strict=True)],
        [light.diffuse_horizontal_lx for light in lights],
    ):
        assert min(values) > 0
        stops = [log2(after / before) for before, after in pairwise(values)]
        assert min(stops) > 0
        assert max(stops) < 0.04  # steepest: 1.7 stops a degree, in twilight
    beams = [light.direct_normal_lx for light in lights]
    assert all(before <= after for before, after in pairwise(beams))
    assert max(b - a for a, b in pairwise(beams)) < 120


@pytest.mark.parametrize("elevation_deg", [5, -0.8, -5, -50 / 60, 0])
@pytest.mark.parametrize("sky", SKIES)
def test_no_seam_shows_between_the_sources(elevation_deg, sky):
    below, above = (daylight(elevation_deg + off, sky, 15) for off in (-1e-7, 1e-7))
    assert below.diffuse_horizontal_lx == pytest.approx(above.diffuse_horizontal_lx, rel=1e-5)
    assert below.direct_normal_lx == pytest.approx(above.direct_normal_lx, rel=1e-5, abs=1e-3)


def test_light_falls_at_the_pace_of_a_mid_latitude_dusk():
    # Common practice: 0.7 stop in five minutes at sunset at 50 degrees at the equinox. The sun
    # sinks there by 15 cos(50) / 60 degrees a minute.
    sunk_deg = 5 * 15 * cos(radians(50)) / 60
    assert log2(level_lx(-0.833) / level_lx(-0.833 - sunk_deg)) == pytest.approx(0.7, abs=0.15)


def test_an_overcast_sky_has_no_beam_and_a_set_sun_neither():
    assert daylight(60, "overcast", 100).direct_normal_lx == 0
    assert daylight(-0.84, "clear", 100).direct_normal_lx == 0
    assert daylight(-0.4, "clear", 100).direct_normal_lx > 0


def test_level_light_adds_the_beams_upright_part():
    assert horizontal_lx(Daylight(80_000, 10_000), 30) == pytest.approx(50_000)
    assert horizontal_lx(Daylight(80_000, 10_000), -5) == 10_000


SUNNY = Daylight(direct_normal_lx=90_000, diffuse_horizontal_lx=10_000)


def test_a_plane_square_to_the_sun_takes_the_whole_beam():
    parts = plane_parts_lx(SUNNY, 30, 140, facing_deg=140, tilt_deg=60)
    assert parts.beam_lx == pytest.approx(90_000)
    assert parts.sky_lx == pytest.approx(10_000 * 0.75)
    assert parts.ground_lx == pytest.approx(0.2 * 55_000 * 0.25)


def test_the_tilted_plane_of_the_nrel_example_meets_the_sun_at_its_angle():
    # Reda & Andreas, table A5.1: slope 30, facing 10 degrees east of south; incidence 25.18700.
    parts = plane_parts_lx(SUNNY, 39.88838, 194.34024, facing_deg=170, tilt_deg=30)
    assert parts.beam_lx / 90_000 == pytest.approx(cos(radians(25.18700)), abs=1e-4)


def test_a_plane_facing_up_is_the_level():
    for pattern in (None, 1, 12):
        found = plane_lx(SUNNY, 30, 140, facing_deg=77, tilt_deg=0, sky_pattern=pattern)
        assert found == pytest.approx(horizontal_lx(SUNNY, 30), rel=2e-3)


def test_a_plane_facing_down_sees_the_ground_alone():
    for pattern in (None, 12):
        parts = plane_parts_lx(
            SUNNY, 30, 140, facing_deg=0, tilt_deg=180, ground_reflectance=0.5, sky_pattern=pattern
        )
        assert parts.beam_lx == 0
        assert parts.sky_lx == pytest.approx(0, abs=1e-6)
        assert parts.ground_lx == pytest.approx(0.5 * 55_000)


def test_a_plane_turned_away_gets_no_beam_in_either_hemisphere():
    for sun_azimuth_deg in (180, 0):
        away = plane_parts_lx(SUNNY, 30, sun_azimuth_deg, facing_deg=sun_azimuth_deg + 180)
        towards = plane_parts_lx(SUNNY, 30, sun_azimuth_deg, facing_deg=sun_azimuth_deg - 360)
        assert away.beam_lx == 0
        assert towards.beam_lx == pytest.approx(90_000 * cos(radians(30)))


def test_no_beam_reaches_a_plane_once_the_disc_is_down():
    assert plane_parts_lx(SUNNY, -1, 90, facing_deg=90).beam_lx == 0


def test_plane_light_is_the_sum_of_its_parts():
    parts = plane_parts_lx(SUNNY, 20, 200, facing_deg=150, tilt_deg=80, sky_pattern=12)
    whole = plane_lx(SUNNY, 20, 200, facing_deg=150, tilt_deg=80, sky_pattern=12)
    assert whole == parts.beam_lx + parts.sky_lx + parts.ground_lx


def upright_ev100(sky, elevation_deg, *, from_sun_deg, day_of_year=MEAN_DISTANCE_DAY):
    light = daylight(elevation_deg, sky, day_of_year)
    pattern = PATTERN_OF_SKY[sky]
    lx = plane_lx(light, elevation_deg, 180, facing_deg=180 + from_sun_deg, sky_pattern=pattern)
    return log2(lx / 2.5)  # ISO 2720, C 250


def test_sun_and_open_shade_keep_to_the_exposure_guide():
    # ANSI PH2.7-1986, ISO 100: full sun, front lit, EV 15; open shade under a clear sun EV 12.
    # The guide leaves half a stop either way and more in shade (common practice, 0.7).
    assert upright_ev100("clear", 40, from_sun_deg=0) == pytest.approx(15, abs=0.5)
    assert upright_ev100("clear", 40, from_sun_deg=180) == pytest.approx(12, abs=0.7)


def test_heavy_overcast_keeps_to_the_exposure_guide():
    # ANSI PH2.7-1986: heavy overcast EV 12, cloudy bright EV 13; on the level, by day.
    low, middle, high = spread_stops("overcast", 40)
    level_ev100 = log2(level_lx(40, "overcast") / 2.5)
    assert level_ev100 + low == pytest.approx(12, abs=0.7)
    assert level_ev100 + middle == pytest.approx(13, abs=0.7)
    assert high > middle > low


@pytest.fixture(scope="module")
def typical_years():
    return {name: hours_of(name) for name in (*LEARNED_FROM, HELD_OUT)}


def test_the_spread_is_what_the_typical_years_teach(typical_years):
    learned = learned_table(typical_years[name] for name in LEARNED_FROM)
    for sky, bands in learned.items():
        for kept, found in zip(SPREAD_STOPS[sky], bands, strict=True):
            assert kept == pytest.approx(found, abs=0.02)


@pytest.mark.parametrize("sky", SKIES)
def test_the_spread_holds_nine_hours_in_ten_at_a_site_not_learned_from(typical_years, sky):
    # NREL TMY3 723170 Greensboro, sun 5 degrees or more up: low and high are the 5th and 95th.
    hours = [h for h in typical_years[HELD_OUT] if h.sky == sky and h.elevation_deg >= 5]
    spreads = [spread_stops(sky, hour.elevation_deg) for hour in hours]
    inside = [low <= h.off_stops <= high for h, (low, _, high) in zip(hours, spreads, strict=True)]
    under = [h.off_stops < middle for h, (_, middle, _) in zip(hours, spreads, strict=True)]
    assert len(hours) > 700
    assert 0.85 <= sum(inside) / len(hours) <= 0.95
    assert 0.35 <= sum(under) / len(hours) <= 0.65


def test_the_spread_is_continuous_and_constant_beyond_the_data():
    for sky in SKIES:
        assert spread_stops(sky, -12) == spread_stops(sky, 0) == SPREAD_STOPS[sky][0]
        assert spread_stops(sky, 90) == spread_stops(sky, 75) == SPREAD_STOPS[sky][-1]
        steps = [spread_stops(sky, tenth / 10) for tenth in range(901)]
        for before, after in pairwise(steps):
            assert after == pytest.approx(before, abs=0.02)
            assert after[0] < after[1] < after[2]


def test_cloud_is_less_certain_than_a_clear_sky():
    def width(sky):
        return spread_stops(sky, 40)[2] - spread_stops(sky, 40)[0]

    assert width("clear") < width("partly") < width("overcast")


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: daylight(-12.1, "clear", 1), "elevation_deg .*-12 to 90"),
        (lambda: daylight(90.1, "clear", 1), "elevation_deg"),
        (lambda: daylight(nan, "clear", 1), "elevation_deg"),
        (lambda: daylight(10, "hazy", 1), 'sky must be "clear", "partly" or "overcast"'),
        (lambda: daylight(10, None, 1), "sky"),
        (lambda: daylight(10, "clear", 0), "day_of_year .*1 to 366"),
        (lambda: daylight(10, "clear", 367), "day_of_year"),
        (lambda: horizontal_lx(SUNNY, 91), "elevation_deg"),
        (lambda: plane_lx(SUNNY, 30, inf, facing_deg=0), "azimuth_deg"),
        (lambda: plane_lx(SUNNY, 30, 0, facing_deg=nan), "facing_deg"),
        (lambda: plane_lx(SUNNY, 30, 0, facing_deg=0, tilt_deg=181), "tilt_deg"),
        (lambda: plane_lx(SUNNY, 30, 0, facing_deg=0, ground_reflectance=1.1), "ground_refl"),
        (lambda: plane_lx(SUNNY, 30, 0, facing_deg=0, sky_pattern=16), "1 to 15"),
        (lambda: air_mass(-1), "elevation_deg"),
        (lambda: spread_stops("dull", 10), "sky"),
        (lambda: spread_stops("clear", -13), "elevation_deg"),
    ],
)
def test_what_no_equation_covers_is_refused_by_name(call, named):
    with pytest.raises(OutOfRange, match=named):
        call()
