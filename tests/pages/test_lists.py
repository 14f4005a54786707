"""Lists in and out in the browser: the file, the preview, the import, and what is taken out."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.records.browser import filled
from workshops.models import AuditEntry, ImportFile, KitUnit, Person

pytestmark = pytest.mark.django_db


def brought(office, content: str | bytes, *, kind: str = "people", name="list.csv", **fields):
    """Return the page after a file was sent."""
    if isinstance(content, str):
        content = content.encode()
    file = SimpleUploadedFile(name, content)
    return office.post(reverse(f"{kind}-in"), {"file": file, **fields}, follow=True)


def send(office, page):
    """Return the answer to the import button of a preview."""
    file = ImportFile.objects.get()
    mark = filled(page).get("mark", "")
    return office.post(reverse("list-import", args=[file.pk]), {"mark": mark}, follow=True)


def test_a_good_list_is_shown_then_imported_once_however_often_the_button_is_pressed(office):
    page = brought(office, "Name;E-mail\nAna Núñez;ana@example.org\nBo;bo@example.org\n")
    assert "Import all 2 rows" in page.content.decode()
    assert not Person.objects.exists()
    for _press in range(2):
        done = send(office, page)
        assert done.redirect_chain[-1][0] == reverse("people")
        assert "2 new, 0 changed" in done.content.decode()
    assert Person.objects.count() == 2
    assert AuditEntry.objects.filter(who=office.user).count() == 2


def test_a_refused_row_comes_first_and_takes_the_button_away(office):
    page = brought(office, "Name,E-mail\nAna,ana@example.org\nBo,ANA@example.org\n")
    shown = page.content.decode()
    assert "stands in row 2 already" in shown
    assert shown.index("Bo") < shown.index("a new person")
    assert reverse("list-import", args=[ImportFile.objects.get().pk]) not in shown
    refused = send(office, page)
    assert refused.status_code == 409
    assert "nothing is imported" in refused.content.decode()
    assert not Person.objects.exists()


def test_what_is_not_certain_is_asked_with_the_likeliest_chosen(office):
    content = "Name,Born,Pets\nJosé Núñez,03/04/1988,2\n".encode("cp1252")
    page = brought(office, content)
    shown = page.content.decode()
    assert "Windows, western Europe: <strong>José, Núñez" in shown
    assert "03/04/1988 is April 3, 1988" in shown
    assert "Not read: Pets." in shown
    answered = filled(page) | {"order": "month", "column-2": "notes"}
    answered.pop("answers", None)
    page = office.post(page.request["PATH_INFO"], answered, follow=True)
    assert "Import the one row" in page.content.decode()
    send(office, page)
    person = Person.objects.get()
    assert (person.name, person.notes) == ("José Núñez", "2")
    assert person.birth_date.isoformat() == "1988-03-04"


def test_of_two_columns_that_name_the_same_the_page_says_which_counts(office):
    page = brought(office, "Categoría;Tipo;Etiqueta\nCable;Cable largo;C1\n", kind="kit")
    shown = page.content.decode()
    told = "“Tipo” is not read: “Categoría” is read as Category already."
    assert told in shown
    assert "Not read:" not in shown
    assert "<details open>" in shown
    answered = filled(page) | {"column-1": "kind"}
    answered.pop("answers", None)
    page = office.post(page.request["PATH_INFO"], answered, follow=True)
    assert told not in page.content.decode()
    assert "Import the one row" in page.content.decode()
    send(office, page)
    assert str(KitUnit.objects.get().kind) == "Cable largo"


def test_one_row_is_counted_as_one(office):
    shown = brought(office, "Name\nAna\n").content.decode()
    assert "<strong>1</strong> row</a>" in shown
    assert "<strong>2</strong> rows</a>" in brought(office, "Name\nAna\nBo\n").content.decode()


def test_a_name_twice_in_the_file_offers_nobody_who_is_not_known(office):
    page = brought(office, "Name,Phone\nBea Lund,\nBea Lund,+44 7700 900111\n")
    shown = page.content.decode()
    assert "Bea Lund stands in row 2 as well" in shown
    assert "the one known" not in shown
    assert "somebody else of the same name" in shown


def test_a_namesake_is_chosen_on_the_page(office):
    known = make.PersonFactory(name="Bea Lund", email="")
    page = brought(office, "Name,Phone\nBea Lund,+44 7700 900111\n")
    place = page.request["PATH_INFO"]
    page = office.post(place, {"answers": "1", "answer-2": str(known.pk)}, follow=True)
    assert "Import the one row" in page.content.decode()
    send(office, page)
    assert Person.objects.get().phone == "+44 7700 900111"


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "The file is empty"),
        (b"\n\n", "The file is empty"),
        (b"PK\x03\x04rest", "then CSV"),
        (b"Name\nAnn\x00\xff\n", "NUL bytes"),
        (b"Name\n" + b"x" * (5 * 1024 * 1024), "more than 5 MB"),
        (b"ann@example.org,Ann\nbea@example.org,Bea\n", "looks like a person"),
        (b"Pets,Cars\n1,2\n", "No column is known as the name"),
        (b'Name\n"Ann\n', "never closed"),
    ],
)
def test_a_file_that_cannot_be_read_says_what_to_do(office, content, told):
    page = brought(office, content)
    assert page.status_code in (200, 422)
    assert told in page.content.decode()
    assert "mark" not in filled(page)


@pytest.mark.parametrize("text", ABSURD, ids=range(len(ABSURD)))
def test_absurd_cells_and_headings_never_break_the_page(office, text):
    cell = '"' + text.replace('"', '""') + '"'
    content = f"Name,Born,Sync,Camera,{cell}\n{cell},{cell},{cell},{cell},{cell}\n"
    page = brought(office, content, name=f"{text[:50]}.csv")
    assert page.status_code == 200
    assert "<script>alert" not in page.content.decode()
    kit = brought(
        office, content.replace("Name,Born,Sync,Camera", "Kind,Category,Tag,Cycles"), kind="kit"
    )
    assert kit.status_code == 200


def test_a_long_list_asks_no_more_queries_and_comes_in_parts(office):
    lines = [f"Guest {n},guest{n}@example.org" for n in range(120)]
    counts = []
    for some in (lines[:2], lines):
        page = brought(office, "\n".join(["Name,E-mail", *some]))
        with CaptureQueriesContext(connection) as asked:
            page = office.get(page.request["PATH_INFO"], {"page": 2, "show": "new"})
        counts.append(len(asked))
    assert counts[0] == counts[1]
    assert "Part 2 of 3" in page.content.decode()


def test_a_file_can_be_forgotten(office):
    brought(office, "Name\nAnn\n")
    office.post(reverse("list-forget", args=[ImportFile.objects.get().pk]))
    assert not ImportFile.objects.exists()
    assert not Person.objects.exists()


def test_lists_are_taken_out_as_files_of_both_kinds(office):
    booking = make.BookingFactory(person__name='=1+1;"x"')
    make.UnitFactory()
    pk = booking.workshop_id
    for name, args in (("people", []), ("kit", []), ("workshop", [pk])):
        table = office.get(reverse(f"{name}-csv", args=args))
        assert table.headers["Content-Type"].startswith("text/csv; charset=utf-8")
        assert "attachment" in table.headers["Content-Disposition"]
        assert table.content.startswith(b"\xef\xbb\xbf")
        assert (b'"\'=1+1;""x"""' in table.content) == (name != "kit")
        assert office.get(reverse(f"{name}-xlsx", args=args)).content.startswith(b"PK")


def test_the_workshop_of_a_list_is_chosen_already_when_one_comes_from_it(office):
    seat = make.SeatFactory(workshop__title="Steps")
    page = office.get(reverse("workshop", args=[seat.workshop_id])).content.decode()
    place = f"{reverse('people-in')}?workshop={seat.workshop_id}"
    assert place in page
    assert filled(office.get(place))["workshop"] == [str(seat.workshop_id)]


@pytest.mark.parametrize("role", ["instructor", "helper", "outsider"])
def test_lists_are_the_offices_alone(client, role):
    client.force_login(make.UserFactory(role=role, is_staff=False, is_superuser=False))
    pk = make.ImportFileFactory().pk
    for name, args in (("people-in", []), ("kit-csv", []), ("list", [pk]), ("list-import", [pk])):
        assert client.post(reverse(name, args=args)).status_code == 403
