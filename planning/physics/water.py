"""How high the tide stands between the official high and low waters, and when it floods.

Heights are metres above the tide table's datum. The rule of twelfths holds where the curve
is close to a sine; double high waters and estuaries need the local curve.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import accumulate, pairwise

from planning.physics.constants import TIDE_MOST_HALF_CYCLE_H, TIDE_TWELFTHS
from planning.physics.errors import OutOfRange
from planning.physics.ranges import require_finite


@dataclass(frozen=True)
class TurningPoint:
    """One official high or low water."""

    at: datetime
    height_m: float  # above the table's datum


def tide_height_m(at: datetime, turning_points: Sequence[TurningPoint]) -> float:
    """Return the height of the water in metres above the datum at one instant.

    Between two turning points 1, 2, 3, 3, 2, 1 twelfths of the range pass in the sixths of
    the time, evenly within a sixth. Raises OutOfRange for ``at`` outside the table, an
    instant without a time zone, or a table that is short, unsorted or not high-low-high.

    Source: the rule of twelfths of coastal navigation. Against a cosine 1.7 % of the range at
    the sixths, 2.6 % between.
    """
    curve = _curve(turning_points)
    moment = _moment_in_table("at", at, curve)
    for (from_at, from_m), (to_at, to_m) in pairwise(curve):
        if moment <= to_at:
            return from_m + (to_m - from_m) * ((moment - from_at) / (to_at - from_at))
    return curve[-1][1]


def clear_by_at(
    turning_points: Sequence[TurningPoint],
    height_m: float,
    after: datetime,
    margin: timedelta,
) -> datetime | None:
    """Return the first time after ``after`` within ``margin`` of the water reaching a height.

    That is the flood at ``height_m`` less ``margin``, and never before ``after``; ``after``
    itself where the water stands there already. None where the table never reaches the
    height. The answer keeps the zone of ``after``. Raises OutOfRange as ``tide_height_m``
    does, and for a negative ``margin``.
    """
    require_finite(height_m=height_m)
    if margin < timedelta(0):
        raise OutOfRange(f"margin must be 0 or more, not {margin}")
    if tide_height_m(after, turning_points) >= height_m:
        return after
    for (from_at, from_m), (to_at, to_m) in pairwise(_curve(turning_points)):
        if to_at > after and to_m >= height_m > from_m:
            flood_at = from_at + (to_at - from_at) * ((height_m - from_m) / (to_m - from_m))
            if flood_at >= after:
                return max(flood_at - margin, after.astimezone(UTC)).astimezone(after.tzinfo)
    return None


def dry_spans(
    turning_points: Sequence[TurningPoint],
    height_m: float,
    start: datetime,
    end: datetime,
    margin: timedelta,
) -> list[tuple[datetime, datetime]]:
    """Return the spans from ``start`` to ``end`` in which a height may be passed.

    Each runs from when the water has fallen below it to ``margin`` before it floods again, where
    ``clear_by_at`` of any time in it lies; in order, apart, in the zone of ``start``. Falling
    water has no margin: it is seen. Raises OutOfRange as ``clear_by_at`` does, and for a table
    that does not cover the span.
    """
    tide_height_m(end, turning_points)
    spans, at = [], start
    while at is not None and at < end:
        if tide_height_m(at, turning_points) >= height_m:
            at = _falls_at(turning_points, height_m, at)
            continue
        flood = clear_by_at(turning_points, height_m, at, timedelta(0))
        last = end if flood is None else min(flood - margin, end)
        if last > at:
            spans.append((at, last))
        at = _falls_at(turning_points, height_m, flood) if flood else None
    return spans


def _falls_at(
    turning_points: Sequence[TurningPoint], height_m: float, after: datetime
) -> datetime | None:
    """The first time after which the water stands below a height it has reached; None: not again.

    A second past the crossing, so that it is sure to stand below there.
    """
    for (from_at, from_m), (to_at, to_m) in pairwise(_curve(turning_points)):
        if to_at > after and from_m >= height_m > to_m:
            share = (from_m - height_m) / (from_m - to_m)
            fall_at = from_at + (to_at - from_at) * share + timedelta(seconds=1)
            if fall_at > after:
                return fall_at.astimezone(after.tzinfo)
    return None


def table_around(
    turning_points: Sequence[TurningPoint], start: datetime, end: datetime
) -> tuple[TurningPoint, ...] | None:
    """Return the run of the table without a gap that covers ``start`` to ``end``, or None.

    A table may hold several days. Two neighbours further apart than a half cycle ever is
    have a row missing between them: they are not joined. Raises OutOfRange for instants
    without a time zone.
    """
    _require_zone("start", start)
    _require_zone("end", end)
    longest = timedelta(hours=TIDE_MOST_HALF_CYCLE_H)
    runs: list[list[TurningPoint]] = []
    for point in turning_points:
        _require_zone("turning_points", point.at)
        if runs and abs(point.at - runs[-1][-1].at) <= longest:
            runs[-1].append(point)
        else:
            runs.append([point])
    for run in runs:
        if run[0].at <= start and end <= run[-1].at:
            return tuple(run)
    return None


def _curve(turning_points: Sequence[TurningPoint]) -> list[tuple[datetime, float]]:
    """The corners of the water's curve, in UTC: clock times cannot be subtracted."""
    _require_table(turning_points)
    corners = [corner for pair in pairwise(turning_points) for corner in _half_cycle(*pair)]
    last = turning_points[-1]
    return [*corners, (last.at.astimezone(UTC), last.height_m)]


def _half_cycle(first: TurningPoint, second: TurningPoint) -> Iterator[tuple[datetime, float]]:
    start_at, end_at = first.at.astimezone(UTC), second.at.astimezone(UTC)
    for sixth, twelfths in enumerate(accumulate(TIDE_TWELFTHS[:-1], initial=0)):
        height_m = first.height_m + (second.height_m - first.height_m) * twelfths / 12
        yield start_at + (end_at - start_at) * sixth / 6, height_m


def _require_table(turning_points: Sequence[TurningPoint]) -> None:
    if len(turning_points) < 2:
        raise OutOfRange("turning_points must hold at least one high and one low water")
    for point in turning_points:
        _require_zone("turning_points", point.at)
        require_finite(height_m=point.height_m)
    for first, second in pairwise(turning_points):
        if first.at.astimezone(UTC) >= second.at.astimezone(UTC):
            raise OutOfRange(
                f"turning_points must rise in time: {second.at:%d %b %H:%M} does not come after"
                f" {first.at:%d %b %H:%M}"
            )
    for first, middle, last in zip(
        turning_points, turning_points[1:], turning_points[2:], strict=False
    ):
        if (middle.height_m - first.height_m) * (last.height_m - middle.height_m) > 0:
            raise OutOfRange(
                f"turning_points must alternate high and low: {middle.at:%d %b %H:%M} is neither"
            )


def _require_zone(name: str, at: datetime) -> None:
    if at.tzinfo is None or at.utcoffset() is None:
        raise OutOfRange(f"{name} must carry a time zone: {at} names no instant")


def _moment_in_table(name: str, at: datetime, curve: list[tuple[datetime, float]]) -> datetime:
    _require_zone(name, at)
    moment = at.astimezone(UTC)
    if not curve[0][0] <= moment <= curve[-1][0]:
        zone = at.tzinfo
        raise OutOfRange(
            f"{name} must lie inside the tide table, {curve[0][0].astimezone(zone):%d %b %H:%M}"
            f" to {curve[-1][0].astimezone(zone):%d %b %H:%M}, not {at:%d %b %H:%M}"
        )
    return moment
