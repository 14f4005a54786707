"""How the shutter was used to trim the background: frames at each rung of the plan's ladder."""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.drawings import svg
from planning.drawings.geometry import Point
from planning.drawings.labels import text_width_mm
from planning.drawings.words import Words
from planning.plan.words import gettext_noop as _

HEAD_MM, ROW_MM, BAR_MM = 5.2, 5.6, 3.4
MARK_MM, STOPS_MM, COUNT_MM = 14.0, 34.0, 10.0


@dataclass(frozen=True)
class Rung:
    """One shutter: its mark, what the plan says the background stands at, frames taken at it."""

    mark: str
    background_stops: float | None  # None: no rung of the plan
    frames: int
    planned: bool = False  # where the plan begins
    note: str = ""  # beside the bar, such as that it is faster than the sync


def shutters(rungs: Sequence[Rung], title: str, say: Words, *, width_mm: float = 150.0) -> str:
    """Return a bar for each rung as SVG, in the order given; empty without any frame."""
    most = max((rung.frames for rung in rungs), default=0)
    if not most:
        return ""
    left_mm = MARK_MM + STOPS_MM
    notes_mm = max(text_width_mm(rung.note, svg.TEXT_MM) for rung in rungs)
    longest_mm = width_mm - left_mm - COUNT_MM - notes_mm - 2.0
    body = [
        svg.text(Point(0, 3.2), say.text(_("shutter"))),
        svg.text(Point(MARK_MM, 3.2), say.text(_("background, planned"))),
        svg.text(Point(left_mm, 3.2), say.text(_("frames"))),
    ]
    for index, rung in enumerate(rungs):
        base_mm = HEAD_MM + index * ROW_MM + 3.9
        top_mm = base_mm - 3.0
        body.append(svg.text(Point(0, base_mm), rung.mark, bold=rung.planned))
        stops = (
            "" if rung.background_stops is None else say.number(rung.background_stops, 1, sign=True)
        )
        body.append(svg.text(Point(MARK_MM, base_mm), stops, bold=rung.planned))
        wide_mm = longest_mm * rung.frames / most
        if rung.frames:
            corner = Point(left_mm, top_mm)
            body.append(svg.rect(corner, max(0.4, wide_mm), BAR_MM, fill="black"))
        after = f"{rung.frames}" + (f"  {rung.note}" if rung.note else "")
        body.append(svg.text(Point(left_mm + wide_mm + 1.5, base_mm), after))
    foot_mm = HEAD_MM + len(rungs) * ROW_MM
    body.append(svg.line(Point(left_mm, HEAD_MM), Point(left_mm, foot_mm), svg.THIN_MM))
    return svg.document(width_mm, foot_mm + 0.6, title, body)
