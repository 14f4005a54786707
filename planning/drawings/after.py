"""A day as planned beside as it was, drawn: pairs of bars, and gusts beside what they were to be.

Outline is planned, solid is as it was; every bar carries its figure in words.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from planning.drawings import svg
from planning.drawings.geometry import Box, Point, box_about, crosses
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
MOST_LANES = 12
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


def pair_bars(rows: Sequence[BarRow], title: str, say: Words, *, width_mm: float) -> str:
    """Return the rows as SVG, the planned bar over the actual one, all on one scale from zero."""
    widest = max((text_width_mm(row.name, WORDS_MM) for row in rows), default=0.0)
    left = min(widest, NAMES_SHARE * width_mm) + GAP_MM
    figures = [words for row in rows for words in (row.planned_words, row.actual_words)]
    right = width_mm - max((text_width_mm(words, WORDS_MM) for words in figures), default=0.0)
    room = max(10.0, right - GAP_MM - left)
    most = max([1e-9, *(value for row in rows for value in _known(row))])
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
    for fill, words in (("white", say.text(_("planned"))), ("black", say.text(_("as it was")))):
        yield svg.rect(Point(x, middle - BAR_MM / 2), 5.0, BAR_MM, fill=fill, stroke_mm=svg.THIN_MM)
        yield svg.text(Point(x + 6.0, middle + BASE_MM), words, size_mm=WORDS_MM)
        x += 6.0 + text_width_mm(words, WORDS_MM) + 4.0


@dataclass
class _Strip:
    """One set's scale of gusts while it is filled: where words stand, lane by lane off the axis."""

    left_mm: float
    width_mm: float
    mm_a_m_s: float
    body: list[str] = field(default_factory=list)
    placed: list[Placed] = field(default_factory=list)

    def x(self, value_m_s: float) -> float:
        return self.left_mm + value_m_s * self.mm_a_m_s

    def write(self, mark: Mark, dash: str = "") -> bool:
        """Lead a line from the axis, at 0, to the mark's words; False where no lane has room."""
        wide = text_width_mm(mark.words, WORDS_MM) + 0.8
        x = self.x(mark.value_m_s)
        left = min(max(x - wide / 2, self.left_mm), self.width_mm - wide)
        for lane in range(MOST_LANES):
            depth, side = lane // 2 + 1, -1 if lane % 2 == 0 else 1
            middle = side * (TICK_MM + (depth - 0.5) * LANE_MM)
            box = box_about(Point(left + wide / 2, middle), wide, LANE_MM - 0.4)
            leader = Point(x, -side * OVER_MM), Point(x, middle - side * (LANE_MM - 0.4) / 2)
            if left >= 0 and not self._is_taken(box, leader):
                label = Label((mark.words,), Point(x, 0))
                self.placed.append(Placed(label, box, leader))
                self.body.append(svg.line(*leader, svg.THIN_MM, dash))
                base = Point(box.left + 0.4, middle + BASE_MM)
                self.body.append(svg.text(base, mark.words, size_mm=WORDS_MM))
                return True
        return False

    def _is_taken(self, box: Box, leader: tuple[Point, Point]) -> bool:
        return any(
            box.grown(0.3).overlaps(one.box)
            or crosses(*leader, one.box.grown(0.3))
            or crosses(*one.leader, box.grown(0.3))
            for one in self.placed
        )


def gust_strips(rows: Sequence[GustRow], title: str, say: Words, *, width_mm: float) -> Drawing:
    """Return a strip for each set: dots where gusts were met, ticks at forecast and limits.

    The forecast's tick is dotted, a limit's is whole. What found no room is handed back.
    """
    values = [mark.value_m_s for row in rows for mark in (row.forecast, *row.limits) if mark]
    values += [gust for row in rows for gust in row.met]
    top = ROUND_M_S * (int(max([ROUND_M_S, *values]) / ROUND_M_S) + 1)
    left = max((text_width_mm(row.name, WORDS_MM) for row in rows), default=0.0) + GAP_MM
    body: list[str] = []
    placed: list[Placed] = []
    left_over: list[Label] = []
    foot = 0.0
    for row in rows:
        strip = _Strip(left, width_mm, (width_mm - left - 2.0) / top)
        left_over += _fill(strip, row, top)
        boxes = [one.box for one in strip.placed]
        axis = foot - min([-TICK_MM - 1.0, *(box.top for box in boxes)]) + 0.6
        body.append(svg.element("g", "".join(strip.body), transform=f"translate(0 {axis:.2f})"))
        placed += [_moved(one, axis) for one in strip.placed]
        foot = axis + max([TICK_MM + 1.0, *(box.bottom for box in boxes)]) + 2.4
    body += _gust_key(foot, say)
    drawn = svg.document(width_mm, foot + KEY_MM, title, body)
    return Drawing(drawn, tuple(placed), tuple(left_over))


def _fill(strip: _Strip, row: GustRow, top_m_s: float) -> list[Label]:
    """Draw one strip about its axis at 0; return the labels that found no room."""
    ends = Point(strip.left_mm, 0), Point(strip.x(top_m_s), 0)
    strip.body.append(svg.line(*ends, svg.THIN_MM))
    strip.body.append(svg.text(Point(0, BASE_MM), row.name, size_mm=WORDS_MM, bold=True))
    marks = [(one, "") for one in (*row.limits, row.strongest) if one]
    marks += [(row.forecast, DOTTED)] if row.forecast else []
    if row.words:
        marks.append((Mark(0.0, row.words), ""))
    marks.sort(key=lambda one: (one[0].value_m_s, one[0].words))
    lost = [one for one, dash in marks if not strip.write(one, dash)]
    strip.body += [svg.circle(Point(strip.x(gust), 0), DOT_MM, fill="black") for gust in row.met]
    return [Label((one.words,), Point(strip.x(one.value_m_s), 0)) for one in lost]


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
