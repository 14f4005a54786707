"""What a season came to, drawn: bars with their counts, figures along the dates. Words on each.

A chart is as wide as a phone: what it says is read there without turning or enlarging it.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from planning.drawings import svg
from planning.drawings.geometry import Box, Point, box_about
from planning.drawings.labels import short, text_width_mm
from planning.drawings.words import Words
from planning.plan.words import gettext_noop as _

WIDE_MM = 100.0
SIZE_MM = 3.6
LINE_MM = 4.8
BAR_MM = 3.6
ROW_MM = LINE_MM + BAR_MM + 1.8
RULED_EVERY_MM = 1.1
DOT_MM = 1.1
MEDIAN_MM = 1.0
HIGH_MM = 58.0  # of a chart along the dates
FOOT_MM = 6.0
MOST_TICKS = 5


@dataclass(frozen=True)
class SeatBar:
    """The seats of one workshop; ``came`` is None where nobody noted it."""

    name: str
    offered: int
    booked: int
    came: int | None
    words: str


@dataclass(frozen=True)
class DotRow:
    """Figures of one name on a common scale, their middle one, and it in words."""

    name: str
    values: tuple[float, ...]
    median: float
    words: str


@dataclass(frozen=True)
class Dot:
    """A figure at a place along the dates, 0 to 1, with its spread or what it stands against."""

    along: float
    value: float
    low: float | None = None
    high: float | None = None
    against: float | None = None
    words: str = ""


@dataclass(frozen=True)
class Level:
    """A line right across: what is promised, or the limit."""

    value: float
    words: str


def seat_bars(rows: Sequence[SeatBar], title: str, say: Words) -> str:
    """Return a bar for each workshop: black came, ruled booked, empty free."""
    most = max((max(row.offered, row.booked) for row in rows), default=0)
    words_mm = max((_wide(row.words) for row in rows), default=0.0)
    each_mm = (WIDE_MM - words_mm - 3.0) / most if most else 0.0
    body: list[str] = []
    for index, row in enumerate(rows):
        top = index * ROW_MM
        body.append(_name(row.name, top))
        bar_top, came = top + LINE_MM + 0.8, row.came or 0
        body += _ruled(came * each_mm, row.booked * each_mm, bar_top)
        body.append(_bar(0.0, came * each_mm, bar_top, fill="black"))
        body.append(_bar(0.0, max(row.offered, row.booked) * each_mm, bar_top))
        ends = max(row.offered, row.booked) * each_mm
        body.append(_text(ends + 1.5 if ends else 0.0, bar_top + BAR_MM - 0.7, row.words))
    foot = len(rows) * ROW_MM
    body.append(_text(0.0, foot + LINE_MM, say.text(_("black: came; ruled: booked; empty: free"))))
    return svg.document(WIDE_MM, foot + FOOT_MM + 1.0, title, body)


def count_bars(rows: Sequence[tuple[str, int]], title: str, say: Words) -> str:
    """Return a bar for each name with its count at the end."""
    most = max((count for _name_, count in rows), default=0)
    room_mm = WIDE_MM - _wide(say.number(most)) - 3.0
    body: list[str] = []
    for index, (name, count) in enumerate(rows):
        top, wide_mm = index * ROW_MM, room_mm * count / most if most else 0.0
        body.append(_name(name, top))
        body.append(_bar(0.0, wide_mm, top + LINE_MM + 0.8, fill="black"))
        number = say.number(count)
        body.append(_text(wide_mm + 1.5, top + LINE_MM + BAR_MM + 0.1, number, bold=True))
    return svg.document(WIDE_MM, len(rows) * ROW_MM + 1.0, title, body)


def dot_rows(rows: Sequence[DotRow], nought: str, title: str, say: Words) -> str:
    """Return a row of dots for each name, a stroke at their middle, a line at ``nought``."""
    told = [value for row in rows for value in row.values] + [0.0]
    ticks = steps(min(told), max(told))
    low, high = min(*told, ticks[0]), max(*told, ticks[-1])
    inset_mm = 4.0

    def x(value: float) -> float:
        return inset_mm + (value - low) / (high - low) * (WIDE_MM - 2 * inset_mm)

    top, foot = LINE_MM + 1.5, LINE_MM + 1.5 + len(rows) * ROW_MM
    body = [_text(_centred(x(0.0), nought), SIZE_MM, nought)]
    body.append(svg.line(Point(x(0.0), top - 0.8), Point(x(0.0), foot), svg.THIN_MM))
    for index, row in enumerate(rows):
        here = top + index * ROW_MM
        room_mm = WIDE_MM - _wide(row.words) - 2.0
        body.append(_plated(0.0, here + SIZE_MM, _fitted(row.name, room_mm)))
        body.append(_plated(WIDE_MM - _wide(row.words), here + SIZE_MM, row.words))
        along = here + LINE_MM + BAR_MM / 2 + 0.5
        body.append(svg.line(Point(x(low), along), Point(x(high), along), dash="0.2 1.4"))
        body += [svg.circle(Point(x(value), along), DOT_MM) for value in row.values]
        middle = x(row.median)
        ends = Point(middle, along - BAR_MM / 2), Point(middle, along + BAR_MM / 2)
        body.append(svg.line(*ends, MEDIAN_MM))
    for tick in ticks:
        words = say.number(tick, sign=True)
        body.append(svg.line(Point(x(tick), foot), Point(x(tick), foot + 1.2)))
        body.append(_text(_centred(x(tick), words), foot + LINE_MM, words))
    return svg.document(WIDE_MM, foot + FOOT_MM, title, body)


def along_the_dates(
    dots: Sequence[Dot],
    level: Level | None,
    months: Sequence[tuple[float, str]],
    heading: str,
    title: str,
    say: Words,
) -> str:
    """Return figures by date from nought upwards: dots, their spread, a level dashed across.

    What a figure stands against is an open ring, joined to its dot. ``months`` are places along
    the dates, 0 to 1, and their words.
    """
    ticks = steps(0.0, _reach(dots, level))
    high = ticks[-1]
    left = max(_wide(say.number(tick)) for tick in ticks) + 2.0
    right, top, foot = WIDE_MM - 2.0, 2 * LINE_MM + 3.0, HIGH_MM - FOOT_MM

    def at(along: float, value: float) -> Point:
        share = min(value / high, 1.0)
        return Point(left + along * (right - left), foot - share * (foot - top))

    body = [_text(0.0, SIZE_MM, heading, bold=True)]
    for tick in ticks:
        place, words = at(0.0, tick), say.number(tick)
        body.append(svg.line(place, Point(right, place.y), dash="" if tick == 0 else "0.2 1.4"))
        body.append(_text(left - 1.0 - _wide(words), place.y + 1.1, words))
    body += _months(months, left, right, foot)
    if level:
        body += _level(level, at(0.0, level.value), right)
    placed = _side_by_side(dots, right - left)
    for dot in placed:
        body += _dot(dot, at)
    body += _told(placed, at, right)
    return svg.document(WIDE_MM, HIGH_MM, title, body)


def _reach(dots: Sequence[Dot], level: Level | None) -> float:
    """Return how high the scale goes: a spread may reach far, its figure must be told apart."""
    told = [part for dot in dots for part in (dot.value, dot.against) if part is not None]
    told += [level.value] if level else []
    highest = max(told, default=1.0)
    return min(max((dot.high or 0.0 for dot in dots), default=0.0), 1.5 * highest) or highest


def _side_by_side(dots: Sequence[Dot], room_mm: float) -> list[Dot]:
    """Return the dots in order, those of one day beside one another and none beyond the end."""
    step, placed = 2.2 * DOT_MM / room_mm, []
    for dot in sorted(dots, key=lambda one: one.along):
        along = max(dot.along, placed[-1].along + step if placed else 0.0)
        placed.append(replace(dot, along=along))
    last = 1.0
    for index in reversed(range(len(placed))):
        placed[index] = replace(placed[index], along=max(0.0, min(placed[index].along, last)))
        last = placed[index].along - step
    return placed


def steps(low: float, high: float) -> list[float]:
    """Return round figures from at or below ``low`` to at or above ``high``, a few of them."""
    width = max(high - low, 1e-9)
    size = 10.0 ** math.floor(math.log10(width))
    each = next(
        part * size
        for part in (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0)
        if width / (part * size) <= MOST_TICKS
    )
    each = max(each, 1.0)  # minutes, flashes and speeds are told whole
    first, last = math.floor(low / each), math.ceil(high / each)
    return [number * each for number in range(first, max(last, first + 1) + 1)]


def _months(
    months: Sequence[tuple[float, str]], left: float, right: float, foot: float
) -> Iterator[str]:
    """Tick every month, and name as many as there is room for."""
    free = left
    for along, words in months:
        x = left + along * (right - left)
        yield svg.line(Point(x, foot), Point(x, foot + 1.2))
        if x >= free and x + _wide(words) <= WIDE_MM:
            yield _text(x, foot + LINE_MM, words)
            free = x + _wide(words) + 2.0


def _level(level: Level, start: Point, right: float) -> Iterator[str]:
    """Draw the level, and say below the heading what such a line is: dots would cross its words."""
    yield svg.line(start, Point(right, start.y), 0.5, "2 1.2")
    row = LINE_MM + SIZE_MM
    yield svg.line(Point(0.0, row - 1.2), Point(8.0, row - 1.2), 0.5, "2 1.2")
    yield _text(9.5, row, level.words)


def _dot(dot: Dot, at) -> Iterator[str]:
    here = at(dot.along, dot.value)
    for other in (dot.low, dot.high, dot.against):
        if other is not None:
            yield svg.line(here, at(dot.along, other), svg.THIN_MM)
    if dot.against is not None:
        yield svg.circle(at(dot.along, dot.against), DOT_MM)
    yield svg.circle(here, DOT_MM, fill="black")


def _told(dots: Sequence[Dot], at, right: float) -> Iterator[str]:
    """Write the words of dots beside them where nothing else is: the table has them all."""
    places = [at(dot.along, dot.value) for dot in dots]
    places += [at(dot.along, dot.against) for dot in dots if dot.against is not None]
    taken = [box_about(place, 2 * DOT_MM, 2 * DOT_MM) for place in places]
    for dot in dots:
        here, wide_mm = at(dot.along, dot.value), _wide(dot.words)
        for starts in (here.x + 1.8, here.x - 1.8 - wide_mm) if dot.words else ():
            box = Box(starts, here.y - SIZE_MM / 2, wide_mm, SIZE_MM)
            if 0 <= starts <= right - wide_mm and not any(box.overlaps(one) for one in taken):
                taken.append(box)
                yield _text(starts, here.y + 1.1, dot.words)
                break


def _wide(words: str) -> float:
    return text_width_mm(words, SIZE_MM)


def _centred(x: float, words: str) -> float:
    return min(max(0.0, x - _wide(words) / 2), WIDE_MM - _wide(words))


def _text(x: float, y: float, words: str, *, bold: bool = False) -> str:
    return svg.text(Point(x, y), words, size_mm=SIZE_MM, bold=bold)


def _plated(x: float, y: float, words: str) -> str:
    """Return words on a ground of their own, so that no line runs through them."""
    ground = Box(x - 0.6, y - SIZE_MM, _wide(words) + 1.2, SIZE_MM + 0.9)
    return svg.plate(ground) + _text(x, y, words)


def _name(name: str, top: float) -> str:
    return _text(0.0, top + SIZE_MM, _fitted(name, WIDE_MM))


def _fitted(words: str, room_mm: float) -> str:
    """Return the words cut, with an ellipsis, to what there is room for."""
    limit = len(words)
    while limit > 2 and _wide(short(words, limit)) > room_mm:
        limit -= 1
    return short(words, limit)


def _bar(left: float, right: float, top: float, fill: str = "none") -> str:
    if right <= left:
        return ""
    return svg.rect(Point(left, top), right - left, BAR_MM, fill=fill, stroke_mm=svg.THIN_MM)


def _ruled(left: float, right: float, top: float) -> list[str]:
    count = int((right - left) / RULED_EVERY_MM)
    places = [left + (number + 1) * RULED_EVERY_MM for number in range(count)]
    strokes = [svg.line(Point(x, top), Point(x, top + BAR_MM), svg.THIN_MM) for x in places]
    return [*strokes, _bar(left, right, top)]
