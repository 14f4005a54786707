"""Frames as strokes along a set: a line for everybody, a box for each own turn."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from planning.drawings import svg
from planning.drawings.geometry import Point
from planning.drawings.labels import text_width_mm
from planning.drawings.words import Words
from planning.plan.words import gettext_noop as _

NAMES_MM, COUNT_MM, TOP_MM, ROW_MM = 34.0, 12.0, 6.0, 8.0
BOX_MM, LONG_MM, SHORT_MM = 5.6, 5.6, 2.6
STEP_MM = 0.25  # strokes nearer than a stroke is wide are one
LABEL_EVERY_MM = 16.0
EVERY_MIN = (5, 10, 15, 30, 60, 120, 240)


@dataclass(frozen=True)
class TakenRow:
    """One person: turns as (from, to), and when they took frames, in the turns and outside."""

    name: str
    turns: tuple[tuple[datetime, datetime], ...]
    in_turn: tuple[datetime, ...]
    outside: tuple[datetime, ...]


def taken(
    rows: Sequence[TakenRow],
    begins_at: datetime,
    ends_at: datetime,
    title: str,
    say: Words,
    *,
    width_mm: float = 180.0,
) -> str:
    """Return the strokes as SVG, from the beginning of a set to its end; empty without rows.

    At the right stands how many frames are in turns and, behind a plus, outside.
    """
    if not rows or ends_at <= begins_at:
        return ""
    across_mm = width_mm - NAMES_MM - COUNT_MM
    span_s = (ends_at - begins_at).total_seconds()

    def x(at: datetime) -> float:
        share = (at - begins_at).total_seconds() / span_s
        return NAMES_MM + min(1.0, max(0.0, share)) * across_mm

    foot_mm = TOP_MM + len(rows) * ROW_MM
    body = list(_hours(begins_at, ends_at, x, foot_mm, say))
    for index, row in enumerate(rows):
        body += _row(row, TOP_MM + (index + 0.5) * ROW_MM, x, width_mm)
    keys = (
        _("box: own turn; long strokes: frames taken in it"),
        _("short strokes: frames taken outside; at the right how many, those outside after the +"),
    )
    for number, key in enumerate(keys):
        body.append(svg.text(Point(0, foot_mm + 8.2 + 3.8 * number), say.text(key)))
    return svg.document(width_mm, foot_mm + 9.6 + 3.8 * (len(keys) - 1), title, body)


def _hours(begins_at, ends_at, x, foot_mm: float, say: Words) -> Iterator[str]:
    """Rule off round minutes of the clock, as many as can be read."""
    span_min = (ends_at - begins_at).total_seconds() / 60.0
    across_mm = x(ends_at) - x(begins_at)
    every = next(
        (step for step in EVERY_MIN if step * across_mm / span_min >= LABEL_EVERY_MM),
        EVERY_MIN[-1],
    )
    midnight = begins_at.replace(hour=0, minute=0, second=0, microsecond=0)
    passed = (begins_at - midnight) // timedelta(minutes=every)
    at = midnight + (passed + 1) * timedelta(minutes=every)
    while at < ends_at:
        words = say.clock(at)
        yield svg.line(Point(x(at), TOP_MM), Point(x(at), foot_mm), dash="0.2 1.4")
        half_mm = text_width_mm(words, svg.TEXT_MM) / 2
        yield svg.text(Point(x(at) - half_mm, TOP_MM - 1.8), words)
        at += timedelta(minutes=every)
    for edge_mm in (TOP_MM, foot_mm):
        yield svg.line(Point(x(begins_at), edge_mm), Point(x(ends_at), edge_mm))


def _row(row: TakenRow, middle_mm: float, x, width_mm: float) -> Iterator[str]:
    yield svg.text(Point(0, middle_mm + 1.0), _cut(row.name, NAMES_MM - 1.5))
    for first_at, last_at in row.turns:
        wide_mm = max(0.4, x(last_at) - x(first_at))
        corner = Point(x(first_at), middle_mm - BOX_MM / 2)
        yield svg.rect(corner, wide_mm, BOX_MM, stroke_mm=svg.THIN_MM)
    yield _strokes(row.in_turn, x, middle_mm, LONG_MM)
    yield _strokes(row.outside, x, middle_mm, SHORT_MM)
    count = f"{len(row.in_turn)}"
    if row.outside:
        count += f"+{len(row.outside)}"
    yield svg.text(Point(width_mm - COUNT_MM + 1.0, middle_mm + 1.0), count, bold=True)


def _strokes(times: Sequence[datetime], x, middle_mm: float, tall_mm: float) -> str:
    """All strokes of one kind as one path: ten thousand frames stay a small drawing."""
    places = sorted({round(x(at) / STEP_MM) for at in times})
    if not places:
        return ""
    top = svg.number(middle_mm - tall_mm / 2)
    steps = "".join(f"M{svg.number(place * STEP_MM)} {top}v{tall_mm:g}" for place in places)
    return svg.element("path", d=steps, fill="none", stroke="black", stroke_width=svg.HAIR_MM)


def _cut(words: str, width_mm: float) -> str:
    while words and text_width_mm(words, svg.TEXT_MM) > width_mm:
        words = words[:-2].rstrip() + "…" if len(words) > 2 else ""
    return words
