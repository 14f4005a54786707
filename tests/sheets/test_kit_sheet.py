"""The kit sheet: every unit with a code that reads from the print, its person, and the masses."""

import io
import re
import subprocess
from dataclasses import replace

import pytest
import zxingcpp
from PIL import Image
from pypdf import PdfReader

from planning.kit_sheet import kit_sheet
from planning.sheets.kit import Kind, KitSheet, Load, Unit, kit_pdf
from planning.sheets.options import PrintOptions
from tests import factories as make
from tests.pages.absurd import ABSURD
from workshops.models import KitKind
from workshops.services import checkouts as acts

HOUSE = PrintOptions(house="Slate & Tide")
LETTER = replace(HOUSE, paper="letter", units="imperial", clock="12")
SITE = "https://workshops.the-school-on-the-shore.example.org"  # long, as a real one may be
DPI = 300


def sheet_of(count: int) -> KitSheet:
    units = tuple(Unit(f"{SITE}/u/{n}/", f"TRIG-{n:02d}", "Ana") for n in range(1, count + 1))
    load = Load("Ana", count, 0.05 * count)
    kinds = (Kind("Simple trigger", 0.05, units),)
    return KitSheet("Shore", "8 May 2027", "Europe/London", kinds, (load,), load)


def read(content: bytes) -> tuple[int, str]:
    reader = PdfReader(io.BytesIO(content))
    text = " ".join(page.extract_text() for page in reader.pages)
    return len(reader.pages), re.sub(r"\s+", " ", text)


def codes(tmp_path, need, content: bytes) -> list[str]:
    (tmp_path / "kit.pdf").write_bytes(content)
    command = [need("pdftoppm"), "-r", str(DPI), "-png", "kit.pdf", "page"]
    subprocess.run(command, cwd=tmp_path, check=True, timeout=60)
    found = []
    for path in sorted(tmp_path.glob("page*.png")):
        page = Image.open(path).convert("1", dither=Image.Dither.NONE)  # as a bad printer has it
        one = zxingcpp.read_barcodes(page.convert("L"), formats=zxingcpp.BarcodeFormat.QRCode)
        found += [code.text for code in one]
    return found


@pytest.mark.parametrize("options", [HOUSE, LETTER], ids=["a4", "letter"])
def test_every_unit_reads_as_its_own_address(options, tmp_path, need):
    sheet = sheet_of(30)
    found = codes(tmp_path, need, kit_pdf(sheet, options))
    assert sorted(found) == sorted(unit.address for unit in sheet.kinds[0].units)


def test_each_unit_has_a_line_to_sign_and_the_masses_are_in_the_house_s_units():
    pages, text = read(kit_pdf(sheet_of(20), HOUSE))
    assert pages == 2
    for words in ("TRIG-01", "TRIG-20", "signature", "to whom", "condition out", "back, at"):
        assert words in text
    assert "1.0 kg to carry" in text  # 20 of 50 g
    _pages, text = read(kit_pdf(sheet_of(20), LETTER))
    assert "2.2 lb to carry" in text  # 1 kg is 2.2046 lb (NIST SP 811)


@pytest.mark.parametrize("text", ABSURD[:5], ids=lambda text: repr(text[:12]))
def test_absurd_names_leave_the_codes_readable(text, tmp_path, need):
    unit = Unit(f"{SITE}/u/1/", text[:40], text, text, text)
    load = Load(text, 1, 2.0)
    sheet = KitSheet(text, "8 May", "Europe/London", (Kind(text, 2.0, (unit,)),), (load,), load)
    assert codes(tmp_path, need, kit_pdf(sheet, HOUSE)) == [unit.address]


@pytest.fixture
def workshop(db):
    make.HouseFactory()
    return make.WorkshopFactory()


def reserve(workshop, kind, tag, **given):
    unit = make.UnitFactory(kind=kind, tag=tag, **given)
    make.ReservationFactory(workshop=workshop, unit=unit)
    return unit


def test_masses_are_summed_by_who_has_what(workshop, settings):
    settings.SITE_URL = SITE
    heavy = KitKind.objects.create(name="case of bags", mass_kg=12.5)
    light = KitKind.objects.create(name="clamp", mass_kg=0.25)
    unknown = KitKind.objects.create(name="cloth")
    for n in (10, 9):
        reserve(workshop, heavy, f"CASE-{n}")
    clamp = reserve(workshop, light, "CLAMP-1")
    reserve(workshop, unknown, "CLOTH-1")
    reserve(workshop, unknown, "TORN", state="fault")
    ana = make.PersonFactory(name="Ana")
    make.BookingFactory(workshop=workshop, person=ana)
    acts.sign_out(
        by=None, unit=clamp, person=ana, workshop=workshop, condition="scratched",
        now=workshop.start_at,
    )  # fmt: skip
    sheet = kit_sheet(workshop)
    assert [(load.person, load.units, load.mass_kg) for load in sheet.loads] == [
        ("Ana", 1, 0.25),
        ("", 3, 25.0),
    ]
    assert sheet.all == Load("", 4, 25.25, unweighed=1)
    assert sheet.stays == ("TORN",)
    (cases,) = [kind for kind in sheet.kinds if kind.name == "case of bags"]
    assert [unit.tag for unit in cases.units] == ["CASE-9", "CASE-10"]
    assert cases.units[0].address.startswith(f"{SITE}/u/")
    (one,) = [unit for kind in sheet.kinds for unit in kind.units if unit.person]
    assert (one.tag, one.condition) == ("CLAMP-1", "scratched")
    _pages, text = read(kit_pdf(sheet, HOUSE))
    for words in ("25 kg to carry", "nobody named yet 3 25 kg", "Stays here, with a fault: TORN"):
        assert words in text
    assert "1 unit is of a kind without a mass" in text


def test_the_state_it_came_back_in_last_is_told(workshop):
    unit = reserve(workshop, KitKind.objects.create(name="clamp", mass_kg=0.2), "CLAMP-1")
    ana = make.PersonFactory(name="Ana")
    make.BookingFactory(workshop=workshop, person=ana)
    make.CheckoutFactory(
        unit=unit, person=ana, workshop=workshop, out_at=workshop.start_at,
        in_at=workshop.end_at, condition_in="jaw bent",
    )  # fmt: skip
    _pages, text = read(kit_pdf(kit_sheet(workshop), HOUSE))
    assert "last back: jaw bent" in text
    assert "No address" not in text
    assert "open on this machine only" in text  # tests have no address of a site


def test_a_workshop_without_kit_has_a_sheet_with_free_lines(workshop):
    pages, text = read(kit_pdf(kit_sheet(workshop), HOUSE))
    assert pages == 1
    assert "0 units." in text
    assert "Who carries what" not in text
