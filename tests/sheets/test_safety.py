"""Whatever is typed into a record, a sheet stays whole and reads nothing but our own fonts."""

import logging
from dataclasses import replace

import pytest
from weasyprint import HTML
from weasyprint.urls import FatalURLFetchingError

from planning.sheets import press
from planning.sheets.letters import missing_signs, printable
from tests.sheets.example import OCTA, attendees, location, slate_wall
from tests.sheets.test_pdf import made, read, words

SIGNS = (
    "<script>alert(1)</script><img src=file:///etc/passwd>}</style><style>@import url(http://x/)"
    "{{ plan }} {% include 'x' %} שלום مرحبا \N{RIGHT-TO-LEFT OVERRIDE}abc "
    "\N{CAMERA WITH FLASH}\N{FAMILY}\N{ZERO WIDTH JOINER}\N{BOY} a\x00b\x07c\x1bd\ufffe"
)


@pytest.mark.parametrize(
    "text",
    [SIGNS, "w" * 5000, "walk the ladder once " * 250],
    ids=["signs", "long word", "long text"],
)
def test_hostile_text_neither_breaks_the_sheet_nor_reaches_the_renderer(text):
    inputs = slate_wall(
        title=text,
        notes=text,
        objective=text,
        backdrop=text,
        wardrobe=text,
        channel=text,
        workshop=text,
        lights=(replace(OCTA, modifier=text, strobe=text, gel=text),),
        attendees=tuple(replace(person, name=text) for person in attendees(6)),
        location=location(name=text, emergency=text, hazards=text),
    )
    sheet = read(made(inputs))
    assert 2 <= len(sheet.pages) <= 4
    shown = " ".join(words(page) for page in sheet.pages)
    if text == SIGNS:
        assert "<script>" in shown
        assert "{{ plan }}" in shown
    else:
        assert "characters more, see the record)" in shown


def test_letters_our_fonts_lack_become_a_square():
    assert printable("f/11 é дом") == "f/11 é дом"
    assert printable("a\N{CAMERA WITH FLASH}b\N{ZERO WIDTH JOINER}c\x07") == "a□bc"


@pytest.mark.parametrize(
    "address",
    [
        "file:///etc/passwd",
        "http://127.0.0.1/a.png",
        "data:image/png;base64,",
        "app:other",
        "x.png",
    ],
)
def test_no_other_address_is_ever_read(address):
    html = f'<img src="{address}" alt="x">'
    with pytest.raises(FatalURLFetchingError):
        HTML(string=html, base_url="app:", url_fetcher=press.OwnFilesOnly()).render()


def test_a_refused_address_is_a_complaint():
    with pytest.raises(press.Complaint, match="asked for"):
        press.laid_out('<img src="file:///x" alt="x">', "")


@pytest.mark.parametrize("name", ["weasyprint", "fontTools.ttLib"])
def test_a_warning_of_the_renderer_is_a_complaint(name):
    with pytest.raises(press.Complaint, match="odd glyph"), press.no_warning():
        logging.getLogger(name).warning("odd glyph")


def test_the_renderers_loggers_are_left_as_they_were():
    before = [logging.getLogger(name).level for name in press.WATCHED_LOGGERS]
    press.laid_out("<p>plain", "")
    assert [logging.getLogger(name).level for name in press.WATCHED_LOGGERS] == before


def test_signs_the_fonts_lack_are_owned_up_to_on_the_back():
    assert missing_signs(["plain", "a\N{CAMERA WITH FLASH}b", "\N{WHITE SQUARE}"]) == 1
    sheet = read(made(slate_wall(notes="\N{CAMERA WITH FLASH} at dusk")))
    text = words(sheet.pages[1])
    assert "1 sign of the records' texts cannot be printed here" in text
