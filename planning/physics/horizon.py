"""What stands between a place and the level horizon."""

from collections.abc import Sequence

from planning.physics.errors import OutOfRange


def _pair(index: int, point: tuple[float, float]) -> tuple[float, float]:
    try:
        azimuth, elevation = point
        return float(azimuth), float(elevation)
    except (TypeError, ValueError):
        wanted = "must be two numbers, azimuth and elevation"
        raise OutOfRange(f"horizon pair {index}: {point!r} {wanted}") from None


def checked_horizon(points: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Return a horizon profile as (azimuth_deg, elevation_deg) pairs, 0 <= azimuth < 360.

    A closing 360 is allowed when a point at 0 agrees with it, and dropped.

    Raises OutOfRange, naming the pair, when it is none, azimuths do not rise or a figure is
    out of range.
    """
    pairs = [_pair(index, point) for index, point in enumerate(points, start=1)]
    for index, (azimuth, elevation) in enumerate(pairs, start=1):
        if not 0.0 <= azimuth <= 360.0:
            raise OutOfRange(f"horizon pair {index}: azimuth {azimuth:g} must lie in 0 to 360")
        if not -10.0 <= elevation < 90.0:
            raise OutOfRange(f"horizon pair {index}: elevation {elevation:g} must lie in -10 to 90")
        if index > 1 and azimuth <= pairs[index - 2][0]:
            raise OutOfRange(
                f"horizon pair {index}: azimuth {azimuth:g} does not rise above "
                f"{pairs[index - 2][0]:g}; enter the pairs clockwise from north"
            )
    if pairs and pairs[-1][0] == 360.0:
        if len(pairs) > 1 and pairs[0] == (0.0, pairs[-1][1]):
            return tuple(pairs[:-1])
        if pairs[0][0] == 0.0:
            raise OutOfRange("horizon: azimuth 0 and 360 are one direction with two elevations")
        return ((0.0, pairs[-1][1]), *pairs[:-1])
    return tuple(pairs)


def horizon_elevation_deg(points: Sequence[tuple[float, float]], azimuth_deg: float) -> float:
    """Return the profile's elevation at an azimuth, linear between points, wrapping at north.

    An empty profile is the level horizon, 0; a single point holds all round.
    Raises OutOfRange for a profile whose azimuths do not rise.
    """
    pairs = checked_horizon(points)
    if not pairs:
        return 0.0
    azimuth_deg %= 360.0
    before = (pairs[-1][0] - 360.0, pairs[-1][1])
    for after in (*pairs, (pairs[0][0] + 360.0, pairs[0][1])):
        if azimuth_deg <= after[0]:
            share = (azimuth_deg - before[0]) / (after[0] - before[0])
            return before[1] + share * (after[1] - before[1])
        before = after
    raise OutOfRange(f"azimuth {azimuth_deg} is no direction")
