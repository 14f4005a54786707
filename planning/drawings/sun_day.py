"""The sun through one day as a curve of its height, the sets as bars under it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from planning.drawings import svg
from planning.drawings.geometry import Box, Point
from planning.drawings.labels import Ground, Label, arrange, text_width_mm
from planning.drawings.words import Words
from planning.physics.sun import Place, sun_position
from planning.plan.words import gettext_noop as _

LEFT_MM, RIGHT_MM, TOP_MM = 9.0, 3.0, 4.0
HOUR_GAP_MM = 1.0
HOUR_MM = 5.0  # under the curve, for the hours
BAR_MM = 6.2
BAR_GAP_MM = 1.2
STEP = timedelta(minutes=10)
HEIGHTS_DEG = (0, 15, 30, 45, 60, 75, 90)
LEAST_TOP_DEG = 30.0
NIGHT_DEG = -8.0  # the curve is drawn down to here
SMALL_MM = 2.85  # 8 points
BOLD = 1.06  # how much wider the heavy type sets, about


@dataclass(frozen=True)
class Span:
    """One set of the day."""

    number: int
    title: str
    start_at: datetime
    end_at: datetime


@dataclass(frozen=True)
class _Day:
    frame: Box
    start_at: datetime
    end_at: datetime
    top_deg: float
    low_deg: float

    def x(self, at: datetime) -> float:
        share = (at - self.start_at) / (self.end_at - self.start_at)
        return self.frame.left + share * self.frame.width

    def at(self, at: datetime, elevation_deg: float) -> Point:
        share = (self.top_deg - elevation_deg) / (self.top_deg - self.low_deg)
        return Point(self.x(at), self.frame.top + share * self.frame.height)


def sun_day(
    place: Place,
    start_at: datetime,
    end_at: datetime,
    spans: Sequence[Span],
    say: Words,
    *,
    width_mm: float,
    height_mm: float,
) -> str:
    """Return the drawing from ``start_at`` to ``end_at``, whole hours marked on their clock.

    Under the curve each set has a bar from its beginning to its end; on the curve stand the
    sun's height and bearing at both. Bars that overlap in time stand on lines of their own.
    """
    rows = _lines_of(spans)
    foot_mm = HOUR_MM + (max(rows, default=-1) + 1) * (BAR_MM + BAR_GAP_MM) + 0.6
    frame = Box(
        LEFT_MM, TOP_MM, width_mm - LEFT_MM - RIGHT_MM, max(12.0, height_mm - TOP_MM - foot_mm)
    )
    curve = _curve(place, start_at, end_at)
    highest = max(height for _at, height in curve)
    lowest = min(height for _at, height in curve)
    top_deg = max(LEAST_TOP_DEG, 15.0 * math.ceil(highest / 15.0))
    day = _Day(frame, start_at, end_at, top_deg, NIGHT_DEG if lowest < 0 else 0.0)
    lines: list[tuple[Point, Point]] = []
    body = [*_scale(day, say), *_hours(day, say), *_drawn(day, curve, lines)]
    labels = []
    for span, row in zip(spans, rows, strict=True):
        body.append(_bar(day, span, row, place, labels))
    named = [_label(day, at, sun, say) for at, sun in labels]
    area = Box(frame.left, 0.4, frame.width + RIGHT_MM - 0.4, frame.height + TOP_MM)
    placed, _left = arrange(named, Ground(area, (), tuple(lines), SMALL_MM))
    for spot in placed:
        body.append(svg.plate(spot.box))
        if spot.leader:
            body.append(svg.line(*spot.leader))
        base = Point(spot.box.left + 0.4, spot.box.bottom - 0.2 - 0.2 * SMALL_MM)
        body.append(svg.text(base, spot.label.lines[0], size_mm=SMALL_MM))
    body += _names(day, spans, rows)
    title = say.text(_("The sun through the day, and the sets"))
    return svg.document(width_mm, height_mm, title, body)


def _lines_of(spans: Sequence[Span]) -> list[int]:
    """The line each bar stands on: the first that is free from its beginning on."""
    free: list[datetime] = []
    rows = []
    for span in spans:
        row = next((n for n, until in enumerate(free) if until <= span.start_at), len(free))
        free[row : row + 1] = [span.end_at]
        rows.append(row)
    return rows


def _curve(place: Place, start_at: datetime, end_at: datetime) -> list[tuple[datetime, float]]:
    steps = math.ceil((end_at - start_at) / STEP)
    instants = [min(start_at + n * STEP, end_at) for n in range(steps + 1)]
    return [(at, sun_position(place, at).geometric_elevation_deg) for at in instants]


def _scale(day: _Day, say: Words) -> list[str]:
    parts = []
    for height in HEIGHTS_DEG:
        if day.low_deg <= height <= day.top_deg:
            level = day.at(day.start_at, height).y
            ends = Point(day.frame.left, level), Point(day.frame.right, level)
            parts.append(svg.line(*ends, svg.THIN_MM if height == 0 else svg.HAIR_MM, ""))
            words = say.degrees(height)
            left = day.frame.left - 1.2 - text_width_mm(words, SMALL_MM)
            parts.append(svg.text(Point(left, level + 0.9), words, size_mm=SMALL_MM))
    return parts


def _hours(day: _Day, say: Words) -> list[str]:
    parts = []
    first = day.start_at.replace(minute=0, second=0, microsecond=0)
    widest = max(text_width_mm(say.clock(first + timedelta(hours=n)), SMALL_MM) for n in range(24))
    hours = (day.end_at - day.start_at) / timedelta(hours=1)
    room = day.frame.width / max(1.0, hours)
    each = next(n for n in (1, 2, 3, 4, 6, 12, 24) if n * room >= widest + 1.5 or n == 24)
    free_from = 0.0
    at = first if first == day.start_at else first + timedelta(hours=1)
    while at <= day.end_at:
        foot = Point(day.x(at), day.frame.bottom)
        parts.append(svg.line(foot, Point(foot.x, foot.y + 1.0), svg.THIN_MM))
        if at.hour % each == 0:
            words, wide_mm = say.clock(at), text_width_mm(say.clock(at), SMALL_MM)
            # The first may stand out into the margin of the heights: nothing else is as low.
            rightmost = day.frame.right + RIGHT_MM - wide_mm
            left = min(max(foot.x - wide_mm / 2, 0.4), rightmost)
            if left >= free_from:
                parts.append(svg.text(Point(left, foot.y + 3.8), words, size_mm=SMALL_MM))
                free_from = left + wide_mm + HOUR_GAP_MM
        at += timedelta(hours=1)
    return parts


def _drawn(day: _Day, curve, lines: list[tuple[Point, Point]]) -> list[str]:
    """The curve, thick while the sun is up, thin and dashed below, not under the frame."""
    parts = []
    for (at, height), (then, next_height) in pairwise(curve):
        if max(height, next_height) < day.low_deg:
            continue
        ends = day.at(at, max(height, day.low_deg)), day.at(then, max(next_height, day.low_deg))
        lines.append(ends)
        up = height > 0 and next_height > 0
        parts.append(svg.line(*ends, 0.5 if up else svg.HAIR_MM, "" if up else "0.8 0.8"))
    return parts


def _bar(day: _Day, span: Span, row: int, place: Place, labels: list) -> str:
    top = day.frame.bottom + HOUR_MM + row * (BAR_MM + BAR_GAP_MM)
    left, right = (
        min(max(day.x(at), day.frame.left), day.frame.right) for at in (span.start_at, span.end_at)
    )
    parts = [svg.rect(Point(left, top), max(right - left, 0.6), BAR_MM, stroke_mm=svg.THIN_MM)]
    for at in (span.start_at, span.end_at):
        if not day.start_at <= at <= day.end_at:
            continue
        sun = sun_position(place, at)
        if sun.geometric_elevation_deg > day.low_deg:
            spot = day.at(at, sun.geometric_elevation_deg)
            foot = Point(spot.x, day.frame.bottom)
            parts.append(svg.line(spot, foot, svg.HAIR_MM, "0.5 1.0"))
            parts.append(svg.circle(spot, 0.7, fill="black"))
            labels.append((at, sun))
    return "".join(parts)


def _label(day: _Day, at: datetime, sun, say: Words) -> Label:
    spot = day.at(at, sun.geometric_elevation_deg)
    told = say.text(_("{height} from {bearing}")).format(
        height=say.degrees(sun.elevation_deg), bearing=say.bearing(sun.azimuth_deg)
    )
    return Label((told,), spot, 0.9)


def _names(day: _Day, spans: Sequence[Span], rows: Sequence[int]) -> list[str]:
    """The number and name of each set in its bar, as many whole words as the bar holds."""
    parts = []
    for span, row in zip(spans, rows, strict=True):
        top = day.frame.bottom + HOUR_MM + row * (BAR_MM + BAR_GAP_MM)
        left, right = day.x(span.start_at), day.x(span.end_at)
        told = _whole_words(f"{span.number} {span.title}", right - left - 1.8)
        at = Point(max(left, day.frame.left) + 0.9, top + 4.2)
        parts.append(svg.text(at, told, bold=True))
    return parts


def _whole_words(text: str, room_mm: float) -> str:
    """Return the words a room holds, the first always: a set's number says which it is."""
    words = text.split()
    while len(words) > 1 and text_width_mm(" ".join(words), svg.TEXT_MM) * BOLD > room_mm:
        words.pop()
    return " ".join(words).rstrip(",;:")
