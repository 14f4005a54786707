"""HTML and a style sheet -> laid-out pages and PDF bytes. With ``renderer``, all that knows it.

It knows no Django, no database and no setting: ``worker`` runs it in a process of its own, with
limits. Nothing but our own fonts can be read while a page is made: every other address ends the
rendering. The same HTML gives the same bytes.
"""

import base64
import gc
import itertools
import logging
import os
import queue
import shutil
import socket
import sys
import threading
from collections.abc import Sequence
from contextlib import contextmanager
from functools import cache, lru_cache

import fontpkg
import pydyf
from weasyprint import CSS
from weasyprint.document import Document
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from planning.sheets.renderer import install
from planning.sheets.renderer.files import finish
from planning.sheets.renderer.pages import lowest_line
from planning.sheets.renderer.parsing import WellFormed
from planning.sheets.wire import LAST_LINE, Closed, receive, send

try:
    import resource
except ImportError:  # no such limits on this system: the site's own clock still ends a job
    resource = None

FONTS = {"app:source-sans-3": "Source Sans 3", "app:noto-sans": "Noto Sans"}
PICTURE = "data:image/jpeg;base64,"  # RFC 2397; only our own templates write one
WATCHED_LOGGERS = ("weasyprint", "fontTools")
CHATTY_LOGGERS = ("weasyprint.progress",)  # one line a step, of no use to who prints
MM_A_PIXEL = 25.4 / 96  # CSS Values and Units 3, section 6.2
STYLES_KEPT = 16  # a front and a back for each paper, language and turning a house uses
SIDES_KEPT = 20  # a day of eight sets is a pack without a further layout; a side takes 5 MB
LOOKED_THROUGH_EVERY = 10  # jobs: with sides kept, looking for garbage takes as long as a layout

# What it could not print: ``worker`` says it in words.
ASKED, WARNED = "asked", "warned"
MEMORY, DEPTH, LARGE, BROKEN = "memory", "depth", "large", "broken"
Side = tuple[str, str]  # HTML and style sheet
_sides: dict[Side, Document] = {}  # those asked for last at the end


install()


class Complaint(Exception):
    """Why a side cannot be printed: one of the kinds above, and what the renderer said."""

    def __init__(self, kind: str, detail: str = ""):
        super().__init__(kind, detail)
        self.kind, self.detail = kind, detail


class OwnFilesOnly(URLFetcher):
    """Serves the fixed map of our fonts and pictures that stand in the page itself.

    Any other address ends the rendering.
    """

    def fetch(self, url: str, headers=None) -> URLFetcherResponse:
        if url.startswith(PICTURE):
            jpeg = base64.b64decode(url[len(PICTURE) :])
            return URLFetcherResponse(url, jpeg, {"Content-Type": "image/jpeg"})
        if url not in FONTS:
            raise FatalURLFetchingError(f"a sheet asked for {url[:200]!r}")
        return URLFetcherResponse(url, _font(url), {"Content-Type": "font/ttf"})


@cache
def _font(url: str) -> bytes:
    return fontpkg.path(FONTS[url]).read_bytes()


@cache
def _fonts() -> FontConfiguration:
    """Our fonts, read once a process."""
    return FontConfiguration()


@lru_cache(STYLES_KEPT)
def _parsed(styles: str) -> CSS:
    """A style sheet, parsed once a process: every layout of a house uses the same few."""
    return CSS(string=styles, base_url="app:", url_fetcher=OwnFilesOnly(), font_config=_fonts())


def laid_out(html: str, styles: str) -> Document:
    """Return the pages of one side's HTML, the kept ones where it was laid out lately.

    Raises Complaint.
    """
    document = _sides.pop((html, styles), None)
    if document is None:
        with no_warning():
            document = WellFormed(html, "app:", OwnFilesOnly()).render(
                stylesheets=[_parsed(styles)], font_config=_fonts(), pdf_variant="pdf/ua-1"
            )
    _sides[html, styles] = document
    if len(_sides) > SIDES_KEPT:
        del _sides[next(iter(_sides))]  # the one that nobody asked for the longest
    return document


def forget(sides: Sequence[Side]) -> None:
    """Keep these sides no longer: what was only tried out would drive out what is printed."""
    for side in sides:
        _sides.pop(side, None)


def measured(side: Side) -> list[dict[str, float]]:
    """Return, for each page, how far below its top edge its anchors and its last line stand, in
    millimetres."""
    document = laid_out(*side)
    return [
        {
            **{name: place[1] * MM_A_PIXEL for name, place in page.anchors.items()},
            LAST_LINE: lowest_line(page) * MM_A_PIXEL,
        }
        for page in document.pages
    ]


def printed(sides: Sequence[Side], duplex: str, identifier: str) -> bytes:
    """Return one PDF of all pages of these sides, in order; title and language are the first's."""
    documents = [laid_out(*side) for side in sides]
    pages = [page for document in documents for page in document.pages]

    def finisher(_document: Document, pdf: pydyf.PDF) -> None:
        wishes = pdf.catalog.setdefault("ViewerPreferences", pydyf.Dictionary())
        wishes["Duplex"] = duplex
        wishes["PrintScaling"] = "/None"  # the plan view is to scale, and labels have their place
        finish(pdf)

    with no_warning():
        return (
            documents[0]
            .copy(pages)
            .write_pdf(
                finisher=finisher, pdf_variant="pdf/ua-1", pdf_identifier=identifier.encode()
            )
        )


@contextmanager
def no_warning():
    """Turn whatever the renderer warns of, or refuses to fetch, into a Complaint."""
    heard: list[str] = []

    class Listener(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
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
    except FatalURLFetchingError as refusal:  # no Exception, so nothing else would stop it
        raise Complaint(ASKED, str(refusal)) from None
    finally:
        for name, logger in loggers.items():
            logger.removeHandler(listener)
            logger.setLevel(levels[name])
    if heard:
        raise Complaint(WARNED, "; ".join(heard)[:1000])


def serve(connection: socket.socket, *, memory_bytes: int, most_bytes: int) -> None:
    """Do one job after the other until the site closes the connection; then end at once."""
    _limit_for_good(memory_bytes)
    gc.disable()  # a layout is a heap of objects kept to its end: looking through them is a waste
    _fonts()
    jobs: queue.SimpleQueue = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(connection, jobs), daemon=True).start()
    for number in itertools.count(1):
        job = jobs.get()
        _limit_next(job["cpu_s"])
        answer, body = _answer(job, most_bytes)
        send(connection, answer, body)
        if number % LOOKED_THROUGH_EVERY == 0:
            gc.collect()


def _listen(connection: socket.socket, jobs: queue.SimpleQueue) -> None:
    """Take jobs in beside the work, so that the end of the site ends a long job as well."""
    try:
        while True:
            jobs.put(receive(connection, most_json_bytes=1 << 32)[0])
    except Closed:
        shutil.rmtree(os.environ["TMPDIR"], ignore_errors=True)  # ours: the fonts lie in it
        os._exit(0)


def _answer(job: dict, most_bytes: int) -> tuple[dict, bytes]:
    sides = [(html, styles) for html, styles in job["sides"]]
    try:
        if job["do"] == "measure":
            forget(sides[1:])
            return {"pages": measured(sides[0])}, b""
        content = printed(sides, job["duplex"], job["identifier"])
        if len(content) > most_bytes:
            raise Complaint(LARGE)
    except Complaint as complaint:
        return {"complaint": complaint.kind, "detail": complaint.detail}, b""
    except MemoryError:
        return {"complaint": MEMORY, "detail": ""}, b""
    except RecursionError:
        return {"complaint": DEPTH, "detail": ""}, b""
    except Exception as fault:  # whatever hostile text makes of the renderer: told, never a crash
        return {"complaint": BROKEN, "detail": f"{type(fault).__name__}: {fault}"[:300]}, b""
    return {"pages": []}, content


def _limit_for_good(memory_bytes: int) -> None:
    if resource is None:
        return
    for name, bound in (
        ("RLIMIT_AS", memory_bytes),
        ("RLIMIT_CORE", 0),  # a core file would hold people's names
        ("RLIMIT_FSIZE", 1 << 26),  # it writes nothing but its fonts
    ):
        if sys.platform == "darwin" and name == "RLIMIT_AS":
            continue  # macOS refuses it
        _soft, hard = resource.getrlimit(getattr(resource, name))
        least = bound if hard == resource.RLIM_INFINITY else min(bound, hard)
        resource.setrlimit(getattr(resource, name), (least, least))


def _limit_next(cpu_s: int) -> None:
    """Let the next job compute so long: the system counts the life of a process, not of a job."""
    if resource is None:
        return
    usage = resource.getrusage(resource.RUSAGE_SELF)
    _soft, hard = resource.getrlimit(resource.RLIMIT_CPU)
    soft_s = int(usage.ru_utime + usage.ru_stime) + 1 + cpu_s
    least_s = soft_s if hard == resource.RLIM_INFINITY else min(soft_s, hard)
    resource.setrlimit(resource.RLIMIT_CPU, (least_s, hard))
