"""Light windows over the dates of a season: a date down, an hour across, ink where the light is."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planning.drawings import svg
from planning.drawings.geometry import Point
from planning.drawings.labels import text_width_mm
from planning.drawings.words import Words
from planning.plan.words import gettext_noop as _

LEFT_MM, TOP_MM, GAP_MM = 19.0, 6.0, 2.0
MOST_ROW_MM = 7.0
LINE_MM = 3.5  # of the words at the side and below
HOUR_TICK_MM = 1.2
HOUR_STEPS = (1, 2, 3, 4, 6, 12)
# A page of solid black runs on a poor printer; rules of 300 dots an inch stay apart like this.
RULE_MM, RULE_EVERY_MM = 0.36, 0.9
DASH_EVERY_MM = 1.8
MOST_BAR_MM = 2.4
DAY_TICK_MM = 2.85  # 8 points
SLIP_H = 1.7  # from one date to the next sunrise moves by less, the clock's change included
WORDS_MM = svg.TEXT_MM

Hours = tuple[float, float]


@dataclass(frozen=True)
class ChartRow:
    """One date: hours on the clock of the place, from 0 to 24, and its words, all ready."""

    label: str  # the date, beside the row where rows are tall enough
    month: str  # at the first row of a month, else empty
    tick: str  # the day of the month where rows are low and this one is told, else empty
    light: tuple[Hours, ...]
    hidden: tuple[Hours, ...]  # the sun stands there, behind the horizon
    rises: tuple[float, ...]
    sets: tuple[float, ...]
    words: str = ""  # at the right
    chief: bool = False  # told even where there is no room for the words of each


@dataclass(frozen=True)
class _Frame:
    left_mm: float
    right_mm: float
    top_mm: float
    row_mm: float
    count: int
    first_h: int
    last_h: int

    @property
    def roomy(self) -> bool:
        """Whether each row has its own words beside it."""
        return self.row_mm >= LINE_MM

    def x(self, hour: float) -> float:
        share = (hour - self.first_h) / (self.last_h - self.first_h)
        return self.left_mm + share * (self.right_mm - self.left_mm)

    def y(self, row: float) -> float:
        return self.top_mm + row * self.row_mm

    @property
    def foot_mm(self) -> float:
        return self.y(self.count)


def season_chart(
    rows: Sequence[ChartRow],
    hours: Sequence[str],
    title: str,
    say: Words,
    *,
    width_mm: float = 190.0,
    height_mm: float = 200.0,
) -> str:
    """Return the chart as SVG; ``hours`` are the clock's words for 0 to 24.

    Ruled closely where the light is, or a bar where rows are tall; dashed where the horizon hides
    it; a line at sunrise and one at sunset. Below it stands what each of them means.
    """
    key = _key(rows, width_mm, say)
    foot_mm = TOP_MM + LINE_MM * len(key)
    row_mm = min(MOST_ROW_MM, (height_mm - TOP_MM - foot_mm) / max(1, len(rows)))
    told = _told(rows, each=row_mm >= LINE_MM)
    widest_mm = max((text_width_mm(words, WORDS_MM) for _index, words in told), default=0.0)
    aside_mm = widest_mm + 4 * GAP_MM if told else GAP_MM
    frame = _Frame(LEFT_MM, width_mm - aside_mm, TOP_MM, row_mm, len(rows), *_span(rows))
    body = [
        *_hours(frame, hours),
        *_dates(frame, rows),
        *_ink(frame, rows),
        *_sun(frame, rows),
        *_words(frame, told),
    ]
    for index, line in enumerate(key):
        at = Point(LEFT_MM, frame.foot_mm + TOP_MM + LINE_MM * (index + 0.8))
        body.append(svg.text(at, line))
    return svg.document(width_mm, frame.foot_mm + foot_mm, title, body)


def _span(rows: Sequence[ChartRow]) -> tuple[int, int]:
    """Return the whole hours between which anything happens, all day where the sun stays up."""
    told = [hour for row in rows for span in (*row.light, *row.hidden) for hour in span]
    told += [hour for row in rows for hour in (*row.rises, *row.sets)]
    if not told:
        return 0, 24
    first_h, last_h = int(min(told)), -int(-max(told))
    last_h = min(24, int(max(told)) + 1)
    return (first_h, last_h) if last_h > first_h else (0, 24)


def _hours(frame: _Frame, hours: Sequence[str]) -> Iterator[str]:
    widest_mm = max(text_width_mm(words, WORDS_MM) for words in hours) + GAP_MM
    each = next(
        (step for step in HOUR_STEPS if frame.x(frame.first_h + step) - frame.left_mm > widest_mm),
        HOUR_STEPS[-1],
    )
    for hour in range(frame.first_h, frame.last_h + 1):
        x, told = frame.x(hour), (hour - frame.first_h) % each == 0
        if told:
            yield svg.line(Point(x, frame.top_mm), Point(x, frame.foot_mm), dash="0.2 1.4")
        for edge_mm, away in ((frame.top_mm, -1), (frame.foot_mm, 1)):
            yield svg.line(Point(x, edge_mm), Point(x, edge_mm + away * HOUR_TICK_MM))
            if told:
                wide_mm = text_width_mm(hours[hour], WORDS_MM)
                base_mm = edge_mm - 2.0 if away < 0 else edge_mm + 4.4
                yield svg.text(Point(x - wide_mm / 2, base_mm), hours[hour])
    corner = Point(frame.left_mm, frame.top_mm)
    yield svg.rect(corner, frame.right_mm - frame.left_mm, frame.foot_mm - frame.top_mm)


def _dates(frame: _Frame, rows: Sequence[ChartRow]) -> Iterator[str]:
    """Rule off the months and name them, or the dates where there is room for each."""
    starts = [index for index, row in enumerate(rows) if row.month]
    for index in starts:
        y = frame.y(index)
        yield svg.line(Point(frame.left_mm if frame.roomy else 0, y), Point(frame.right_mm, y))
    if frame.roomy:
        for index, row in enumerate(rows):
            yield svg.text(Point(0, frame.y(index + 0.5) + 1.0), row.label)
        return
    for index, after in zip(starts, [*starts[1:], len(rows)], strict=True):
        if (after - index) * frame.row_mm >= LINE_MM:
            yield svg.text(Point(0, frame.y(index) + LINE_MM * 0.85), rows[index].month, bold=True)
    for index, row in enumerate(rows):
        if row.tick and 9 * frame.row_mm >= LINE_MM:
            y, wide_mm = frame.y(index + 0.5), text_width_mm(row.tick, DAY_TICK_MM)
            yield svg.line(Point(frame.left_mm - HOUR_TICK_MM, y), Point(frame.left_mm, y))
            at = Point(frame.left_mm - HOUR_TICK_MM - 0.5 - wide_mm, y + 0.8)
            yield svg.text(at, row.tick, size_mm=DAY_TICK_MM)


def _ink(frame: _Frame, rows: Sequence[ChartRow]) -> Iterator[str]:
    tall_mm = min(MOST_BAR_MM, frame.row_mm * 0.62) if frame.roomy else RULE_MM
    for index in _ruled(frame, [bool(row.light) for row in rows], RULE_EVERY_MM):
        for first_h, last_h in rows[index].light:
            corner = Point(frame.x(first_h), frame.y(index + 0.5) - tall_mm / 2)
            wide_mm = frame.x(last_h) - frame.x(first_h)
            yield svg.rect(corner, wide_mm, tall_mm, fill="black", stroke_mm=0)
    if not frame.roomy:
        for edge in (0, 1):
            yield from _curves(frame, [[span[edge] for span in row.light] for row in rows])
    for index in _ruled(frame, [bool(row.hidden) for row in rows], DASH_EVERY_MM):
        for first_h, last_h in rows[index].hidden:
            y = frame.y(index + 0.5)
            ends = Point(frame.x(first_h), y), Point(frame.x(last_h), y)
            yield svg.line(*ends, svg.HAIR_MM, dash="1.2 1.2")


def _ruled(frame: _Frame, inked: Sequence[bool], every_mm: float) -> Iterator[int]:
    """Yield the rows that get a rule: all where they are tall, else some so far apart that they
    stay rules on paper, and the first and the last of each run of dates."""
    every = 1 if frame.roomy else max(1, math.ceil(every_mm / frame.row_mm))
    for index, ink in enumerate(inked):
        ends = index in (0, len(inked) - 1) or not (inked[index - 1] and inked[index + 1])
        if ink and (ends or index % every == 0):
            yield index


def _sun(frame: _Frame, rows: Sequence[ChartRow]) -> Iterator[str]:
    for name in ("rises", "sets"):
        yield from _curves(frame, [getattr(row, name) for row in rows])


def _curves(frame: _Frame, hours: Sequence[Sequence[float]]) -> Iterator[str]:
    for points in _chains(hours):
        joined = " ".join(
            f"{svg.number(frame.x(hour))},{svg.number(frame.y(index + 0.5))}"
            for index, hour in points
        )
        yield svg.element(
            "polyline", points=joined, fill="none", stroke="black", stroke_width=svg.THIN_MM
        )


def _chains(hours: Sequence[Sequence[float]]) -> list[list[tuple[int, float]]]:
    """Join each hour to the one of the date before that is nearest, broken where none is near."""
    chains: list[list[tuple[int, float]]] = []
    open_ones: list[list[tuple[int, float]]] = []
    for index, told in enumerate(hours):
        going_on = []
        for hour in told:
            near = [one for one in open_ones if abs(one[-1][1] - hour) < SLIP_H]
            chain = min(near, key=lambda one: abs(one[-1][1] - hour), default=None)
            if chain is None:
                chain = []
                chains.append(chain)
            else:
                open_ones.remove(chain)
            chain.append((index, hour))
            going_on.append(chain)
        open_ones = going_on
    return [chain if len(chain) > 1 else [*chain, *chain] for chain in chains]


def _told(rows: Sequence[ChartRow], *, each: bool) -> list[tuple[int, str]]:
    """Return which rows are told at the right, and how: the date stands left of each already."""
    if each:
        return [(index, row.words) for index, row in enumerate(rows) if row.words]
    return [(index, f"{row.label} {row.words}") for index, row in enumerate(rows) if row.chief]


def _words(frame: _Frame, rows: Sequence[tuple[int, str]]) -> Iterator[str]:
    """Write the words at the right, none over another, a line to the row of each."""
    told = [(frame.y(index + 0.5), words) for index, words in rows]
    bases: list[float] = []
    for y, _words in told:
        bases.append(max(y, bases[-1] + LINE_MM) if bases else y)
    lowest_mm = frame.foot_mm
    for index in reversed(range(len(bases))):
        bases[index] = min(bases[index], lowest_mm)
        lowest_mm = bases[index] - LINE_MM
    for (y, words), base_mm in zip(told, bases, strict=True):
        start = Point(frame.right_mm, y)
        yield svg.line(start, Point(frame.right_mm + 2 * GAP_MM, base_mm))
        yield svg.text(Point(frame.right_mm + 2.5 * GAP_MM, base_mm + 1.0), words)


def _key(rows: Sequence[ChartRow], width_mm: float, say: Words) -> list[str]:
    """Return what the ink means, in as many lines as it takes."""
    parts = [say.text(_("bars, or close rules: the sun stands where it is wanted"))]
    if any(row.hidden for row in rows):
        parts.append(say.text(_("dashes: it would, but the horizon hides it")))
    if any(row.rises or row.sets for row in rows):
        parts.append(say.text(_("lines: sunrise and sunset over a level horizon")))
    parts.append(say.text(_("hours on the clock of the place")))
    lines = [parts[0]]
    for part in parts[1:]:
        longer = f"{lines[-1]}; {part}"
        if text_width_mm(longer, WORDS_MM) <= width_mm - LEFT_MM:
            lines[-1] = longer
        else:
            lines.append(part)
    return lines
