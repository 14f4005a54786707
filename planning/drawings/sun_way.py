"""A day's sun as strokes over a horizon: parted at north, and where it goes behind the ground."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from planning.physics.horizon import horizon_elevation_deg

Profile = Sequence[tuple[float, float]]
End = tuple[float, float]  # azimuth, elevation in degrees


@dataclass(frozen=True)
class SunPath:
    """One day's sun: (azimuth, elevation, hour in words or empty), in order of time."""

    label: str
    points: tuple[tuple[float, float, str], ...]
    strong: bool = False  # the day that matters most

    def highest(self) -> tuple[float, float]:
        """Return azimuth and elevation where the sun stands highest."""
        return max(self.points, key=lambda point: point[1], default=(0.0, -90.0, ""))[:2]


@dataclass(frozen=True)
class Piece:
    """Part of a way that is drawn in one stroke."""

    ends: tuple[End, ...]  # azimuth, elevation
    hidden: bool


def pieces(profile: Profile, path: SunPath, low_deg: float) -> Iterator[Piece]:
    """Yield the way above ``low_deg``, parted at north and where it goes behind the ground."""
    ends: list[End] = []
    hidden = False
    for start, end in _steps(path):
        for first, last, behind in _cut(profile, start, end, low_deg):
            if ends and (ends[-1] != first or hidden != behind):
                yield Piece(tuple(ends), hidden)
                ends = []
            ends = ends or [first]
            ends.append(last)
            hidden = behind
    if ends:
        yield Piece(tuple(ends), hidden)


def _steps(path: SunPath) -> Iterator[tuple[End, End]]:
    """Yield the steps of a way, the one over north as two that end at the strip's edges."""
    for (azimuth, elevation, _one), (next_azimuth, next_elevation, _two) in pairwise(path.points):
        start, end = (azimuth, elevation), (next_azimuth, next_elevation)
        if abs(next_azimuth - azimuth) <= 180:
            yield start, end
            continue
        edge, far = (360.0, 0.0) if azimuth > 180 else (0.0, 360.0)
        before, after = abs(edge - azimuth), abs(far - next_azimuth)
        share = before / (before + after) if before + after else 0.0
        height = elevation + share * (next_elevation - elevation)
        yield start, (edge, height)
        yield (far, height), end


def _cut(profile: Profile, start: End, end: End, low_deg: float) -> Iterator[tuple[End, End, bool]]:
    """Yield the parts of one step as (start, end, behind the ground), cut where it meets it."""
    below = (start[1] - low_deg, end[1] - low_deg)
    if max(below) < 0:
        return
    if min(below) < 0:
        start, end = (
            (_between(start, end, below), end)
            if below[0] < 0
            else (start, _between(start, end, below))
        )
    over = [point[1] - horizon_elevation_deg(profile, point[0] % 360) for point in (start, end)]
    if over[0] * over[1] < 0:
        middle = _between(start, end, over)
        yield start, middle, over[0] < 0
        yield middle, end, over[1] < 0
    elif start != end:
        yield start, end, over[0] + over[1] < 0


def _between(start: End, end: End, heights: Sequence[float]) -> End:
    """The point of a step where a height that changes its sign is nought."""
    share = heights[0] / (heights[0] - heights[1])
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])
