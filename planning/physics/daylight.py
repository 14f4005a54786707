"""How much light sun and sky give, on the level and on a plane, and how far that is out."""

from dataclasses import dataclass
from itertools import pairwise
from math import cos, exp, log2, pi, radians, sin

from planning.physics.constants import (
    AIR_MASS_A,
    AIR_MASS_B_DEG,
    AIR_MASS_C,
    BEAM_EXTINCTION,
    DAYLIGHT_FLOOR_DEG,
    IES_FLOOR_DEG,
    SKY_A_LX,
    SKY_B_LX,
    SKY_C,
    SOLAR_ILLUMINANCE_LX,
    SPREAD_BAND_EDGES_DEG,
    SPREAD_STOPS,
    SUN_DISTANCE_SHARE,
    SUN_NEAREST_DAY,
    SUNRISE_ELEVATION_DEG,
    TWILIGHT_JOIN_HALF_WIDTH_DEG,
    TWILIGHT_LOG10_LX,
    TWILIGHT_RATIO_FLOOR_DEG,
    TWILIGHT_SHARE,
)
from planning.physics.errors import OutOfRange
from planning.physics.ranges import require_between, require_finite
from planning.physics.sky import SkyPattern, sky_share


@dataclass(frozen=True)
class Daylight:
    """The two parts of daylight, under an open sky."""

    direct_normal_lx: float  # the beam, on a plane square to it
    diffuse_horizontal_lx: float  # the sky, on the level


@dataclass(frozen=True)
class PlaneLight:
    """What falls on one plane, by where it comes from."""

    beam_lx: float
    sky_lx: float
    ground_lx: float


def daylight(elevation_deg: float, sky: str, day_of_year: int) -> Daylight:
    """Return the daylight to expect with the sun at a geometric elevation, -12 to 90 degrees.

    ``sky``: "clear" (0 to 3 tenths of cloud), "partly" (4 to 7) or "overcast" (8 to 10), a mean
    over all such skies; ``spread_stops`` says how far a moment strays. The IES equations hold
    from 5 degrees up. Below, their ratio to USNO's twilight is carried smoothly to what cloud
    leaves of it at -0.8 degrees (1, 0.7, 0.35), and the beam fades out as the disc sets. The
    total is continuous and rises with elevation.

    Raises OutOfRange naming the elevation, the sky word or the day (1 to 366).

    Source: IES RP-21 (1984); Kasten and Young (1989); USNO Circular 171 (1987).
    """
    require_between(DAYLIGHT_FLOOR_DEG, 90, elevation_deg=elevation_deg)
    require_between(1, 366, day_of_year=day_of_year)
    _require_sky(sky)
    direct_normal_lx = _beam_lx(elevation_deg, sky, day_of_year)
    if elevation_deg >= IES_FLOOR_DEG:
        return Daylight(direct_normal_lx, _ies_sky_lx(elevation_deg, sky))
    total_lx = _twilight_lx(elevation_deg) * _twilight_ratio(elevation_deg, sky, day_of_year)
    on_level_lx = direct_normal_lx * sin(radians(max(0.0, elevation_deg)))
    return Daylight(direct_normal_lx, total_lx - on_level_lx)


def horizontal_lx(daylight: Daylight, elevation_deg: float) -> float:
    """Return sun and sky together on the level; the beam counts while the sun is up.

    Raises OutOfRange unless the elevation lies from -90 to 90.
    """
    require_between(-90, 90, elevation_deg=elevation_deg)
    up = max(0.0, sin(radians(elevation_deg)))
    return daylight.direct_normal_lx * up + daylight.diffuse_horizontal_lx


def plane_parts_lx(
    daylight: Daylight,
    elevation_deg: float,
    azimuth_deg: float,
    *,
    facing_deg: float,
    tilt_deg: float = 90.0,
    ground_reflectance: float = 0.2,
    sky_pattern: int | SkyPattern | None = None,
) -> PlaneLight:
    """Return beam, sky and ground light on a plane under an open sky, each 0 or more.

    ``facing_deg`` is the way the plane looks, clockwise from north; ``tilt_deg`` its angle
    from level: 0 faces up, 90 stands, 180 faces down. ``sky_pattern`` is a CIE type or pattern
    scaled to the diffuse light; None takes an even sky. The ground is level, matt and lit like
    the open. The beam counts until the disc is down, as ``daylight`` fades it.

    Raises OutOfRange naming the angle, the reflectance (0 to 1), or the pattern.

    Source: Lambert's cosine law; sky CIE S 011:2003 / ISO 15469:2004.
    """
    require_between(-90, 90, elevation_deg=elevation_deg)
    require_between(0, 180, tilt_deg=tilt_deg)
    require_between(0, 1, ground_reflectance=ground_reflectance)
    require_finite(azimuth_deg=azimuth_deg, facing_deg=facing_deg)
    sun, tilt, off = radians(elevation_deg), radians(tilt_deg), radians(azimuth_deg - facing_deg)
    incidence = sin(sun) * cos(tilt) + cos(sun) * sin(tilt) * cos(off)
    share = (1 + cos(tilt)) / 2
    if sky_pattern is not None:
        plane = {"facing_deg": facing_deg, "tilt_deg": tilt_deg}
        share = sky_share(elevation_deg, azimuth_deg, **plane, pattern=sky_pattern)
    disc_up = elevation_deg > SUNRISE_ELEVATION_DEG
    below_lx = ground_reflectance * horizontal_lx(daylight, elevation_deg)
    return PlaneLight(
        beam_lx=daylight.direct_normal_lx * max(0.0, incidence) if disc_up else 0.0,
        sky_lx=daylight.diffuse_horizontal_lx * share,
        ground_lx=below_lx * (1 - cos(tilt)) / 2,
    )


def plane_lx(
    daylight: Daylight,
    elevation_deg: float,
    azimuth_deg: float,
    *,
    facing_deg: float,
    tilt_deg: float = 90.0,
    ground_reflectance: float = 0.2,
    sky_pattern: int | SkyPattern | None = None,
) -> float:
    """Return the light on a plane under an open sky: the sum of ``plane_parts_lx``.

    Arguments, refusals and sources are those of ``plane_parts_lx``.
    """
    parts = plane_parts_lx(
        daylight,
        elevation_deg,
        azimuth_deg,
        facing_deg=facing_deg,
        tilt_deg=tilt_deg,
        ground_reflectance=ground_reflectance,
        sky_pattern=sky_pattern,
    )
    return parts.beam_lx + parts.sky_lx + parts.ground_lx


def spread_stops(sky: str, elevation_deg: float) -> tuple[float, float, float]:
    """Return how far real light on the level strays from the equations, in stops.

    (low, middle, high): the 5th percentile, median and 95th of hours under skies of that
    word, negative darker than ``daylight``; the plan's estimate is equation + middle. Linear
    between the middles of the learned bands, constant beyond: from 2.5 degrees down it is the
    lowest band's, and with the sun down no data stand behind it.

    Raises OutOfRange for an unknown sky word or an elevation outside -12 to 90.

    Source: NREL typical years, see ``SPREAD_STOPS``. Of the hours from 5 degrees up at a third
    site, not learned from, 92 % fall between low and high (clear 94, partly 95, overcast 90).
    """
    require_between(DAYLIGHT_FLOOR_DEG, 90, elevation_deg=elevation_deg)
    _require_sky(sky)
    middles = [(low + high) / 2 for low, high in pairwise(SPREAD_BAND_EDGES_DEG)]
    bands = list(zip(middles, SPREAD_STOPS[sky], strict=True))
    if elevation_deg <= middles[0]:
        return bands[0][1]
    for (below_deg, below), (above_deg, above) in pairwise(bands):
        if elevation_deg <= above_deg:
            share = (elevation_deg - below_deg) / (above_deg - below_deg)
            low, middle, high = (a + share * (b - a) for a, b in zip(below, above, strict=True))
            return low, middle, high
    return bands[-1][1]


def air_mass(elevation_deg: float) -> float:
    """Return the air a beam crosses, over that of an overhead sun; never below 1.

    The fit itself dips to 0.9997 and rises again in the last hundredth of a degree.

    Raises OutOfRange unless the elevation lies from 0 to 90.

    Source: Kasten and Young, Applied Optics 28(22) 4735, 1989.
    """
    require_between(0, 90, elevation_deg=elevation_deg)
    lift = AIR_MASS_A * (elevation_deg + AIR_MASS_B_DEG) ** -AIR_MASS_C
    return max(1.0, 1 / (sin(radians(elevation_deg)) + lift))


def _beam_lx(elevation_deg: float, sky: str, day_of_year: int) -> float:
    extinction = BEAM_EXTINCTION[sky]
    if extinction is None or elevation_deg <= SUNRISE_ELEVATION_DEG:
        return 0.0
    season = cos(2 * pi * (day_of_year - SUN_NEAREST_DAY) / 365)
    above_air_lx = SOLAR_ILLUMINANCE_LX * (1 + SUN_DISTANCE_SHARE * season)
    disc_share = min(1.0, 1 - elevation_deg / SUNRISE_ELEVATION_DEG)
    return above_air_lx * exp(-extinction * air_mass(max(0.0, elevation_deg))) * disc_share


def _ies_sky_lx(elevation_deg: float, sky: str) -> float:
    return SKY_A_LX[sky] + SKY_B_LX[sky] * sin(radians(elevation_deg)) ** SKY_C[sky]


def _twilight_lx(elevation_deg: float) -> float:
    """Return USNO's clear twilight, faded from band to band across each join."""
    position = elevation_deg / 90
    logs = [
        sum(factor * position**power for power, factor in enumerate(factors))
        for _, factors in TWILIGHT_LOG10_LX
    ]
    log10_lx = logs[0]
    for (start, _), upper in zip(TWILIGHT_LOG10_LX[1:], logs[1:], strict=True):
        past = (elevation_deg - start) / TWILIGHT_JOIN_HALF_WIDTH_DEG
        log10_lx += _smooth((past + 1) / 2) * (upper - log10_lx)
    return 10**log10_lx


def _twilight_ratio(elevation_deg: float, sky: str, day_of_year: int) -> float:
    beam_lx = _beam_lx(IES_FLOOR_DEG, sky, day_of_year)
    ies_lx = beam_lx * sin(radians(IES_FLOOR_DEG)) + _ies_sky_lx(IES_FLOOR_DEG, sky)
    top_stops = log2(ies_lx / _twilight_lx(IES_FLOOR_DEG))
    floor_stops = log2(TWILIGHT_SHARE[sky])
    span_deg = IES_FLOOR_DEG - TWILIGHT_RATIO_FLOOR_DEG
    rise = _smooth((elevation_deg - TWILIGHT_RATIO_FLOOR_DEG) / span_deg)
    return 2 ** (floor_stops + rise * (top_stops - floor_stops))


def _smooth(share: float) -> float:
    share = min(1.0, max(0.0, share))
    return share * share * (3 - 2 * share)


def _require_sky(sky: str) -> None:
    if sky not in TWILIGHT_SHARE:
        raise OutOfRange(f'sky must be "clear", "partly" or "overcast", not {sky!r}')
