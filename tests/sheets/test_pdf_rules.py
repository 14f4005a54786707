"""Every document the site prints keeps the rules of PDF/UA-1, by an independent validator.

``test_hostile_texts`` holds every document of records with strange texts to them each time; the
same of plain records is run by hand.

ISO 14289-1:2014 as the validator's profile states it: what a machine can check of it, 106 rules.
Whether the order read aloud makes sense, no machine can say.
"""

import re
import subprocess
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse

from tests import factories as make
from tests.checkers import checker
from tests.conftest import need
from tests.pages import full_house
from tests.pages.routes import NO_PAGE, Address, addresses
from tests.records.browser import filled
from workshops.models import House

pytestmark = pytest.mark.django_db

HERE = Path(__file__).parent
# Debian's XML binding, which newer Javas no longer bring and the validator reads its rules with.
JARS = Path("/usr/share/java")
BINDING = ("jaxb-runtime.jar", "jaxb-core.jar", "istack-commons-runtime.jar")
# What answers with something other than a document. All else without a page must be a PDF.
LISTS = {name for name in NO_PAGE if name.endswith(("-csv", "-xlsx"))}
NO_DOCUMENT = LISTS | {
    "calendar-feed", "healthz", "favicon", "horizon-drawing", "picture", "clock-now",
}  # fmt: skip
ON_LETTER_TOO = {"set-sheet", "invoice-sheet"}
GOES_ON = re.compile(rb'<meta http-equiv="refresh" content="0; url=(\?done=\d+)">')
# Every text and drawing is several checks; a page of nothing but words has some hundreds.
FEWEST_CHECKS = 200


@pytest.fixture
def validator() -> list[str]:
    """How the validator is called; asked for first, because filling a house takes its time."""
    for name in BINDING:
        if not (JARS / name).exists():
            need(f"{name} (Debian: libjaxb-java)")
    classes = [checker("pdf-rules.jar"), *(JARS / name for name in BINDING)]
    path = ":".join(str(one) for one in classes)
    return [need("java"), "-cp", path, str(HERE / "RulesOfPdf.java")]


@pytest.fixture
def office(tmp_path) -> Client:
    client = Client()
    client.force_login(full_house.build(tmp_path))
    return client


def printed(office, place: Address) -> bytes:
    """Return the PDF at an address, by way of the pages that say how far a pack has got."""
    answer = office.get(place.path)
    while answer.status_code == 200 and (on := GOES_ON.search(answer.content)):
        answer = office.get(place.path + on[1].decode())
    return pdf_of(answer, place.name)


def pdf_of(answer, name: str) -> bytes:
    assert answer.status_code == 200, name
    assert answer.headers["Content-Type"] == "application/pdf", name
    return answer.content


def documents(office) -> dict[str, bytes]:
    """Return every document of the house by its route."""
    places = [one for one in addresses() if one.name in NO_PAGE - NO_DOCUMENT]
    assert {one.name for one in places} == NO_PAGE - NO_DOCUMENT
    made = {one.name: printed(office, one) for one in places}
    sheet = make.LabelSheetFactory()  # the demo prints no labels
    asked = filled(office.get(reverse("labels"))) | {"everything": "1", "sheet": sheet.pk}
    made["labels"] = pdf_of(office.post(reverse("labels"), asked), "labels")
    return made | on_letter(office, [one for one in places if one.name in ON_LETTER_TOO])


def on_letter(office, places: list[Address]) -> dict[str, bytes]:
    House.objects.update(paper="letter", language="es")
    return {f"{one.name}-letter": printed(office, one) for one in places}


def faults(validator: list[str], made: dict[str, bytes], folder: Path) -> set[str]:
    """Return in words which rules the documents break; fail where hardly anything was checked."""
    for name, content in made.items():
        (folder / f"{name}.pdf").write_bytes(content)
    files = [str(folder / f"{name}.pdf") for name in made]
    told = subprocess.run(
        [*validator, *files], capture_output=True, text=True, check=False, timeout=300
    )
    assert told.returncode == 0, told.stderr
    lines = [line.split("\t") for line in told.stdout.splitlines()]
    checks = {Path(file).stem: int(what) for file, kind, what in lines if kind == "checks"}
    assert checks.keys() == made.keys()
    assert min(checks.values()) > FEWEST_CHECKS, checks
    return {f"{Path(file).stem}: {what}" for file, kind, what in lines if kind == "breaks"}


@pytest.mark.slow
def test_every_document_keeps_the_rules_for_readers_without_eyes(validator, office, tmp_path):
    found = faults(validator, documents(office), tmp_path)
    assert not found, "\n".join(sorted(found))
