"""What stands behind an own figure: every measurement, what was held before, what is held now."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from planning.drawings import svg
from planning.drawings.geometry import Point
from planning.drawings.labels import text_width_mm

LEFT_MM, TOP_MM, FOOT_MM = 42.0, 6.0, 12.0
ROW_MM = 5.0
RING_MM = 1.1
TICK_MM = 1.2
MOST_ROWS = 40  # of the newest: more are in the table
MOST_TICKS = 9


@dataclass(frozen=True)
class Span:
    """A figure and how far it may be off, on the scale of the axis; its words ready."""

    label: str
    middle: float
    within: float


@dataclass(frozen=True)
class Mark:
    """One measurement; ``share`` is what it counts for, None where it does not count."""

    label: str
    value: float
    share: float | None


@dataclass(frozen=True)
class Tick:
    at: float
    label: str


def witnesses_drawing(
    title: str,
    before: Span,
    now: Span,
    marks: Sequence[Mark],
    ticks: Sequence[Tick],
    *,
    width_mm: float = 160.0,
) -> str:
    """Return the drawing as SVG: a row a measurement, above them both spans, below the axis.

    Full where it counts (the larger the more), a ring where it does not.
    """
    shown = list(marks[:MOST_ROWS])
    height_mm = TOP_MM + (len(shown) + 2) * ROW_MM + FOOT_MM
    low, high = _ends(before, now, shown)

    def x(value: float) -> float:
        share = (min(max(value, low), high) - low) / (high - low)
        return LEFT_MM + share * (width_mm - LEFT_MM - 6.0)

    foot_mm = height_mm - FOOT_MM + 2.0
    body = [*_axis(ticks, x, low, high, foot_mm)]
    now_x = x(now.middle)
    body.append(svg.line(Point(now_x, TOP_MM), Point(now_x, foot_mm), svg.HAIR_MM, "1 1"))
    body += _span(before, x, TOP_MM + 0.5 * ROW_MM, svg.THIN_MM)
    body += _span(now, x, TOP_MM + 1.5 * ROW_MM, 4 * svg.THIN_MM)
    for place, mark in enumerate(shown):
        y_mm = TOP_MM + (place + 2.5) * ROW_MM
        body.append(svg.text(Point(1.0, y_mm + 1.0), mark.label))
        radius_mm = RING_MM if mark.share is None else 0.6 + 1.4 * math.sqrt(mark.share)
        fill = "white" if mark.share is None else "black"
        body.append(svg.circle(Point(x(mark.value), y_mm), radius_mm, fill))
    return svg.document(width_mm, height_mm, title, body)


def _ends(before: Span, now: Span, marks: Sequence[Mark]) -> tuple[float, float]:
    edges = [before.middle - before.within, before.middle + before.within]
    edges += [now.middle - now.within, now.middle + now.within, *(one.value for one in marks)]
    room = 0.05 * (max(edges) - min(edges)) or 0.1
    return min(edges) - room, max(edges) + room


def _span(span: Span, x, y_mm: float, width_mm: float) -> list[str]:
    low, high = Point(x(span.middle - span.within), y_mm), Point(x(span.middle + span.within), y_mm)
    ends = [
        svg.line(Point(end.x, y_mm - TICK_MM), Point(end.x, y_mm + TICK_MM), svg.THIN_MM)
        for end in (low, high)
    ]
    return [
        svg.text(Point(1.0, y_mm + 1.0), span.label, bold=True),
        svg.line(low, high, width_mm),
        *ends,
        svg.circle(Point(x(span.middle), y_mm), RING_MM),
    ]


def _axis(ticks: Sequence[Tick], x, low: float, high: float, y_mm: float) -> list[str]:
    inside = [tick for tick in ticks if low <= tick.at <= high]
    every = max(1, math.ceil(len(inside) / MOST_TICKS))
    parts = [svg.line(Point(x(low), y_mm), Point(x(high), y_mm), svg.THIN_MM)]
    for tick in inside[::every]:
        at_mm = x(tick.at)
        parts.append(svg.line(Point(at_mm, y_mm), Point(at_mm, y_mm + TICK_MM), svg.THIN_MM))
        left_mm = at_mm - text_width_mm(tick.label, svg.TEXT_MM) / 2.0
        parts.append(svg.text(Point(left_mm, y_mm + TICK_MM + 3.0), tick.label))
    return parts
