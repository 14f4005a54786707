"""Template and context -> PDF bytes. The only module that knows the page renderer.

Nothing but our own fonts and style sheet can be read while a page is made: every other
address ends the rendering. The same context gives the same bytes.
"""

import logging
import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache, lru_cache

import fontpkg
import pydyf
from django.template.loader import render_to_string
from weasyprint import CSS, HTML
from weasyprint.document import Document
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan
from planning.sheets import pages
from planning.sheets.front import Room
from planning.sheets.letters import printable
from planning.sheets.options import CLIP_MM, PrintOptions

FONTS = {"app:source-sans-3": "Source Sans 3", "app:noto-sans": "Noto Sans"}
WATCHED_LOGGERS = ("weasyprint", "fontTools")
CHATTY_LOGGERS = ("weasyprint.progress",)  # one line a step, of no use to who prints
MM_A_PIXEL = 25.4 / 96  # CSS Values and Units 3, section 6.2
SPARE_MM = 0.8
LEFT_OVER_MM = 8.0  # what the plan view could not name takes a line or two below it
STYLES_KEPT = 16  # a front and a back for each paper, language and turning a house uses
# A font made static carries the time of its making unless this is set (reproducible builds).
EPOCH = "SOURCE_DATE_EPOCH"
ONE_AT_A_TIME = threading.Lock()


class SheetFailed(Exception):
    """A sheet that could not be made, with the reason in words fit to show."""


class OwnFilesOnly(URLFetcher):
    """Serves the fixed map of our fonts; any other address ends the rendering."""

    def fetch(self, url: str, headers=None) -> URLFetcherResponse:
        if url not in FONTS:
            raise FatalURLFetchingError(f"a sheet asked for {url[:200]!r}")
        return URLFetcherResponse(url, _font(url), {"Content-Type": "font/ttf"})


@cache
def _font(url: str) -> bytes:
    return fontpkg.path(FONTS[url]).read_bytes()


def lay_out(plan: SetPlan, inputs: SetInputs, options: PrintOptions) -> Document:
    """Return the pages of one set sheet: front, back, and continued pages where it must be.

    Front and back are each as roomy as their side allows. Raises SheetFailed when the
    renderer warns of anything: a sheet with a fault unseen is worse than none.
    """
    with pages.in_language(options):
        front, room = _front(plan, inputs, options)
        rest = _back(plan, inputs, options, room)
    return front.copy(front.pages + rest.pages)


def set_sheet_pdf(plan: SetPlan, inputs: SetInputs, options: PrintOptions) -> bytes:
    """Return the PDF of one set sheet. Raises SheetFailed as ``lay_out`` does."""
    return write([lay_out(plan, inputs, options)], options)


def letter_pdf(template: str, context: dict, options: PrintOptions) -> bytes:
    """Return the PDF of a letter of the house: a template of plain words and tables.

    Raises SheetFailed as ``lay_out`` does.
    """
    with pages.in_language(options):
        styles = render_to_string("sheets/letter.css", {"options": options})
        document = _laid_out(template, {"options": options, **context}, styles)
    return write([document], options)


def _front(plan: SetPlan, inputs: SetInputs, options: PrintOptions) -> tuple[Document, Room]:
    """The front twice: once to measure what is left of its side, once with that given away."""

    def laid_out(room: Room, *, drawn: bool) -> Document:
        context = pages.front_page(plan, inputs, options, room, drawn=drawn)
        return _laid_out("sheets/set_front.html", context, _styles(options, is_back=False))

    for room in pages.ROOMS:
        measured = laid_out(room, drawn=False)
        if len(measured.pages) > 1:
            continue
        free_mm = _free_mm(measured, options)
        for spare_mm in (SPARE_MM, LEFT_OVER_MM):
            wider = pages.roomier(room, max(0.0, free_mm - spare_mm))
            document = laid_out(wider, drawn=True)
            if len(document.pages) == 1:
                return document, wider
    raise SheetFailed(f"{plan.set.title}: the front does not fit {options.paper_name} paper")


def _free_mm(measured: Document, options: PrintOptions) -> float:
    return options.text_height_mm - _used_mm(measured, "front-end", options)


def _used_mm(document: Document, end: str, options: PrintOptions) -> float:
    """Return how far the text runs, down its pages laid end to end, to the anchor ``end``."""
    number, page = next((n, page) for n, page in enumerate(document.pages) if end in page.anchors)
    return number * options.text_height_mm + page.anchors[end][1] * MM_A_PIXEL - CLIP_MM


def _back(plan: SetPlan, inputs: SetInputs, options: PrintOptions, room: Room) -> Document:
    """The back on one side where it can be; else it runs on to continued pages, set larger."""

    def laid_out(back_room: pages.BackRoom) -> Document:
        context = pages.back_page(plan, inputs, options, room, back_room)
        return _laid_out("sheets/set_back.html", context, _styles(options, is_back=True))

    document = laid_out(pages.ROOMY_BACK)
    if "back-end" in document.pages[0].anchors:
        return document
    used_mm = _used_mm(document, "back-end", options)
    for back_room in pages.smaller_backs(used_mm, options.text_height_mm):
        document = laid_out(back_room)
        if "back-end" in document.pages[0].anchors:
            return document
    return laid_out(pages.OVERFLOWING_BACK)


def _styles(options: PrintOptions, *, is_back: bool) -> str:
    return render_to_string("sheets/sheet.css", pages.style(options, is_back=is_back))


def _laid_out(template: str, context: dict, styles: str) -> Document:
    html = printable(render_to_string(template, context))
    with ONE_AT_A_TIME, _no_warning():
        return HTML(string=html, base_url="app:", url_fetcher=OwnFilesOnly()).render(
            stylesheets=[_parsed(styles)], font_config=_fonts(), pdf_variant="pdf/ua-1"
        )


@cache
def _fonts() -> FontConfiguration:
    """Our fonts, read once a process."""
    return FontConfiguration()


@lru_cache(STYLES_KEPT)
def _parsed(styles: str) -> CSS:
    """A style sheet, parsed once a process: every layout of a house uses the same few."""
    return CSS(string=styles, base_url="app:", url_fetcher=OwnFilesOnly(), font_config=_fonts())


def write(documents: list[Document], options: PrintOptions) -> bytes:
    """Return the laid-out sheets as one file, each on a leaf of its own."""
    leaves = []
    for document in documents:
        if len(leaves) % 2:
            with pages.in_language(options):
                styles = _styles(options, is_back=False)
                free = _laid_out("sheets/free_side.html", {"options": options}, styles)
            leaves += free.pages
        leaves += document.pages
    first = documents[0]
    turned = "ShortEdge" if options.flip == "short" else "LongEdge"
    document = first if len(documents) == 1 else first.copy(leaves)
    return _bytes(document, f"/DuplexFlip{turned}")


def one_sided_pdf(template: str, style: str, context: dict, options: PrintOptions) -> bytes:
    """Return the PDF of a template and its style sheet's, printed on one side at its true size.

    Words are made while this runs, in the house's language. Raises SheetFailed as ``lay_out``.
    """
    with pages.in_language(options):
        context = {"options": options, **context}
        document = _laid_out(template, context, render_to_string(style, context))
    return _bytes(document, "/Simplex")


def _bytes(document: Document, duplex: str) -> bytes:
    def finish(_document: Document, pdf: pydyf.PDF) -> None:
        wishes = pdf.catalog.setdefault("ViewerPreferences", pydyf.Dictionary())
        wishes["Duplex"] = duplex
        wishes["PrintScaling"] = "/None"  # the plan view is to scale, and labels have their place

    with ONE_AT_A_TIME, _no_warning(), _fixed_time():
        return document.write_pdf(
            finisher=finish, pdf_variant="pdf/ua-1", pdf_identifier=b"one-stop-under"
        )


@contextmanager
def _no_warning() -> Iterator[None]:
    """Turn whatever the renderer warns of, or refuses to fetch, into SheetFailed."""
    heard: list[str] = []
    here = threading.get_ident()

    class Listener(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            if record.thread == here:
                heard.append(record.getMessage())

    listener = Listener(logging.WARNING)
    loggers = {name: logging.getLogger(name) for name in (*WATCHED_LOGGERS, *CHATTY_LOGGERS)}
    levels = {name: logger.level for name, logger in loggers.items()}
    for name, logger in loggers.items():
        logger.setLevel(logging.WARNING)
        if name in WATCHED_LOGGERS:
            logger.addHandler(listener)
    try:
        yield
    except FatalURLFetchingError as refusal:
        raise SheetFailed(str(refusal)) from None
    finally:
        for name, logger in loggers.items():
            logger.removeHandler(listener)
            logger.setLevel(levels[name])
    if heard:
        raise SheetFailed("; ".join(heard))


@contextmanager
def _fixed_time() -> Iterator[None]:
    before = os.environ.get(EPOCH)
    os.environ[EPOCH] = "0"
    try:
        yield
    finally:
        if before is None:
            del os.environ[EPOCH]
        else:
            os.environ[EPOCH] = before
