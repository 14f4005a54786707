"""Planes through the place that the sun's unit vector crosses: an azimuth, a height.

Its distance from such a plane is smooth even where the azimuth swings round within seconds
under the zenith, and turns twice a day: hourly marks bracket every passage.
"""

from collections.abc import Iterator, Sequence
from math import ceil, cos, radians, sin

from planning.physics.crossings import zero_crossings
from planning.physics.sun_track import Ray, SunTrack, geometric_levels_deg

_MARK_S = 3600.0
# Round its turn a distance changes by 1 - cos 7.5 degrees to the nearer of two hourly marks.
_REACH = 0.01

Plane = tuple[float, float, float, float]  # its normal (east, north, up), its distance along it
Marks = Sequence[tuple[float, Ray]]  # seconds, the sun then


def upright(azimuth_deg: float) -> Plane:
    """Return the upright plane through an azimuth and the one opposite: both are told."""
    return cos(radians(azimuth_deg)), -sin(radians(azimuth_deg)), 0.0, 0.0


def levels(apparent_deg: float) -> list[Plane]:
    """Return the level planes in which the sun appears at a height."""
    return [level(geometric_deg) for geometric_deg in geometric_levels_deg(apparent_deg)]


def level(geometric_deg: float) -> Plane:
    return 0.0, 0.0, 1.0, sin(radians(geometric_deg))


def hourly(track: SunTrack, early_s: float, late_s: float) -> Marks:
    """Return the sun at both ends of a span and between them, an hour apart at the most."""
    count = max(1, ceil((late_s - early_s) / _MARK_S))
    step_s = (late_s - early_s) / count
    times_s = [early_s + index * step_s for index in range(count)] + [late_s]
    return [(at_s, track.ray(at_s)) for at_s in times_s]


def passages(track: SunTrack, marks: Marks, plane: Plane) -> Iterator[float]:
    """Yield the seconds at which the sun crosses a plane; ``marks`` are an hour apart at most."""
    east, north, up, away = plane

    def distance(at_s: float) -> tuple[float, float]:
        ray = track.ray(at_s)
        return (
            east * ray[0] + north * ray[1] + up * ray[2] - away,
            east * ray[3] + north * ray[4] + up * ray[5],
        )

    away_at = [east * ray[0] + north * ray[1] + up * ray[2] - away for _at_s, ray in marks]
    if min(away_at) > _REACH or max(away_at) < -_REACH:
        return iter(())
    return zero_crossings(
        distance, zip((at_s for at_s, _ray in marks), away_at, strict=True), _REACH
    )
