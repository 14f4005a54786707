"""How bright the sky is in each direction, and how much of it a plane gathers."""

from dataclasses import dataclass
from functools import lru_cache
from math import acos, cos, exp, pi, radians, sin

from planning.physics.constants import CIE_SKY_TYPES, CIE_TYPE_OF_SKY, SUN_AUREOLE_DEG
from planning.physics.errors import OutOfRange
from planning.physics.ranges import require_between, require_finite, require_not_negative

PATTERN_OF_SKY = CIE_TYPE_OF_SKY
_NODES = 24  # Gauss points each way: every plane share within 0.5 % of a far finer sum


@dataclass(frozen=True)
class SkyPattern:
    """The five figures of one CIE general sky."""

    a: float  # gradation, zenith to horizon: size
    b: float  # and how soon it sets in
    c: float  # brightening around the sun: size
    d: float  # and how fast it falls away
    e: float  # light scattered back, away from the sun


def sky_pattern(pattern: int | SkyPattern) -> SkyPattern:
    """Return the CIE pattern of a type number 1 to 15; a pattern passes through.

    Raises OutOfRange for any other number.

    Source: CIE S 011:2003 / ISO 15469:2004, table 1.
    """
    if isinstance(pattern, SkyPattern):
        return pattern
    if isinstance(pattern, bool) or pattern not in CIE_SKY_TYPES:
        raise OutOfRange(f"sky pattern must be a CIE type from 1 to 15, not {pattern!r}")
    return SkyPattern(*CIE_SKY_TYPES[pattern])


def relative_luminance(
    zenith_angle_deg: float,
    sun_zenith_angle_deg: float,
    from_sun_deg: float,
    *,
    pattern: int | SkyPattern,
) -> float:
    """Return a patch's luminance over the zenith's.

    Angles from the zenith lie in 0 to 90, the patch's angle from the sun in 0 to 180.

    Raises OutOfRange naming the angle, or for an unknown pattern.

    Source: CIE S 011:2003 / ISO 15469:2004.
    """
    require_between(0, 90, zenith_angle_deg=zenith_angle_deg)
    require_between(0, 90, sun_zenith_angle_deg=sun_zenith_angle_deg)
    require_between(0, 180, from_sun_deg=from_sun_deg)
    sky = sky_pattern(pattern)
    patch = _brightness(sky, cos(radians(zenith_angle_deg)), radians(from_sun_deg))
    return patch / _brightness(sky, 1.0, radians(sun_zenith_angle_deg))


def sky_luminance_cd_m2(
    diffuse_horizontal_lx: float,
    sun_elevation_deg: float,
    sun_azimuth_deg: float,
    *,
    patch_elevation_deg: float,
    patch_azimuth_deg: float,
    pattern: int | SkyPattern,
) -> float:
    """Return the luminance of one patch of sky, 0 or more.

    The pattern is scaled so that the whole sky gives ``diffuse_horizontal_lx`` on the level.
    A patch within 10 degrees of the disc is answered as if it stood 10 degrees off; a sun
    below the horizon counts as on it. Patch elevation 0 to 90, sun elevation -90 to 90.

    Raises OutOfRange naming the figure, or for an unknown pattern.

    Source: CIE S 011:2003 / ISO 15469:2004.
    """
    require_not_negative(diffuse_horizontal_lx=diffuse_horizontal_lx)
    require_between(-90, 90, sun_elevation_deg=sun_elevation_deg)
    require_between(0, 90, patch_elevation_deg=patch_elevation_deg)
    require_finite(sun_azimuth_deg=sun_azimuth_deg, patch_azimuth_deg=patch_azimuth_deg)
    sky = sky_pattern(pattern)
    sun_elevation_deg = max(0.0, sun_elevation_deg)
    sun, patch = radians(sun_elevation_deg), radians(patch_elevation_deg)
    cos_from_sun = sin(sun) * sin(patch) + cos(sun) * cos(patch) * cos(
        radians(patch_azimuth_deg - sun_azimuth_deg)
    )
    from_sun = max(radians(SUN_AUREOLE_DEG), _arccos(cos_from_sun))
    brightness = _brightness(sky, sin(patch), from_sun)
    return diffuse_horizontal_lx * brightness / _gathered(sky, sun_elevation_deg, 0.0, 0.0)


def sky_share(
    sun_elevation_deg: float,
    sun_azimuth_deg: float,
    *,
    facing_deg: float,
    tilt_deg: float,
    pattern: int | SkyPattern,
) -> float:
    """Return the sky's light on a plane over its light on the level: 1 for a plane facing up.

    ``tilt_deg`` is the plane's angle from level: 0 faces up, 90 stands, 180 faces down and
    sees no sky. Sums the pattern over the slice of sky between horizon and plane.

    Raises OutOfRange naming the angle, or for an unknown pattern.

    Source: CIE S 011:2003 / ISO 15469:2004; Gauss-Legendre sum.
    """
    require_between(-90, 90, sun_elevation_deg=sun_elevation_deg)
    require_between(0, 180, tilt_deg=tilt_deg)
    require_finite(sun_azimuth_deg=sun_azimuth_deg, facing_deg=facing_deg)
    sky = sky_pattern(pattern)
    sun_elevation_deg = max(0.0, float(sun_elevation_deg))
    off_deg = abs((sun_azimuth_deg - facing_deg + 180) % 360 - 180)
    on_plane = _gathered(sky, sun_elevation_deg, off_deg, float(tilt_deg))
    return on_plane / _gathered(sky, sun_elevation_deg, 0.0, 0.0)


def _brightness(sky: SkyPattern, cos_zenith_angle: float, from_sun: float) -> float:
    # At the horizon exp(b / cos) has gone to 0: b is negative in every type.
    gradation = 1 + sky.a * exp(sky.b / cos_zenith_angle) if cos_zenith_angle > 1e-9 else 1.0
    aureole = sky.c * (exp(sky.d * from_sun) - exp(sky.d * pi / 2))
    return gradation * (1 + aureole + sky.e * cos(from_sun) ** 2)


@lru_cache(maxsize=4096)
def _gathered(sky: SkyPattern, sun_elevation_deg: float, off_deg: float, tilt_deg: float) -> float:
    """Return the sum of brightness x cosine over the sky a plane sees.

    ``off_deg`` is the sun's bearing from the plane's facing; its sign does not matter.
    """
    sun = radians(sun_elevation_deg)
    along, ahead = cos(sun) * sin(radians(off_deg)), cos(sun) * cos(radians(off_deg))
    above = sin(sun)
    return sum(
        weight * _brightness(sky, z, _arccos(x * along + y * ahead + z * above))
        for x, y, z, weight in _slice_points(tilt_deg)
    )


@lru_cache(maxsize=64)
def _slice_points(tilt_deg: float) -> tuple[tuple[float, float, float, float], ...]:
    """Return points of the sky seen by a plane: along its level edge, ahead, up, weight.

    The sky between horizon and plane is a slice whose edge is that level line, so it needs
    only the latitude on that axis and the turn about it, and no corner is cut.
    """
    tilt = radians(tilt_deg)
    points = []
    for latitude_node, latitude_weight in _gauss_points():
        latitude = latitude_node * pi / 2
        for turn_node, turn_weight in _gauss_points():
            turn = (turn_node + 1) / 2 * (pi - tilt)
            area = latitude_weight * pi / 2 * turn_weight * (pi - tilt) / 2 * cos(latitude)
            x, y, z = sin(latitude), cos(latitude) * cos(turn), cos(latitude) * sin(turn)
            points.append((x, y, z, area * (y * sin(tilt) + z * cos(tilt))))
    return tuple(points)


@lru_cache(maxsize=1)
def _gauss_points() -> tuple[tuple[float, float], ...]:
    """Return the Gauss-Legendre nodes and weights on -1 to 1, by Newton's method."""
    points = []
    for index in range(_NODES):
        x = cos(pi * (index + 0.75) / (_NODES + 0.5))
        for _ in range(10):
            below, here = 1.0, x
            for order in range(2, _NODES + 1):
                below, here = here, ((2 * order - 1) * x * here - (order - 1) * below) / order
            slope = _NODES * (x * here - below) / (x * x - 1)
            x -= here / slope
        points.append((x, 2 / ((1 - x * x) * slope * slope)))
    return tuple(points)


def _arccos(cosine: float) -> float:
    return acos(min(1.0, max(-1.0, cosine)))
