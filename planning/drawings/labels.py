"""Words beside what they name: the first free place from a fixed list, never over another.

A label is placed once, in the order given, so the same drawing comes out the same.
"""

import math
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planning.drawings.geometry import Box, Point, crosses

LINE_SHARE = 1.16  # line height against type size
GAP_MM = 0.7
REACHES_MM = (0.8, 2.5, 5.0, 8.0, 11.0, 15.0, 19.0, 24.0, 30.0)
MOST_TRIES = 4
HIDDEN_MM = 40.0  # what another label is to name lies under this one: no line leads to it then
STRUCK_MM = 6.0  # a line under a label is as bad as standing so much farther off
TURNS_DEG = (0, 180, 45, 135, -45, -135, 90, -90, 22, 158, -22, -158, 67, 113, -67, -113)

# Widths in thousandths of the type size, rounded up from the semibold of Source Sans 3.
_WIDTHS = (
    (300, "ijlI'.,:;|\N{NO-BREAK SPACE} \N{MIDDLE DOT}"),
    (380, "frt()[]{}-/\\°!"),
    (500, 'csxyz?*Jv_"'),
    (530, "0123456789aegkFLY+=<>#$~\N{MINUS SIGN}"),
    (600, "bdhnopquASTZEVX"),
    (620, "BCKPR"),
    (700, "DGHNOQU&"),
    (900, "MWmw%@"),
)
_WIDTH_OF = {letter: width for width, letters in _WIDTHS for letter in letters}
_WIDEST = 1000


def text_width_mm(words: str, size_mm: float) -> float:
    """Return a width the words will not exceed, semibold or lighter."""
    total = 0
    for letter in words:
        # An accent hardly ever widens its letter; what is not Latin may be as wide as high.
        base = unicodedata.normalize("NFD", letter)[0]
        total += _WIDTH_OF.get(base, _WIDEST)
    return total * size_mm / 1000


def short(words: str, limit: int = 24) -> str:
    """Return a name on one line, with an ellipsis where it is cut to ``limit`` letters."""
    line = " ".join(words.split())
    return line if len(line) <= limit else line[: limit - 1].rstrip() + "…"


@dataclass(frozen=True)
class Label:
    lines: tuple[str, ...]
    at: Point  # what it names
    clear_mm: float = 1.0  # half the size of the thing it names
    bold_first: bool = False


@dataclass(frozen=True)
class Placed:
    label: Label
    box: Box
    leader: tuple[Point, Point] | None


@dataclass(frozen=True)
class Drawing:
    svg: str
    labels: tuple[Placed, ...]
    left_over: tuple[Label, ...]  # words the frame had no room for; the page prints them below


@dataclass(frozen=True)
class Ground:
    """What a label must keep clear of: symbols wholly, lines where it can."""

    frame: Box
    symbols: tuple[Box, ...]
    lines: tuple[tuple[Point, Point], ...]
    size_mm: float


def arrange(labels: Sequence[Label], ground: Ground) -> tuple[list[Placed], list[Label]]:
    """Return the labels placed without overlap, and those the frame had no room for.

    What was left over has its turn first in another try; the try counts that leaves over the least,
    and the last named sooner than the first.
    """
    order, tries = list(labels), []
    for _ in range(MOST_TRIES):
        placed, left_over = _in_order(order, ground)
        tries.append((placed, left_over))
        if not left_over:
            break
        order = [*left_over, *(label for label in order if label not in left_over)]
    rank = {label: len(labels) - number for number, label in enumerate(labels)}
    placed, left_over = min(tries, key=lambda one: sum(rank[label] for label in one[1]))
    return sorted(placed, key=lambda spot: -rank[spot.label]), left_over


def _in_order(labels: list[Label], ground: Ground) -> tuple[list[Placed], list[Label]]:
    placed: list[Placed] = []
    left_over: list[Label] = []
    for number, label in enumerate(labels):
        later = [other.at for other in labels[number + 1 :] if other.at != label.at]
        spot = _best_spot(label, ground, placed, later) or _any_spot(label, ground, placed, later)
        if spot is None:
            left_over.append(label)
        else:
            placed.append(spot)
    return placed, left_over


def label_box(label: Label, size_mm: float) -> Box:
    width = max(text_width_mm(line, size_mm) for line in label.lines)
    return Box(0, 0, width + 0.8, len(label.lines) * size_mm * LINE_SHARE + 0.4)


def _best_spot(
    label: Label, ground: Ground, placed: list[Placed], later: list[Point]
) -> Placed | None:
    best, best_cost = None, math.inf
    for rank, (box, reach) in enumerate(_candidates(label, ground.size_mm)):
        if reach >= best_cost:
            break
        leader = _leader(label, box) if reach > REACHES_MM[1] else None
        if not _is_free(box, ground, placed) or not _leads(leader, label, ground, placed):
            continue
        struck = sum(crosses(start, end, box) for start, end in ground.lines)
        hidden = sum(box.holds_point(point) for point in later)
        cost = struck * STRUCK_MM + hidden * HIDDEN_MM + reach * 1.0 + rank * 0.001
        if cost < best_cost:
            best, best_cost = Placed(label, box, leader), cost
    return best


def _candidates(label: Label, size_mm: float) -> Iterator[tuple[Box, float]]:
    size = label_box(label, size_mm)
    for reach in REACHES_MM:
        for turn_deg in TURNS_DEG:
            turn = math.radians(turn_deg)
            along = Point(math.cos(turn), -math.sin(turn))
            # The edge of the box, not its centre, stands ``reach`` away from the symbol.
            half = abs(along.x) * size.width / 2 + abs(along.y) * size.height / 2
            centre = label.at.plus(along.times(label.clear_mm + reach + half))
            corner = Point(centre.x - size.width / 2, centre.y - size.height / 2)
            yield Box(corner.x, corner.y, size.width, size.height), reach


def _any_spot(
    label: Label, ground: Ground, placed: list[Placed], later: list[Point]
) -> Placed | None:
    """Return the label in the nearest free place of the frame that a line can lead to it from."""
    size = label_box(label, ground.size_mm)
    frame, step_mm = ground.frame, 1.5
    boxes = [
        Box(frame.left + column * step_mm, frame.top + row * step_mm, size.width, size.height)
        for row in range(int((frame.height - size.height) / step_mm) + 1)
        for column in range(int((frame.width - size.width) / step_mm) + 1)
    ]
    boxes = [box for box in boxes if _is_free(box, ground, placed)]
    boxes.sort(key=lambda box: round(math.dist((box.left, box.top), (label.at.x, label.at.y)), 3))
    hiding = {box for box in boxes if any(box.holds_point(point) for point in later)}
    free = [box for box in boxes if box not in hiding]
    for crossing_symbols, where in ((False, free), (True, free), (True, boxes)):
        for box in where:
            leader = _leader(label, box)
            if _leads(leader, label, ground, placed, crossing_symbols=crossing_symbols):
                return Placed(label, box, leader)
    return None


def _is_free(box: Box, ground: Ground, placed: list[Placed]) -> bool:
    around = box.grown(GAP_MM)
    return (
        ground.frame.holds(box)
        and not any(around.overlaps(other.box) for other in placed)
        and not any(around.overlaps(symbol) for symbol in ground.symbols)
        and not any(other.leader and crosses(*other.leader, box) for other in placed)
    )


def _leads(
    leader: tuple[Point, Point] | None,
    label: Label,
    ground: Ground,
    placed: list[Placed],
    *,
    crossing_symbols: bool = False,
) -> bool:
    """Whether a leader crosses no other label, and no symbol unless it may."""
    if leader is None:
        return True
    if any(crosses(*leader, other.box) for other in placed):
        return False
    others = () if crossing_symbols else ground.symbols
    return not any(
        crosses(*leader, symbol) for symbol in others if not symbol.holds_point(label.at)
    )


def _leader(label: Label, box: Box) -> tuple[Point, Point] | None:
    end = box.nearest_to(label.at)
    span = end.minus(label.at)
    if span.length() <= label.clear_mm + GAP_MM:
        return None
    return label.at.plus(span.unit().times(label.clear_mm)), end
