"""A day as planned beside as it was, drawn: pairs of bars, and gusts beside what they were to be.

Outline is planned, solid is as it was; every bar carries its figure in words.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from planning.drawings import svg
from planning.drawings.geometry import Box, Point, crosses
from planning.drawings.labels import Drawing, Label, Placed, short, text_width_mm
from planning.drawings.words import Words
from planning.plan.words import gettext_noop as _

WORDS_MM = 3.2  # 9 points
BAR_MM, PAIR_MM, ROW_MM = 2.6, 3.9, 9.6  # a bar, the two of a pair apart, one row after another
TOP_MM, KEY_MM, GAP_MM = 1.0, 6.5, 1.6
NAMES_SHARE = 0.34  # of the width, at the most
BASE_MM = 1.1  # from the middle of a line of words to their base line
DOT_MM, TICK_MM, LANE_MM = 0.9, 1.6, 4.2
OVER_MM = 1.0  # of a tick beyond the axis
POLE_MM = 0.5  # from a pole to its words
DOTTED = "0.5 0.5"
ROUND_M_S = 2.5  # the scale of the gusts ends at a multiple of it


@dataclass(frozen=True)
class BarRow:
    """One pair: its length as planned and as it was, each with its figure in words."""

    name: str
    planned: float | None
    actual: float | None
    planned_words: str
    actual_words: str


@dataclass(frozen=True)
class Mark:
    """A speed on the scale of a strip, with the words that name it."""

    value_m_s: float
    words: str


@dataclass(frozen=True)
class GustRow:
    """The gusts of one set: what was forecast, what was met, and what each limit asks for."""

    name: str
    forecast: Mark | None
    met: tuple[float, ...]
    strongest: Mark | None
    limits: tuple[Mark, ...]
    words: str = ""  # where nothing was met


def longest(rows: Sequence[BarRow]) -> float:
    """Return the longest figure there is, for drawings that share a scale."""
    return max((value for row in rows for value in _known(row)), default=0.0)


def pair_bars(
    rows: Sequence[BarRow], title: str, say: Words, *, width_mm: float, most: float = 0.0
) -> str:
    """Return the rows as SVG, the planned bar over the actual one, all on one scale from zero.

    The scale reaches to the longest figure, or to ``most`` where that is more.
    """
    widest = max((text_width_mm(row.name, WORDS_MM) for row in rows), default=0.0)
    left = min(widest, NAMES_SHARE * width_mm) + GAP_MM
    figures = [words for row in rows for words in (row.planned_words, row.actual_words)]
    right = width_mm - max((text_width_mm(words, WORDS_MM) for words in figures), default=0.0)
    room = max(10.0, right - GAP_MM - left)
    most = max(1e-9, most, longest(rows))
    body = []
    for number, row in enumerate(rows):
        top = TOP_MM + number * ROW_MM
        body.append(
            svg.text(Point(0, top + PAIR_MM + BASE_MM), _fitted(row.name, left), size_mm=WORDS_MM)
        )
        pairs = ((row.planned, row.planned_words, "white"), (row.actual, row.actual_words, "black"))
        for place, (value, words, fill) in enumerate(pairs):
            middle = top + (place + 0.5) * PAIR_MM
            body += _bar(left, middle, value, words, fill, room / most)
    foot = TOP_MM + len(rows) * ROW_MM
    body.append(svg.line(Point(left, TOP_MM), Point(left, foot - 1.5), svg.THIN_MM))
    body += _pair_key(foot, left, say)
    return svg.document(width_mm, foot + KEY_MM, title, body)


def _known(row: BarRow) -> list[float]:
    return [value for value in (row.planned, row.actual) if value is not None]


def _fitted(name: str, width_mm: float) -> str:
    """Return the name, cut to its column."""
    limit = len(" ".join(name.split()))
    while limit > 2 and text_width_mm(short(name, limit), WORDS_MM) > width_mm - GAP_MM:
        limit -= 1
    return short(name, max(limit, 1))


def _bar(
    left: float, middle: float, value: float | None, words: str, fill: str, mm_a_unit: float
) -> Iterator[str]:
    long_mm = 0.0 if value is None else max(0.0, value) * mm_a_unit
    if long_mm > 0.01:
        corner = Point(left, middle - BAR_MM / 2)
        yield svg.rect(corner, long_mm, BAR_MM, fill=fill, stroke_mm=svg.THIN_MM)
    yield svg.text(Point(left + long_mm + GAP_MM, middle + BASE_MM), words, size_mm=WORDS_MM)


def _pair_key(foot: float, left: float, say: Words) -> Iterator[str]:
    x, middle = left, foot + KEY_MM / 2
    for fill, words in (("white", say.text(_("as planned"))), ("black", say.text(_("as it was")))):
        yield svg.rect(Point(x, middle - BAR_MM / 2), 5.0, BAR_MM, fill=fill, stroke_mm=svg.THIN_MM)
        yield svg.text(Point(x + 6.0, middle + BASE_MM), words, size_mm=WORDS_MM)
        x += 6.0 + text_width_mm(words, WORDS_MM) + 4.0


@dataclass(frozen=True)
class _Scale:
    """Where a speed stands on a strip, and how far words may reach."""

    left_mm: float
    width_mm: float
    mm_a_m_s: float

    def x(self, value_m_s: float) -> float:
        return self.left_mm + value_m_s * self.mm_a_m_s

    def flag(self, mark: Mark, lane: int, *, rightward: bool) -> Placed:
        """Return the words of a mark beside a pole on the axis, at 0; even lanes above it."""
        wide = text_width_mm(mark.words, WORDS_MM) + 0.4
        x, side = self.x(mark.value_m_s), -1 if lane % 2 == 0 else 1
        middle = side * (TICK_MM + (lane // 2 + 0.5) * LANE_MM)
        left = x + POLE_MM if rightward else x - POLE_MM - wide
        box = Box(left, middle - LANE_MM / 2 + 0.2, wide, LANE_MM - 0.4)
        pole = Point(x, -side * OVER_MM), Point(x, middle + side * LANE_MM / 4)
        return Placed(Label((mark.words,), Point(x, 0)), box, pole)


def _is_clear(one: Placed, others: Sequence[Placed]) -> bool:
    return not any(
        one.box.grown(0.2).overlaps(other.box)
        or crosses(*one.leader, other.box)
        or crosses(*other.leader, one.box)
        for other in others
    )


def _places(scale: _Scale, marks: Sequence[Mark]) -> tuple[list[Placed], list[Mark]]:
    """Return each mark in the lane nearest the axis that is free, and those without room.

    The words fly to the right of their poles, the last pole first: no pole yet to come runs
    through them. Those too near the right edge fly to the left, below, the first pole first.
    """
    placed: list[Placed] = []
    lost: list[Mark] = []
    rightward, leftward = [], []
    for mark in marks:
        far = scale.flag(mark, 0, rightward=True).box.right <= scale.width_mm
        (rightward if far else leftward).append(mark)
    for mark in leftward:
        if scale.flag(mark, 1, rightward=False).box.left < scale.left_mm:
            lost.append(mark)
            continue
        placed.append(_first_clear(scale, mark, placed, range(1, 99, 2), rightward=False))
    for mark in reversed(rightward):
        placed.append(_first_clear(scale, mark, placed, range(99), rightward=True))
    return placed, lost


def _first_clear(
    scale: _Scale, mark: Mark, placed: Sequence[Placed], lanes: Iterable[int], *, rightward: bool
) -> Placed:
    spots = (scale.flag(mark, lane, rightward=rightward) for lane in lanes)
    return next(spot for spot in spots if _is_clear(spot, placed))


def gust_strips(rows: Sequence[GustRow], title: str, say: Words, *, width_mm: float) -> Drawing:
    """Return a strip for each set: dots where gusts were met, ticks at forecast and limits.

    The forecast's tick is dotted, a limit's is whole. What found no room is handed back.
    """
    values = [mark.value_m_s for row in rows for mark in (row.forecast, *row.limits) if mark]
    values += [gust for row in rows for gust in row.met]
    top = ROUND_M_S * (int(max([ROUND_M_S, *values]) / ROUND_M_S) + 1)
    left = max((text_width_mm(row.name, WORDS_MM) for row in rows), default=0.0) + GAP_MM
    scale = _Scale(left, width_mm, (width_mm - left - 2.0) / top)
    body: list[str] = []
    placed: list[Placed] = []
    left_over: list[Label] = []
    foot = 0.0
    for row in rows:
        spots, lost = _places(scale, _marks(row))
        boxes = [one.box for one in spots]
        axis = foot - min([-TICK_MM - 1.0, *(box.top for box in boxes)]) + 0.6
        spots = [_moved(one, axis) for one in spots]
        body += _strip(row, scale, axis, top, spots)
        placed += spots
        left_over += [Label((one.words,), Point(scale.x(one.value_m_s), axis)) for one in lost]
        foot = axis + max([TICK_MM + 1.0, *(box.bottom for box in boxes)]) + 2.4
    body += _gust_key(foot, say)
    drawn = svg.document(width_mm, foot + KEY_MM, title, body)
    return Drawing(drawn, tuple(placed), tuple(left_over))


def _marks(row: GustRow) -> list[Mark]:
    marks = [one for one in (row.forecast, row.strongest, *row.limits) if one]
    if row.words:
        marks.append(Mark(0.0, row.words))
    return sorted(marks, key=lambda one: (one.value_m_s, one.words))


def _strip(
    row: GustRow, scale: _Scale, axis: float, top_m_s: float, spots: Sequence[Placed]
) -> Iterator[str]:
    yield svg.line(Point(scale.left_mm, axis), Point(scale.x(top_m_s), axis), svg.THIN_MM)
    yield svg.text(Point(0, axis + BASE_MM), row.name, size_mm=WORDS_MM, bold=True)
    for spot in spots:
        words = spot.label.lines[0]
        forecast = row.forecast is not None and words == row.forecast.words
        yield svg.line(*spot.leader, svg.THIN_MM, DOTTED if forecast else "")
        base = Point(spot.box.left, spot.box.centre.y + BASE_MM)
        yield svg.text(base, words, size_mm=WORDS_MM)
    for gust in row.met:
        yield svg.circle(Point(scale.x(gust), axis), DOT_MM, fill="black")


def _moved(one: Placed, down_mm: float) -> Placed:
    box = Box(one.box.left, one.box.top + down_mm, one.box.width, one.box.height)
    leader = tuple(Point(end.x, end.y + down_mm) for end in one.leader)
    return Placed(one.label, box, leader)


def _gust_key(foot: float, say: Words) -> Iterator[str]:
    middle, x = foot + KEY_MM / 2, 1.0
    signs = (
        (svg.circle(Point(x, middle), DOT_MM, fill="black"), say.text(_("gust met"))),
        (DOTTED, say.text(_("forecast"))),
        ("", say.text(_("limit"))),
    )
    for sign, words in signs:
        if sign.startswith("<"):
            yield sign
        else:
            ends = Point(x, middle - TICK_MM), Point(x, middle + TICK_MM)
            yield svg.line(*ends, svg.THIN_MM, sign)
        yield svg.text(Point(x + 2.0, middle + BASE_MM), words, size_mm=WORDS_MM)
        x += 2.0 + text_width_mm(words, WORDS_MM) + 5.0
