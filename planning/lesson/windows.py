"""When the sun stands where a set wants it: in an arc, between two heights, over the horizon.

The span is cut wherever the sun passes one of the bounds, and each piece judged by its middle,
so a cut too many does no harm.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from planning.physics.errors import OutOfRange
from planning.physics.ranges import require_between
from planning.physics.sky_planes import Plane, hourly, levels, passages, upright
from planning.physics.skyline import Skyline, Span
from planning.physics.sun import Place, check_year
from planning.physics.sun_track import Ray, SunTrack

_MICROSECOND = timedelta(microseconds=1)
_JOIN_S = 1.0  # nearer spans are one: the refraction formula's small steps tear nothing apart


@dataclass(frozen=True)
class Window:
    """A span in which the sun stands where it is wanted, in the zone of the question's start."""

    start_at: datetime
    end_at: datetime

    @property
    def length(self) -> timedelta:
        return self.end_at.astimezone(UTC) - self.start_at.astimezone(UTC)


@dataclass(frozen=True)
class _Wanted:
    """Where the sun is wanted."""

    from_deg: float
    width_deg: float  # clockwise; 360 is the whole circle
    low_deg: float
    high_deg: float

    def holds(self, ray: Ray) -> bool:
        if not self.low_deg <= ray.apparent_elevation_deg() <= self.high_deg:
            return False
        return (ray.azimuth_deg() - self.from_deg) % 360 <= self.width_deg

    def planes(self) -> Iterator[Plane]:
        if self.width_deg < 360:
            yield upright(self.from_deg)
            yield upright(self.from_deg + self.width_deg)
        yield from levels(self.low_deg)
        yield from levels(self.high_deg)


def light_windows(
    place: Place,
    start: datetime,
    end: datetime,
    *,
    from_deg: float,
    to_deg: float,
    elevation_min_deg: float,
    elevation_max_deg: float,
    horizon: Sequence[tuple[float, float]] = (),
) -> list[Window]:
    """Return every span from ``start`` to ``end`` in which the sun stands where it is wanted.

    Its azimuth lies in the arc clockwise from ``from_deg`` to ``to_deg`` (0 to 360; equal but
    for a whole turn: the whole circle), its centre's apparent elevation between the two bounds
    and above the horizon, (azimuth, elevation) pairs as ``horizon_elevation_deg`` reads them.
    Without pairs the bounds alone hold, so a sun below level may be wanted for its twilight.
    Windows are in order, apart, cut off at ``start`` and ``end``, in the zone of ``start``; an
    edge is that of ``sun_position`` to within a second.

    Raises OutOfRange naming the field: a place off the globe, a time without a zone or outside
    1901 to 2099, an ``end`` before ``start``, a bearing outside 0 to 360, bounds outside -90 to
    90 or the wrong way round, a horizon whose azimuths do not rise.
    """
    start_at, length_s = _span(start, end)
    wanted = _wanted(from_deg, to_deg, elevation_min_deg, elevation_max_deg)
    skyline = Skyline(horizon)
    track = SunTrack(place, start_at, length_s)
    if not length_s or wanted.low_deg == wanted.high_deg:
        return []

    def instant(at_s: float) -> datetime:
        return (start_at + timedelta(seconds=at_s)).astimezone(start.tzinfo)

    found = _joined(_spans(track, length_s, wanted, skyline))
    windows = (Window(instant(early_s), instant(late_s)) for early_s, late_s in found)
    return [window for window in windows if window.length >= _MICROSECOND]


def _spans(track: SunTrack, length_s: float, wanted: _Wanted, skyline: Skyline) -> Iterator[Span]:
    """Yield pieces, in order, in which the sun is where it is wanted; they may touch."""
    marks = hourly(track, 0.0, length_s)
    planes = {*wanted.planes(), *skyline.planes()}
    cuts = {at_s for plane in planes for at_s in passages(track, marks, plane)}
    for early_s, late_s in pairwise(sorted({0.0, length_s, *cuts})):
        if wanted.holds(track.ray((early_s + late_s) / 2)):
            yield from skyline.clear(track, early_s, late_s)


def _joined(spans: Iterable[Span]) -> list[Span]:
    """Return spans in order, those that touch or all but touch as one."""
    joined: list[Span] = []
    for early_s, late_s in spans:
        if joined and early_s - joined[-1][1] < _JOIN_S:
            early_s = joined.pop()[0]
        joined.append((early_s, late_s))
    return joined


def _span(start: datetime, end: datetime) -> tuple[datetime, float]:
    """Return the start in UTC and the seconds from it to the end."""
    for name, at in (("start", start), ("end", end)):
        if not isinstance(at, datetime) or at.utcoffset() is None:
            raise OutOfRange(f"{name} needs a date, a time and a timezone")
    start_at, end_at = start.astimezone(UTC), end.astimezone(UTC)
    if end_at < start_at:
        raise OutOfRange("end must not lie before start")
    check_year("start", start.year)
    check_year("end", (end - _MICROSECOND).year)
    return start_at, (end_at - start_at) / timedelta(seconds=1)


def _wanted(from_deg: float, to_deg: float, low_deg: float, high_deg: float) -> _Wanted:
    require_between(0, 360, from_deg=from_deg, to_deg=to_deg)
    require_between(-90, 90, elevation_min_deg=low_deg, elevation_max_deg=high_deg)
    if low_deg > high_deg:
        raise OutOfRange(
            f"elevation_min_deg {low_deg:g} must not lie above elevation_max_deg {high_deg:g}"
        )
    return _Wanted(from_deg, (to_deg - from_deg) % 360 or 360.0, low_deg, high_deg)
