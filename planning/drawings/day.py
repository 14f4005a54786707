"""Today's plan beside the proposed one: two columns of blocks to scale, time down."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from planning.drawings import svg
from planning.drawings.geometry import Point
from planning.drawings.labels import short, text_width_mm
from planning.drawings.words import Words

WIDTH_MM = 110.0
CLOCK_MM, GAP_MM, TOP_MM, FOOT_MM = 12.0, 4.0, 7.0, 4.0
HOUR_MM, MOST_MM = 13.0, 190.0
SIZE_MM, LINE_MM = 3.3, 4.2
BAR_MM = 1.4
EDGE_MM = 0.4
HOUR = timedelta(hours=1)


@dataclass(frozen=True)
class Block:
    """A set or a break; ``lit`` are the spans in which it has the light it wants."""

    title: str
    start_at: datetime
    end_at: datetime
    shooting: tuple[datetime, datetime] | None = None  # None: a break
    lit: tuple[tuple[datetime, datetime], ...] = ()


def day_columns(
    columns: Sequence[tuple[str, Sequence[Block]]],
    say: Words,
    *,
    start_at: datetime,
    end_at: datetime,
    title: str,
) -> str:
    """Return the columns as SVG, each under its heading, the hours down the left side.

    A thick bar shows when pictures are made, an open one beside it when the wanted light is
    there. A break is dashed.
    """
    hours = max((end_at - start_at) / HOUR, 1.0)
    hour_mm = min(HOUR_MM, MOST_MM / hours)
    height_mm = TOP_MM + hours * hour_mm + FOOT_MM
    wide_mm = (WIDTH_MM - EDGE_MM - CLOCK_MM - GAP_MM * (len(columns) - 1)) / len(columns)

    def down(at: datetime) -> float:
        return TOP_MM + (at - start_at) / HOUR * hour_mm

    body = list(_hours(say, start_at, end_at, down))
    for number, (heading, blocks) in enumerate(columns):
        left = CLOCK_MM + number * (wide_mm + GAP_MM)
        body.append(svg.text(Point(left, TOP_MM - 2.5), heading, size_mm=SIZE_MM, bold=True))
        for block in blocks:
            body += _block(block, say, left, wide_mm, down)
    return svg.document(WIDTH_MM, height_mm, title, body)


def _hours(say: Words, start_at: datetime, end_at: datetime, down) -> list[str]:
    """A hairline and its clock at every full hour."""
    at = start_at.replace(minute=0, second=0, microsecond=0)
    at = at if at == start_at else at + HOUR
    parts = []
    while at <= end_at:
        y = down(at)
        parts.append(svg.line(Point(CLOCK_MM - 1.5, y), Point(WIDTH_MM, y), dash="0.3 1.7"))
        parts.append(svg.text(Point(0.0, y + 1.0), say.clock(at), size_mm=2.9))
        at += HOUR
    return parts


def _block(block: Block, say: Words, left: float, wide_mm: float, down) -> list[str]:
    top, high_mm = down(block.start_at), down(block.end_at) - down(block.start_at)
    dash = {"stroke_dasharray": "1.2 0.8"} if block.shooting is None else {}
    parts = [
        svg.element(
            "rect",
            x=left,
            y=top,
            width=wide_mm,
            height=max(high_mm, 0.2),
            fill="white",
            stroke="black",
            stroke_width=svg.THIN_MM,
            **dash,
        )
    ]
    for begin, end in block.lit:
        lit_mm = down(end) - down(begin)
        parts.append(svg.rect(Point(left + BAR_MM + 0.5, down(begin)), BAR_MM, lit_mm))
    if block.shooting:
        begin, end = block.shooting
        bar = Point(left, down(begin))
        parts.append(svg.rect(bar, BAR_MM, down(end) - bar.y, fill="black", stroke_mm=0))
    return parts + _words(block, say, left + 2 * BAR_MM + 1.8, left + wide_mm, top, high_mm)


def _words(
    block: Block, say: Words, left: float, right: float, top: float, high_mm: float
) -> list[str]:
    """The clock and the title, on one line or two, as far as the block has room for them."""
    clock = f"{say.clock(block.start_at)}\N{EN DASH}{say.clock(block.end_at)}"
    room = right - left - 0.8
    if high_mm >= 2 * LINE_MM:
        lines = [(clock, False), (_fitted(block.title, room), True)]
    elif high_mm >= 3.2:
        rest = room - text_width_mm(clock + "  ", SIZE_MM)
        lines = [(f"{clock}  {_fitted(block.title, rest)}", True)]
    else:
        return []
    first = top + 3.4 if len(lines) > 1 else top + min(high_mm / 2 + 1.1, 3.4)
    return [
        svg.text(Point(left, first + row * LINE_MM), words, size_mm=SIZE_MM, bold=bold)
        for row, (words, bold) in enumerate(lines)
    ]


def _fitted(title: str, room_mm: float) -> str:
    """The title, shortened until it fits at the bold face's width."""
    for length in range(len(title), min(len(title) - 1, 3), -1):
        shown = short(title, length)
        if text_width_mm(shown, SIZE_MM) * 1.06 <= room_mm:
            return shown
    return ""
