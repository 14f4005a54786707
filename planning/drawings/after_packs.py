"""What the packs of one kind of head were read at through the day, over what the plan expected."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from planning.drawings import svg
from planning.drawings.after import BASE_MM, GAP_MM, KEY_MM, WORDS_MM
from planning.drawings.drawdown import LEVELS, Draw, falls
from planning.drawings.geometry import Box, Point, box_about
from planning.drawings.labels import Drawing, Ground, Label, arrange, short, text_width_mm
from planning.drawings.words import Words
from planning.plan.words import gettext_noop as _

LEFT_MM, TOP_MM, FOOT_MM = 13.0, 4.0, 6.0
DOT_MM = 0.8
READ_MM, PLANNED_MM = 0.6, 0.3
RISE_MM = 1.5  # two readings of the same charge may be so far apart
DASH = "1.2 0.9"


@dataclass(frozen=True)
class PackLine:
    """One pack by its tag: where in the day it was read (sets laid end to end), and at what."""

    tag: str
    reads: tuple[tuple[float, float], ...]


def packs_read(
    draws: Sequence[Draw],
    packs: Sequence[PackLine],
    title: str,
    say: Words,
    *,
    width_mm: float,
    height_mm: float,
) -> Drawing:
    """Return the drawdown: dashed as planned for one head, solid between the readings of a pack."""
    right, foot = width_mm - 1.0, height_mm - KEY_MM - FOOT_MM
    room = (right - LEFT_MM) / max(1, len(draws))

    def at(along: float, charge: float) -> Point:
        return Point(LEFT_MM + along * room, foot - charge * (foot - TOP_MM))

    body = [*_frame(at, right, draws, room, say)]
    symbols, labels = [], []
    lines = [(at(0, level), Point(right, at(0, level).y)) for level in LEVELS]
    lines += [(at(number, 1), at(number, 0)) for number in range(1, len(draws))]
    charge, pack = 1.0, 1
    for number, draw in enumerate(draws):
        if draw.packs is None:
            continue
        pieces, charge, pack = falls(number, draw.packs, charge, pack)
        for kind, one, other, _nth in pieces:
            if kind == "falls":
                lines.append((at(*one), at(*other)))
                body.append(svg.line(at(*one), at(*other), PLANNED_MM, DASH))
    for one in packs:
        spots = [at(*read) for read in one.reads]
        # Where it rises it was charged: nothing was drawn from it there.
        falling = [ends for ends in pairwise(spots) if ends[1].y >= ends[0].y - RISE_MM]
        lines += falling
        body += [svg.line(*ends, READ_MM) for ends in falling]
        body += [svg.circle(spot, DOT_MM, fill="black") for spot in spots]
        symbols += [box_about(spot, 2 * DOT_MM, 2 * DOT_MM) for spot in spots]
        if spots:
            labels.append(Label((short(one.tag, 14),), spots[-1], clear_mm=DOT_MM))
    frame = Box(LEFT_MM + 0.5, 0.2, right - LEFT_MM - 0.5, foot - 0.4)
    placed, rest = arrange(labels, Ground(frame, tuple(symbols), tuple(lines), WORDS_MM))
    for spot in placed:
        if spot.leader:
            body.append(svg.line(*spot.leader))
        base = Point(spot.box.left + 0.4, spot.box.bottom - 0.9)
        body.append(svg.text(base, spot.label.lines[0], size_mm=WORDS_MM))
    body += _key(height_mm, say)
    return Drawing(svg.document(width_mm, height_mm, title, body), tuple(placed), tuple(rest))


def _frame(at, right: float, draws: Sequence[Draw], room: float, say: Words) -> Iterator[str]:
    for level in LEVELS:
        start = at(0, level)
        yield svg.line(start, Point(right, start.y), svg.THIN_MM if level == 0 else svg.HAIR_MM)
        words = f"{say.number(level * 100)} %"
        left = start.x - GAP_MM - text_width_mm(words, WORDS_MM)
        yield svg.text(Point(left, start.y + BASE_MM), words, size_mm=WORDS_MM)
    for number, draw in enumerate(draws):
        edge = at(number + 1, 0)
        yield svg.line(Point(edge.x, at(0, 1).y), edge, svg.HAIR_MM, "0.5 1.2")
        name, limit = draw.set_name, len(draw.set_name)
        while limit > 2 and text_width_mm(short(name, limit), WORDS_MM) > room - 1.0:
            limit -= 1
        start = at(number, 0)
        yield svg.text(Point(start.x + 0.5, start.y + 4.2), short(name, limit), size_mm=WORDS_MM)


def _key(height_mm: float, say: Words) -> Iterator[str]:
    x, middle = LEFT_MM, height_mm - KEY_MM / 2
    for width, dash, words in (
        (PLANNED_MM, DASH, say.text(_("as planned, low end"))),
        (READ_MM, "", say.text(_("read"))),
    ):
        yield svg.line(Point(x, middle), Point(x + 8.0, middle), width, dash)
        yield svg.text(Point(x + 9.5, middle + BASE_MM), words, size_mm=WORDS_MM)
        x += 9.5 + text_width_mm(words, WORDS_MM) + 5.0
