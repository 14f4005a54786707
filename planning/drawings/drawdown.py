"""What a strobe's packs hold through the day, set by set, and where a pack is changed."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from planning.drawings import svg
from planning.drawings.geometry import Point
from planning.drawings.labels import short, text_width_mm
from planning.drawings.words import Words
from planning.plan.words import gettext_noop as _

LEFT_MM, RIGHT_MM, TOP_MM, FOOT_MM = 12.0, 2.0, 4.5, 8.0
SMALL_MM = 2.85  # 8 points
LEVELS = (1.0, 0.5, 0.0)
MOST_CHANGES = 6  # drawn within one set; more are told by their number


@dataclass(frozen=True)
class Draw:
    """How much of one full pack a set takes; None where nobody knows."""

    set_name: str
    packs: float | None


def drawdown(draws: Sequence[Draw], say: Words, *, width_mm: float, height_mm: float) -> str:
    """Return one strobe's packs as a line that falls with each set and jumps at each change.

    A pack is changed when it is empty; the number of the pack stands at each beginning.
    """
    left, right = LEFT_MM, width_mm - RIGHT_MM
    top, foot = TOP_MM, height_mm - FOOT_MM
    room = (right - left) / max(1, len(draws))

    def at(along: float, charge: float) -> Point:
        return Point(left + along * room, foot - charge * (foot - top))

    body = []
    for level in LEVELS:
        ends = at(0, level), Point(right, at(0, level).y)
        body.append(svg.line(*ends, svg.THIN_MM if level == 0 else svg.HAIR_MM))
        words = f"{say.number(level * 100)} %"
        place = Point(left - 1.0 - text_width_mm(words, SMALL_MM), ends[0].y + 0.9)
        body.append(svg.text(place, words, size_mm=SMALL_MM))
    charge, pack = 1.0, 1
    body.append(_pack(at(0, 1.0), pack, say))
    for number, draw in enumerate(draws):
        edge = at(number + 1, 0)
        body.append(svg.line(Point(edge.x, top), edge, svg.HAIR_MM, "0.5 1.2"))
        body.append(_set_name(at(number, 0), draw.set_name, room))
        if draw.packs is None:
            spot = Point(at(number, 0.5).x + 1.0, at(number, 0.5).y)
            body.append(svg.text(spot, say.text(_("not known")), size_mm=SMALL_MM))
            continue
        pieces, charge, pack = falls(number, draw.packs, charge, pack)
        for kind, one, other, nth in pieces:
            body.append(svg.line(at(*one), at(*other), 0.5 if kind == "falls" else svg.HAIR_MM))
            if kind == "changes":
                body.append(_pack(at(*other), nth, say))
    title = say.text(_("Packs through the day"))
    return svg.document(width_mm, height_mm, title, body)


def falls(number: int, packs: float, charge: float, pack: int):
    """The strokes of one set: [(kind, from, to, pack)], and the charge and pack after it."""
    strokes, done, here = [], 0.0, charge
    changes = max(0, math.ceil(packs - charge - 1e-9))
    if changes > MOST_CHANGES:
        after = changes - (packs - charge)
        return [("falls", (number, charge), (number + 1, after), pack)], after, pack + changes
    rest = packs
    while rest > here + 1e-9:
        rest -= here
        then = done + (here / packs)
        strokes.append(("falls", (number + done, here), (number + then, 0.0), pack))
        pack += 1
        strokes.append(("changes", (number + then, 0.0), (number + then, 1.0), pack))
        done, here = then, 1.0
    strokes.append(("falls", (number + done, here), (number + 1, here - rest), pack))
    return strokes, here - rest, pack


def _pack(at: Point, number: int, say: Words) -> str:
    words = say.text(_("pack {number}")).format(number=say.number(number))
    return svg.text(Point(at.x + 0.6, at.y - 0.8), words, size_mm=SMALL_MM, bold=number > 1)


def _set_name(at: Point, name: str, room: float) -> str:
    limit = len(name)
    while limit > 2 and text_width_mm(short(name, limit), SMALL_MM) > room - 1.0:
        limit -= 1
    return svg.text(Point(at.x + 0.5, at.y + 3.6), short(name, limit), size_mm=SMALL_MM)
