"""When the sun stands clear of a horizon profile."""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise

from planning.physics.crossings import zero_crossings
from planning.physics.horizon import checked_horizon
from planning.physics.sky_planes import Marks, Plane, hourly, level, levels, passages, upright
from planning.physics.sun_track import STEPS_DEG, SunTrack

# Steps in which the sun's height over a straight piece of the profile turns once at most, and
# how far the turn may lie beyond the nearer end: by its own way, and for each degree of slope.
# In shorter steps it is less by the square. Azimuth is looked at only under a sun so high (53
# degrees) that within the hour between marks it may pass more of it in a step.
_STEP_S = 900.0
_STEP_DEG = 10.0
_HIGH_UP = 0.8
_LEAST_STEP_S = 1.0
_REACH_DEG = 0.5
_REACH_ASIDE_DEG = 2.5
_SLOPE_OVER_S = 0.25
_INSIDE_S = 0.05  # a span's ends are roots, good to less: so far inside nothing steps any more
# Below this height (80 degrees) the azimuth goes the short way between hourly marks, and strays
# beyond them by no more than what an upright plane's reach is there (0.01 of the circle's radius).
_STEEP_UP = 0.985
_ASIDE_DEG = 4.0

Span = tuple[float, float]


class Skyline:
    """A horizon profile, straight between its points; without points it hides nothing."""

    def __init__(self, points: Sequence[tuple[float, float]]):
        """Raises OutOfRange as ``checked_horizon`` does."""
        self._points = checked_horizon(points)
        self._azimuths = [azimuth_deg for azimuth_deg, _elevation_deg in self._points]
        self._knots = [(azimuth_deg, upright(azimuth_deg)) for azimuth_deg in self._azimuths]
        heights = [elevation_deg for _azimuth_deg, elevation_deg in self._points]
        self._lowest_deg = min(heights, default=-90.0)
        self._highest_deg = max(heights, default=-90.0)

    def planes(self) -> Iterator[Plane]:
        """Yield the level planes above which all is clear and below which nothing is.

        And in between those in which refraction steps, and the sun's appearance with it.
        """
        if self._points:
            yield from levels(self._lowest_deg)
            yield from levels(self._highest_deg)
            yield from (
                level(step_deg)
                for step_deg in STEPS_DEG
                if self._lowest_deg - 1 < step_deg < self._highest_deg
            )

    def clear(self, track: SunTrack, early_s: float, late_s: float) -> Iterator[Span]:
        """Yield, in order, the parts of a span in which the sun's centre appears over the profile.

        Within the span the sun must not cross one of ``planes``. Parts may touch.
        """
        middle_deg = track.ray((early_s + late_s) / 2).apparent_elevation_deg()
        if not self._points or middle_deg > self._highest_deg:
            yield early_s, late_s
        elif middle_deg > self._lowest_deg:
            marks = hourly(track, early_s, late_s)
            passed = {at_s for span in pairwise(marks) for at_s in self._passed(track, span)}
            high = max(ray.up for _at_s, ray in marks) > _HIGH_UP
            for piece in pairwise(sorted({early_s, late_s, *passed})):
                yield from self._clear_of_one_slope(track, *piece, high=high)

    def _passed(self, track: SunTrack, marks: Marks) -> Iterator[float]:
        """Yield the seconds between two marks at which the sun passes over a point."""
        (_early_s, early), (_late_s, late) = marks
        first_deg = early.azimuth_deg()
        turn_deg = (late.azimuth_deg() - first_deg + 180) % 360 - 180
        left_deg = first_deg + min(0.0, turn_deg) - _ASIDE_DEG
        wide_deg = abs(turn_deg) + 2 * _ASIDE_DEG
        steep = max(early.up, late.up) > _STEEP_UP
        for azimuth_deg, plane in self._knots:
            if steep or (azimuth_deg - left_deg) % 360 <= wide_deg:
                yield from passages(track, marks, plane)

    def _clear_of_one_slope(
        self, track: SunTrack, early_s: float, late_s: float, *, high: bool
    ) -> Iterator[Span]:
        middle_s = (early_s + late_s) / 2
        over, slope = self._over(track, track.ray(middle_s).azimuth_deg())

        def changing(at_s: float) -> tuple[float, float]:
            # Inward, because at an end of the span refraction may step.
            aside_s = _SLOPE_OVER_S if at_s < middle_s else -_SLOPE_OVER_S
            here_deg = over(at_s)
            return here_deg, (over(at_s + aside_s) - here_deg) / aside_s

        cuts: Iterable[float] = ()
        inner = early_s + _INSIDE_S, late_s - _INSIDE_S
        if inner[0] < inner[1]:
            starts = _steps(track, *inner, high=high)
            marks = [(at_s, over(at_s)) for at_s in (*starts, inner[1])]
            part = min(1.0, (late_s - early_s) / _STEP_S)
            reach_deg = (_REACH_DEG + _REACH_ASIDE_DEG * abs(slope)) * part**2
            cuts = zero_crossings(changing, marks, reach_deg)
        for start_s, end_s in pairwise([early_s, *cuts, late_s]):
            if over((start_s + end_s) / 2) > 0:
                yield start_s, end_s

    def _over(self, track: SunTrack, along_deg: float) -> tuple[Callable[[float], float], float]:
        """Return the sun's height over the straight piece at an azimuth, and the piece's slope."""
        after = bisect_right(self._azimuths, along_deg) % len(self._points)
        (first_deg, low_deg), (last_deg, high_deg) = self._points[after - 1], self._points[after]
        wide_deg = (last_deg - first_deg) % 360 or 360.0
        slope = (high_deg - low_deg) / wide_deg
        height_deg = low_deg + slope * ((along_deg - first_deg) % 360)

        def over(at_s: float) -> float:
            ray = track.ray(at_s)
            aside_deg = (ray.azimuth_deg() - along_deg + 180) % 360 - 180
            return ray.apparent_elevation_deg() - height_deg - slope * aside_deg

        return over, slope


def _steps(track: SunTrack, early_s: float, late_s: float, *, high: bool) -> Iterator[float]:
    """Yield where steps begin in which little time passes, and under a high sun little azimuth."""
    length_s = late_s - early_s
    turned = False
    if high and _LEAST_STEP_S < length_s <= _STEP_S:
        turn_deg = track.ray(late_s).azimuth_deg() - track.ray(early_s).azimuth_deg()
        turned = abs((turn_deg + 180) % 360 - 180) > _STEP_DEG
    if length_s > _STEP_S or turned:
        middle_s = early_s + length_s / 2
        yield from _steps(track, early_s, middle_s, high=high)
        yield from _steps(track, middle_s, late_s, high=high)
    else:
        yield early_s
