"""Template and context -> PDF bytes. The only module that knows the page renderer.

Nothing but our own fonts and style sheet can be read while a page is made: every other
address ends the rendering. The same context gives the same bytes.
"""

import logging
import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache

import fontpkg
import pydyf
from django.template.loader import render_to_string
from weasyprint import HTML
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
WORTH_IT_MM = 3.0  # less room than this is not worth laying the front out again
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
    fonts = FontConfiguration()
    with pages.in_language(options):
        front, room = _front(plan, inputs, options, fonts)
        rest = _back(plan, inputs, options, room, fonts)
    return front.copy(front.pages + rest.pages)


def set_sheet_pdf(plan: SetPlan, inputs: SetInputs, options: PrintOptions) -> bytes:
    """Return the PDF of one set sheet. Raises SheetFailed as ``lay_out`` does."""
    return write([lay_out(plan, inputs, options)], options)


def _front(
    plan: SetPlan, inputs: SetInputs, options: PrintOptions, fonts: FontConfiguration
) -> tuple[Document, Room]:
    def laid_out(room: Room) -> Document:
        context = pages.front_page(plan, inputs, options, room)
        return _laid_out("sheets/set_front.html", context, fonts)

    for room in pages.ROOMS:
        document = laid_out(room)
        if len(document.pages) > 1:
            continue
        free_mm = _free_mm(document, options) - SPARE_MM
        if free_mm > WORTH_IT_MM:
            wider = pages.roomier(room, free_mm)
            grown = laid_out(wider)
            if len(grown.pages) == 1:
                return grown, wider
        return document, room
    raise SheetFailed(f"{plan.set.title}: the front does not fit {options.paper_name} paper")


def _free_mm(document: Document, options: PrintOptions) -> float:
    """Return how much of the front is left under its last line."""
    end_px = document.pages[0].anchors["front-end"][1]
    return CLIP_MM + options.text_height_mm - end_px * MM_A_PIXEL


def _back(
    plan: SetPlan,
    inputs: SetInputs,
    options: PrintOptions,
    room: Room,
    fonts: FontConfiguration,
) -> Document:
    """The back on one side where it can be; else it runs on to continued pages, set larger."""
    for back_room in (*pages.BACK_ROOMS, pages.OVERFLOWING_BACK):
        context = pages.back_page(plan, inputs, options, room, back_room)
        document = _laid_out("sheets/set_back.html", context, fonts)
        more = document.pages[1].anchors if len(document.pages) > 1 else {"more": None}
        if "more" in more:
            break
    return document


def _laid_out(template: str, context: dict, fonts: FontConfiguration) -> Document:
    html = printable(render_to_string(template, context))
    with ONE_AT_A_TIME, _no_warning():
        return HTML(string=html, base_url="app:", url_fetcher=OwnFilesOnly()).render(
            font_config=fonts, pdf_variant="pdf/ua-1"
        )


def write(documents: list[Document], options: PrintOptions) -> bytes:
    """Return the laid-out sheets as one file, each on a leaf of its own."""
    leaves = []
    for document in documents:
        if len(leaves) % 2:
            context = {"options": options}
            with pages.in_language(options):
                free = _laid_out("sheets/free_side.html", context, FontConfiguration())
            leaves += free.pages
        leaves += document.pages
    first = documents[0]
    document = first if len(documents) == 1 else first.copy(leaves)

    def finish(_document: Document, pdf: pydyf.PDF) -> None:
        turned = "ShortEdge" if options.flip == "short" else "LongEdge"
        wishes = pdf.catalog.setdefault("ViewerPreferences", pydyf.Dictionary())
        wishes["Duplex"] = f"/DuplexFlip{turned}"
        wishes["PrintScaling"] = "/None"  # the plan view is to scale

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
