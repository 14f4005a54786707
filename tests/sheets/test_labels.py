"""Labels as paper: each code where its label is, read by another program, and right to the last."""

import io
import re
import subprocess

import pytest
import zxingcpp
from django.urls import reverse
from PIL import Image
from pypdf import PdfReader

from planning.sheets.labels import EDGE_MM, Label, LabelFormat, labels_pdf, sheets
from planning.sheets.options import PrintOptions
from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.records.browser import filled
from workshops.models import KitUnit, LabelSheet

HOUSE = PrintOptions(house="Slate & Tide")
DPI = 300
# Sheets by their measures (mm): the most crowded, the usual, the widest. Common practice.
SMALL = LabelFormat((210.0, 297.0), 5, 13, 38.1, 21.2, 4.7, 10.7, 40.6, 21.2)
USUAL = LabelFormat((210.0, 297.0), 3, 7, 63.5, 38.1, 7.2, 15.1, 66.0, 38.1)
WIDE = LabelFormat((215.9, 279.4), 2, 5, 101.6, 50.8, 4.0, 12.7, 106.4, 50.8)


def labels(count):
    site = "https://workshops.example.org"
    return [Label(f"{site}/u/{n}/", f"TRIG-{n:02d}", "Simple trigger") for n in range(1, count + 1)]


def printed(tmp_path, need, content):
    (tmp_path / "labels.pdf").write_bytes(content)
    command = [need("pdftoppm"), "-r", str(DPI), "-png", "labels.pdf", "page"]
    subprocess.run(command, cwd=tmp_path, check=True, timeout=60)
    return [Image.open(path).convert("L") for path in sorted(tmp_path.glob("page*.png"))]


def codes(page):
    """Return the corners (mm from the paper's edges) of every code on a page, by its text."""
    found = {}
    for one in zxingcpp.read_barcodes(page, formats=zxingcpp.BarcodeFormat.QRCode):
        at = one.position
        corners = (at.top_left, at.top_right, at.bottom_left, at.bottom_right)
        found[one.text] = [(p.x * 25.4 / DPI, p.y * 25.4 / DPI) for p in corners]
    return found


@pytest.mark.parametrize("form", [SMALL, USUAL, WIDE], ids=["small", "usual", "wide"])
def test_every_label_reads_as_its_own_address_inside_its_own_cell(form, tmp_path, need):
    units = labels(form.count)
    content = labels_pdf(units, form, HOUSE, first=1, phone="01632 960101")
    (page,) = printed(tmp_path, need, content)
    found = codes(page)
    assert set(found) == {one.address for one in units}
    for n, one in enumerate(units):
        row, column = divmod(n, form.columns)
        left = form.left_mm + column * form.column_step_mm
        top = form.top_mm + row * form.row_step_mm
        for x, y in found[one.address]:
            assert left < x < left + form.width_mm, one
            assert top < y < top + form.height_mm, one


def test_a_sheet_used_in_part_is_begun_where_it_is_whole(tmp_path, need):
    content = labels_pdf(labels(3), USUAL, HOUSE, first=21, phone="")
    first, second = (codes(page) for page in printed(tmp_path, need, content))
    assert [text[-3:] for text in first] == ["/1/"]
    ((x, y), *_rest) = next(iter(first.values()))
    # Label 21 is the last of 3 by 7: third column, seventh row.
    assert x > USUAL.left_mm + 2 * USUAL.column_step_mm
    assert y > USUAL.top_mm + 6 * USUAL.row_step_mm
    assert sorted(text[-3:] for text in second) == ["/2/", "/3/"]


def test_words_grow_with_their_label_and_stand_at_the_middle_of_its_code():
    (usual,), (wide,) = (
        next(sheets(labels(1), form, first=1, house="Slate & Tide", phone="01632 960101"))
        for form in (USUAL, WIDE)
    )
    sizes = [[line.size_mm for line in one.lines if not line.heavy] for one in (usual, wide)]
    assert min(sizes[1]) > min(sizes[0])
    # 9 points are 3.175 mm: what a hand-held label is read at.
    assert min(sizes[0]) >= 3.175
    for one in (usual, wide):
        # As much room above the words as below them, within what a line's height is guessed at.
        taken_mm = sum(line.size_mm for line in one.lines)
        above_mm = one.words_top_mm - EDGE_MM
        below_mm = one.picture_mm - above_mm - taken_mm
        assert 0 < above_mm <= below_mm < above_mm + 4.0


def test_a_label_says_tag_kind_house_and_whom_to_ring():
    content = labels_pdf(labels(1), USUAL, HOUSE, first=1, phone="01632 960101")
    (page,) = PdfReader(io.BytesIO(content)).pages
    assert float(page.mediabox.width) == pytest.approx(210 * 72 / 25.4, abs=0.1)
    said = re.sub(r"\s+", " ", page.extract_text())
    for words in ("TRIG-01", "Simple trigger", "Slate & Tide", "If found: 01632 960101"):
        assert words in said


@pytest.mark.parametrize("text", ABSURD[:5], ids=lambda text: repr(text[:12]))
def test_absurd_names_stay_inside_their_label(text, tmp_path, need):
    units = [Label("https://a.example/u/1/", text[:40], text), *labels(2)]
    content = labels_pdf(units, SMALL, HOUSE, first=1, phone="01632 960101")
    (page,) = printed(tmp_path, need, content)
    assert len(codes(page)) == 3
    # Nothing is printed between the first row of labels and the paper's edge on the right.
    beyond = SMALL.left_mm + 3 * SMALL.column_step_mm
    blank = page.crop((int(beyond * DPI / 25.4), 0, page.width, page.height))
    assert blank.getextrema() == (255, 255)


@pytest.fixture
def office(client, db):
    make.HouseFactory(label_sheet=make.LabelSheetFactory())
    client.force_login(make.UserFactory())
    return client


def test_the_page_prints_what_is_ticked_a_kind_or_all(office, settings):
    settings.SITE_URL = ""
    first, second = make.UnitFactory(tag="T1"), make.UnitFactory(tag="T2")
    make.UnitFactory(tag="OLD", state="retired")
    place = reverse("labels")
    shown = office.get(place, {"kind": first.kind_id})
    assert "This machine only" in shown.content.decode()
    blank = filled(office.get(place))

    def tags(**typed):
        answer = office.post(place, blank | typed)
        assert answer.headers["Content-Type"] == "application/pdf"
        (page,) = PdfReader(io.BytesIO(answer.content)).pages
        return sorted(set(re.findall(r"T1|T2|OLD", page.extract_text())))

    assert tags(units=[second.pk]) == ["T2"]
    assert tags(kinds=[first.kind_id]) == ["T1"]
    assert tags(everything="1") == ["T1", "T2"]
    for typed in ({}, {"everything": "1", "first": "22"}, {"everything": "1", "sheet": "x"}):
        assert office.post(place, blank | typed).status_code == 422


@pytest.mark.parametrize("text", ABSURD, ids=lambda text: repr(text[:12]))
def test_absurd_text_about_labels_is_refused_in_words(office, text):
    make.UnitFactory(tag="T1")
    whole = {"everything": "1", "first": "1", "sheet": LabelSheet.objects.latest("pk").pk}
    for name in ("sheet", "first", "units", "kinds"):
        sent = whole | {name: text}
        assert office.post(reverse("labels"), sent).status_code == 422, name
    assert office.get(reverse("labels"), {"kind": text}).status_code == 200
    blank = filled(office.get(reverse("label-sheet-new")))
    for name in set(blank) - {"csrfmiddlewaretoken", "seen"}:
        assert office.post(reverse("label-sheet-new"), blank | {name: text}).status_code == 422
    assert KitUnit.objects.count() == 1


def test_a_sheet_that_does_not_fit_its_paper_is_refused(office):
    sheet = LabelSheet.objects.latest("pk")
    place = reverse("label-sheet-edit", args=[sheet.pk])
    whole = filled(office.get(place))
    for typed, told in (
        ({"columns": "4"}, "Labels across: they take"),
        ({"rows": "9"}, "Labels down: they take"),
        ({"column_step_mm": "50"}, "no less than the label itself"),
        ({"label_height_mm": "5"}, "15"),
    ):
        answer = office.post(place, whole | typed)
        assert answer.status_code == 422, typed
        assert told in answer.content.decode(), typed
    assert office.post(place, whole | {"name": "Ours"}).status_code == 302
