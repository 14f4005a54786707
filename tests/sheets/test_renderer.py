"""What is worked out once and kept prints what WeasyPrint prints by itself, byte for byte."""

import hashlib
import io
import json
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import pytest
from django.template.loader import render_to_string
from pypdf import PdfReader
from weasyprint.layout import column
from weasyprint.text import line_break

from planning.plan import evaluate
from planning.plan.inputs import PointInputs
from planning.sheets import pages, pdf, press, worker
from planning.sheets.handout import own_side
from planning.sheets.options import PrintOptions
from planning.sheets.renderer.parsing import SPACES
from planning.sheets.worker import Side
from tests.sheets.example import attendees, full_beach, slate_wall
from tests.sheets.test_handouts import a_day, mine, taught

A4 = PrintOptions(house="Slate & Tide")
LETTER = replace(A4, paper="letter", units="imperial", clock="12", language="es")
# WeasyPrint as it comes, in a process that never meets our changes of it.
BY_ITSELF = """
import hashlib, json, sys, zlib
import fontpkg, pydyf
from weasyprint import CSS, HTML
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher, URLFetcherResponse

FONTS = {"app:source-sans-3": "Source Sans 3", "app:noto-sans": "Noto Sans"}

class Fonts(URLFetcher):
    def fetch(self, url, headers=None):
        font = fontpkg.path(FONTS[url]).read_bytes()
        return URLFetcherResponse(url, font, {"Content-Type": "font/ttf"})

class LessHard:  # on purpose our files are packed less hard: nothing else of them may differ
    compressobj = staticmethod(lambda level: zlib.compressobj(6))

pydyf.zlib = LessHard

def wishes(_document, pdf):
    wishes = pdf.catalog.setdefault("ViewerPreferences", pydyf.Dictionary())
    wishes["Duplex"], wishes["PrintScaling"] = "/Simplex", "/None"

fonts = FontConfiguration()
for html, styles in json.load(sys.stdin):
    styles = CSS(string=styles, base_url="app:", url_fetcher=Fonts(), font_config=fonts)
    page = HTML(string=html, base_url="app:", url_fetcher=Fonts())
    document = page.render(stylesheets=[styles], font_config=fonts, pdf_variant="pdf/ua-1")
    content = document.write_pdf(finisher=wishes, pdf_variant="pdf/ua-1", pdf_identifier=b"0" * 64)
    print(hashlib.sha256(content).hexdigest())
"""


# The same rules said of elements in other places, languages and with words of their own.
STYLES = """
@font-face { font-family: "Source Sans 3"; src: url(app:source-sans-3) }
@page { size: A5; @bottom-left { content: string(title) counter(page) } }
html { font-family: "Source Sans 3" }
h1 { string-set: title content() } li:first-child { margin-top: 4mm }
li:nth-child(2n) { font-weight: 600 } li li { font-size: 80%; text-transform: uppercase }
p + p::before { content: "\\2013  " counter(page) } u { letter-spacing: 1px }
p::first-line { font-weight: 600 } table { border-collapse: collapse; margin: 3mm }
.by-letters * { overflow-wrap: anywhere }
td { border: 1px solid; padding: 1mm } q { quotes: auto } .wide { word-spacing: 2mm }
"""
PAGE = "<html lang='{}'><head><title>t</title></head><body><h1>Light</h1>{}</body></html>"
ROWS = "<table><tbody><tr><td>one</td><td>and wait</td></tr></tbody></table>"
MARKS = "\N{COMBINING ACUTE ACCENT}\N{COMBINING DOT BELOW}"
ITEMS = "<li>one</li><li>two<ul><li>three</li><li>one</li></ul></li>"
# For a cell as wide as its widest letter: long words, ligatures, marks on marks.
LONG = f"waffle {'ffi' * 30} {'W' * 40}e{MARKS} {'e' + MARKS * 30} <b>{'in' * 30}</b> {'co' * 20}"
BODIES = (
    ("en", "<p>Set <u>the lamp</u> <q>high</q></p><p id='a'>and wait</p><ul><li>one</li></ul>"),
    ("es", "<p>Set <u>the lamp</u> <q>high</q></p><p id='b'>and wait</p><ul><li>one</li></ul>"),
    ("en", f"<div><p>and wait</p><p class='wide'>and wait</p></div>{ROWS}"),
    ("en", f"<ol style='color: gray'>{ITEMS}</ol>"),
    ("en", f"<ol style='color: red; font-size: 9pt'>{ITEMS}</ol>"),
    ("en", f"{ROWS}<p>and wait</p>{ROWS}"),
    ("en", f"<table class='by-letters'><tbody><tr><td>{LONG}</td><td>2</td></tr></tbody></table>"),
)


@pytest.fixture(scope="module")
def papers() -> list[Side]:
    """Return a front, a back and an own page: drawings, tables, long words; in one column."""
    inputs = full_beach()
    front, _ = pdf.lay_out(evaluate(inputs), inputs, A4).sides
    inputs = slate_wall()
    _, back = pdf.lay_out(evaluate(inputs), inputs, LETTER).sides
    day = a_day(taught(inputs))
    own = own_side(mine(day, attendees(1)[0], "x" * 300), day, A4)
    # On purpose the words of drawings are set otherwise, two columns begun elsewhere, and each page
    # drawn by itself: without words, in one column, on one endless page nothing may differ.
    front = replace(front, html=re.sub("<text .*?</text>", "", front.html))
    papers = [replace(one, styles=in_one_piece(one.styles)) for one in (front, back, own)]
    return [*papers, *(Side(PAGE.format(lang, body), STYLES) for lang, body in BODIES)]


def in_one_piece(styles: str) -> str:
    return styles.replace("columns: 2;", "") + "@page { size: 216mm 2000mm }"


def test_a_paper_is_what_the_renderer_makes_by_itself(papers):
    alone = subprocess.run(
        [sys.executable, "-c", BY_ITSELF],
        input=json.dumps([(side.html, side.styles) for side in papers]),
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "SOURCE_DATE_EPOCH": "0"},
    )
    ours = [worker.printed([side], "/Simplex", "0" * 64) for side in papers]
    assert [hashlib.sha256(one).hexdigest() for one in ours] == alone.stdout.split()


def test_a_paper_is_the_same_whatever_was_printed_before_it(papers):
    pool = worker.Pool()
    try:
        file = {"duplex": "/Simplex", "identifier": "0" * 64}
        first = pool.run("print", papers, **file)
        assert pool.run("print", papers[::-1], **file) != first
        assert pool.run("print", papers, **file) == first
    finally:
        pool.close()
    assert worker.printed(papers, "/Simplex", "0" * 64) == first[1]


@pytest.mark.parametrize("points", [(), ("one-under",)])
@pytest.mark.parametrize("options", [A4, LETTER])
def test_two_columns_are_no_longer_than_the_renderer_s_own(points, options, monkeypatch):
    inputs = slate_wall(points=tuple(map(PointInputs, points)))
    context = pages.back_page(
        evaluate(inputs), inputs, options, pages.ROOMS[0], pages.SMALLER_BACKS[-1]
    )
    html = render_to_string("sheets/set_back.html", context)
    styles = render_to_string("sheets/sheet.css", pages.style(options, is_back=True))
    press.forget([(html, styles)])
    (ours,) = press.measured((html, styles))
    monkeypatch.setattr(column, "sum", sum)
    press.forget([(html, styles)])
    (theirs,) = press.measured((html, styles))
    assert ours["back-end"] <= theirs["back-end"] + 0.01
    assert ours["back-end"] >= theirs["back-end"] - 8.0  # a line or two, not half a column


def test_no_word_is_lost_between_columns():
    words = [f"word{n}" for n in range(240)]
    items = "".join(f"<li>{' '.join(words[n : n + 6])}</li>" for n in range(0, 240, 6))
    styles = "@page { size: A5 } div { columns: 2 } li { break-inside: avoid }"
    for rows in ("", "<table>" + "<tr><td>row</td></tr>" * 9 + "</table><h2>end</h2>"):
        body = f"<!DOCTYPE html><html lang='en'><title>t</title><div>{rows}<ul>{items}</ul></div>"
        printed = press.printed([(body, styles)], "/Simplex", "0" * 64)
        shown = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(printed)).pages)
        assert [word for word in shown.split() if word.startswith("word")] == words


def test_a_long_text_in_a_cell_takes_as_many_lines_to_measure_as_it_has_letters():
    calls = []

    def counted(text, *rest, own=line_break.split_first_line):
        calls.append(len(text))
        return own(text, *rest)

    body = f"<table><tr><td>{'lamp ' * 400}</td><td>1</td></tr></table>"
    html = f"<html lang='en'><title>t</title><body>{body}</body></html>"
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(line_break, "split_first_line", counted)
        press.measured((html, "td { overflow-wrap: anywhere }"))
    # WeasyPrint by itself sets all that follows for each letter: two million of them.
    assert sum(calls) < 40_000


def test_our_pages_are_read_as_xml(papers):
    for side in papers:
        assert ElementTree.fromstring(SPACES.sub(" ", side.html)).tag == "html"


def test_what_is_no_xml_is_printed_all_the_same():
    assert len(press.measured(("<p>no end<br>&middot;", ""))) == 1
