"""Template and context -> PDF bytes, by way of the printing process (``worker``).

Django makes the HTML; how much of it fits is read off the pages the printing process lays out.
The same context gives the same bytes.
"""

import json
import re
from collections.abc import Callable, Sequence
from dataclasses import astuple, dataclass, replace

from django.template.loader import render_to_string

from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan
from planning.sheets import pages, store, worker
from planning.sheets.front import Room
from planning.sheets.letters import missing_on, printable
from planning.sheets.options import CLIP_MM, PrintOptions
from planning.sheets.wire import LAST_LINE
from planning.sheets.worker import Side

SPARE_MM = 0.8
# Where the last part of a file begins, which holds its identifier (ISO 32000-1, 7.5.5 and 7.5.8).
LAST_PART = re.compile(rb"startxref\n(\d+)\n%%EOF\n$")
LAST_LINES_BYTES = 64
IDENTIFIER = re.compile(rb"/ID ?\[\(([0-9a-f]{64})\)")
ENDLESS_MM = 2000  # a page no front fills: what it takes is measured in one piece
FRONT = "sheets/set_front.html"
ROOMS = ("", "close", "closer")  # classes of paper.css, the roomiest first
LEFT_OVER_MM = 8.0  # what the plan view could not name takes a line or two below it
Pages = list[dict[str, float]]  # of each page, how far below its top edge the anchors stand, mm


@dataclass(frozen=True)
class LaidOut:
    """A sheet whose sides fit: what is printed, and on how many pages."""

    sides: tuple[Side, ...]
    page_count: int

    def to_bytes(self) -> bytes:
        return json.dumps(astuple(self)).encode()

    @classmethod
    def from_bytes(cls, content: bytes) -> "LaidOut":
        sides, page_count = json.loads(content)
        return cls(tuple(Side(*side) for side in sides), page_count)


def lay_out(plan: SetPlan, inputs: SetInputs, options: PrintOptions) -> LaidOut:
    """Return one set sheet: front, back, and continued pages where it must be.

    Front and back are each as roomy as their side allows. Raises SheetFailed when the
    renderer warns of anything: a sheet with a fault unseen is worse than none.
    """
    with pages.in_language(options):
        front, front_pages, room = _front(plan, inputs, options)
        back, back_pages = _back(plan, inputs, options, room)
    return LaidOut((front, back), len(front_pages) + len(back_pages))


def set_sheet_pdf(plan: SetPlan, inputs: SetInputs, options: PrintOptions) -> bytes:
    """Return the PDF of one set sheet. Raises SheetFailed as ``lay_out`` does."""
    return write([lay_out(plan, inputs, options)], options)


def letter_pdf(template: str, context: dict, options: PrintOptions) -> bytes:
    """Return the PDF of a letter of the house: a template of plain words and tables.

    Raises SheetFailed as ``lay_out`` does.
    """
    with pages.in_language(options):
        styles = render_to_string("sheets/letter.css", {"options": options})
        letter = side(template, {"options": options, **context}, styles)
    return printed([letter], _duplex(options))


def _front(plan: SetPlan, inputs: SetInputs, options: PrintOptions) -> tuple[Side, Pages, Room]:
    """The front twice: once to measure what is left of its side, once with that given away.

    Texts that no room holds on one side run on to a second: a long front is better than none.
    """
    styles = _styles(options, is_back=False)
    endless = f"{styles}\n@page {{ size: {options.paper_width_mm}mm {ENDLESS_MM}mm; }}"
    try_out = _trial()

    def used_mm(room: Room) -> float:
        context = pages.front_page(plan, inputs, options, room, drawn=False)
        return _used_mm(try_out(side(FRONT, context, endless)), "front-end", options)

    measured, used = pages.ROOMS[0], used_mm(pages.ROOMS[0])
    for room in pages.ROOMS:
        if replace(room, plan_view_mm=measured.plan_view_mm) != measured:
            measured, used = room, used_mm(room)
        free_mm = options.text_height_mm - used + measured.plan_view_mm - room.plan_view_mm
        if free_mm < 0 and room != pages.ROOMS[-1]:
            continue
        for spare_mm in (SPARE_MM, LEFT_OVER_MM):
            wider = pages.roomier(room, max(0.0, free_mm - spare_mm))
            front = side(FRONT, pages.front_page(plan, inputs, options, wider), styles)
            on_pages = try_out(front)
            if len(on_pages) == 1:
                return front, on_pages, wider
    return front, on_pages, wider


def _trial() -> Callable[[Side], Pages]:
    """Return what measures one side after the other; only the last one is kept laid out."""
    tried: list[Side] = []

    def try_out(side: Side) -> Pages:
        measured = worker.measured(side, *tried)
        tried[:] = [side]
        return measured

    return try_out


def _used_mm(measured: Pages, end: str, options: PrintOptions) -> float:
    """Return how far the text runs to the anchor ``end``, without what its pages leave free."""
    number, anchors = next((n, anchors) for n, anchors in enumerate(measured) if end in anchors)
    before_mm = sum(page[LAST_LINE] - CLIP_MM for page in measured[:number])
    return before_mm + anchors[end] - CLIP_MM


def _back(
    plan: SetPlan, inputs: SetInputs, options: PrintOptions, room: Room
) -> tuple[Side, Pages]:
    """The back on one side where it can be; else it runs on to continued pages, set larger."""
    try_out = _trial()

    def laid_out(back_room: pages.BackRoom) -> tuple[Side, Pages]:
        context = pages.back_page(plan, inputs, options, room, back_room)
        back = side("sheets/set_back.html", context, _styles(options, is_back=True))
        return back, try_out(back)

    back_room = pages.ROOMY_BACK
    while back_room:
        back, measured = laid_out(back_room)
        if "back-end" in measured[0]:
            return back, measured
        used_mm = _used_mm(measured, "back-end", options)
        smaller = pages.smaller_backs(used_mm, options.text_height_mm, back_room)
        back_room = next(smaller, None)
    return laid_out(pages.OVERFLOWING_BACK)


def _styles(options: PrintOptions, *, is_back: bool) -> str:
    return render_to_string("sheets/sheet.css", pages.style(options, is_back=is_back))


def side(template: str, context: dict, styles: str) -> Side:
    """Return a template with its context, ready for print.

    What its fonts lack is replaced. Where its ``context`` counts no ``missing_signs`` itself, they
    are counted as they come out, for ``_missing_signs.html`` to own up to.
    """
    html = render_to_string(template, context)
    if "missing_signs" not in context and (missing := missing_on(html)):
        html = render_to_string(template, {**context, "missing_signs": missing})
    return Side(printable(html), styles)


def _duplex(options: PrintOptions) -> str:
    return "/DuplexFlipShortEdge" if options.flip == "short" else "/DuplexFlipLongEdge"


def write(sheets: Sequence[LaidOut], options: PrintOptions, *, mark: str = "") -> bytes:
    """Return the laid-out sheets as one file, each on a leaf of its own.

    ``mark`` says what the sheets were made of, where that is known.
    """
    sides: list[Side] = []
    count = 0
    for sheet in sheets:
        if count % 2:
            with pages.in_language(options):
                styles = _styles(options, is_back=False)
                sides.append(side("sheets/free_side.html", {"options": options}, styles))
            count += 1
        sides += sheet.sides
        count += sheet.page_count
    return printed(sides, _duplex(options), mark)


def printed(sides: Sequence[Side], duplex: str, mark: str = "") -> bytes:
    """Return the stored file of this mark, or print it; it carries the mark as its identifier."""
    mark = mark or store.mark("paper", (duplex, *sides))
    return store.kept(mark, lambda: worker.printed(sides, duplex, mark))


def mark_in(content: bytes) -> str:
    """Return the mark a printed file carries; of half a file and of another's it is empty."""
    last = LAST_PART.search(content[-LAST_LINES_BYTES:])
    found = last and IDENTIFIER.search(content, int(last[1]))
    return found[1].decode() if found else ""


def one_sided_pdf(template: str, style: str, context: dict, options: PrintOptions) -> bytes:
    """Return the PDF of a template and its style sheet's, printed on one side at its true size.

    Words are made while this runs, in the house's language. Raises SheetFailed as ``lay_out``.
    """
    with pages.in_language(options):
        context = {"options": options, **context}
        paper = side(template, context, render_to_string(style, context))
    return printed([paper], "/Simplex")


def leaves_pdf(
    template: str, leaves: Sequence[dict], options: PrintOptions, *, sides: int = 1
) -> bytes:
    """Return the PDF of a paper of several leaves, each as roomy as its ``sides`` allow.

    The template finds in each leaf its ``room``, the class it is set in. Raises SheetFailed as
    ``lay_out``.
    """
    with pages.in_language(options):
        styles = render_to_string("sheets/paper.css", {"options": options})

        def set_in(leaf: dict, room: str) -> Side:
            return side(template, {"options": options, "leaves": [{**leaf, "room": room}]}, styles)

        made = [
            fewest_pages(lambda room, leaf=leaf: set_in(leaf, room), enough=sides)
            for leaf in leaves
        ]
    return printed(made, _duplex(options) if sides > 1 else "/Simplex")


def fewest_pages(make: Callable[[str], Side], *, enough: int = 1) -> Side:
    """Return the roomiest side that ``make`` makes of a room in ``enough`` pages.

    Where none has so few it is the roomiest of those with the fewest: what runs on anyway is not
    set smaller for it.
    """
    found: list[tuple[int, Side]] = []
    for room in ROOMS:
        side = make(room)
        found.append((_page_count(side), side))
        if found[-1][0] <= enough:
            break
    return min(found, key=lambda one: one[0])[1]


def _page_count(side: Side) -> int:
    mark = store.mark("pages", side)
    return int(store.kept(mark, lambda: b"%d" % len(worker.measured(side))))
