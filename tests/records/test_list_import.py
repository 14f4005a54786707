"""A stranger's list: what would happen with each row, and all of it or nothing."""

from datetime import date, timedelta

import pytest
from django.conf import settings
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import translation

from tests import factories as make
from workshops.errors import Refused
from workshops.lists.exports import attendees_table, kit_table, people_table
from workshops.lists.preview import Preview, headings_of, label, preview
from workshops.lists.writing import as_csv
from workshops.models import AuditEntry, Booking, CameraBody, ImportFile, KitUnit, Person
from workshops.services.imports import forget_lists, import_file, keep_file, set_reading

pytestmark = pytest.mark.django_db
NOW = make.NOW


def brought(content: str | bytes, *, kind: str = "people", workshop=None) -> ImportFile:
    if isinstance(content, str):
        content = content.encode()
    by = make.UserFactory()
    return keep_file(by=by, kind=kind, name="list.csv", content=content, now=NOW, workshop=workshop)


def seen(file: ImportFile) -> Preview:
    file.refresh_from_db()
    return preview(file, house=make.HouseFactory(), now=NOW)


def imported(file: ImportFile, mark: str = "") -> dict[str, int]:
    shown = mark or seen(file).plan.mark
    return import_file(by=file.by, file=file, house=make.HouseFactory(), now=NOW, shown=shown)


def rows(shown: Preview) -> dict[int, tuple[str, str]]:
    """Return by row what it would be, and why or how in words."""
    return {one.row: (one.kind, " ".join(one.faults or one.says)) for one in shown.plan.outcomes}


def messy(count: int) -> list[str]:
    """Return rows as a Spanish spreadsheet writes them; a day after the 12th settles the order."""
    head = "\ufeffNombre;Apellidos;Correo electrónico;Móvil;Fecha de nacimiento;Cámara;Sync;Mascota"
    return [head] + [
        f"Íñigo;Núñez {n};n{n}@example.org;+34 600 {n:06d};{25 - n % 25:02d}/{n % 12 + 1:02d}"
        f"/{1950 + n % 50};Full frame {n % 7};1/200;perro"
        for n in range(count)
    ]


def test_two_thousand_messy_rows_are_refused_one_by_one_and_imported_once_they_are_right():
    lines = messy(2000)
    wrong = list(lines)
    wrong[10] = wrong[10].replace("n9@example.org", "N3@EXAMPLE.ORG")
    wrong[20] = wrong[20].replace(";perro", ";perro;and;more")
    wrong[1999] = "Ana;Ruiz;ana@example.org;12;31/02/1980;;;"
    file = brought("\r\n".join(wrong))
    with CaptureQueriesContext(connection) as asked:
        shown = seen(file)
    assert len(asked) < 10
    assert shown.open == []
    assert shown.not_read == ["Mascota"]
    assert shown.plan.counts == {"refused": 3, "asks": 0, "new": 1997, "changed": 0, "same": 0}
    assert [one.row for one in shown.plan.in_order()[:3]] == [11, 20 + 1, 2000]
    told = rows(shown)
    assert "stands in row 5 already" in told[11][1]
    assert "quotation marks" in told[21][1]
    assert "“31/02/1980” is no day" in told[2000][1]
    assert "Enter a phone number" in told[2000][1]
    with pytest.raises(Refused):
        imported(file)
    assert not Person.objects.exists()

    right = brought("\r\n".join(lines))
    assert imported(right)["new"] == 2000
    assert Person.objects.count() == CameraBody.objects.count() == 2000
    assert AuditEntry.objects.filter(who=right.by).count() == 4000
    first = Person.objects.get(email="n0@example.org")
    assert (first.name, first.birth_date) == ("Íñigo Núñez 0", date(1950, 1, 25))
    assert imported(right, "pressed twice")["new"] == 2000  # and nothing more
    assert Person.objects.count() == 2000
    right.refresh_from_db()
    assert bytes(right.content) == b""


def test_nothing_uncertain_is_imported_before_it_is_answered():
    content = "Name,DOB\nJosé Núñez,03/04/1988\n".encode("cp1252")
    file = brought(content)
    shown = seen(file)
    assert shown.open == ["encoding", "order"]
    assert not shown.ready
    with pytest.raises(Refused):
        imported(file)
    set_reading(file=file, encoding="cp1252", order="month")
    imported(file)
    person = Person.objects.get()
    assert (person.name, person.birth_date) == ("José Núñez", date(1988, 3, 4))


def test_somebody_known_by_e_mail_is_brought_up_to_date_and_empty_cells_change_nothing():
    known = make.PersonFactory(
        name="Bea Lund", email="Bea@example.org", phone="+44 1", dietary="no"
    )
    make.CameraFactory(owner=known, name="Crop D")
    file = brought(
        "Name,E-mail,Phone,Diet,Camera,Sync\n"
        "Bea Lund,bea@EXAMPLE.org,+44 7700 900111,,crop d,1/250\n"
    )
    kind, words = rows(seen(file))[2]
    assert kind == "changed"
    assert words == "Phone on the day: +44 1 → +44 7700 900111 Flash sync speed: 1/160 → 1/250"
    imported(file)
    known.refresh_from_db()
    assert (known.phone, known.dietary) == ("+44 7700 900111", "no")
    assert CameraBody.objects.count() == 1


def test_a_namesake_is_asked_about_never_guessed():
    known = make.PersonFactory(name="Bea Lund", email="")
    file = brought("Name,E-mail\nBEA LUND,bea@example.org\n")
    assert rows(seen(file))[2][0] == "asks"
    set_reading(file=file, answers={"2": str(known.pk)})
    assert rows(seen(file))[2][0] == "changed"
    set_reading(file=file, answers={"2": "new"})
    assert imported(file)["new"] == 1
    assert Person.objects.count() == 2


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("Ann,a@example.org,,05/06/2015,,", "Guardian"),
        (",a@example.org,,,,", "Name: enter it"),
        ("Ann,not an address,,,,", "E-mail"),
        ("Ann,a@example.org,4.47E+11,,,", "rounded by a spreadsheet"),
        ("Ann,,,39541,,", "day number"),
        ("Ann,,,0008-05-03,,", "no day between 1900 and today"),
        ("Ann,,,2199-05-03,,", "no day between 1900 and today"),
        ("Ann,,,,,1/200", "make and model"),
        ("Ann,,,,Body,200", "1/32000 to 30 s: enter it like 1/200"),
        ("x" * 5000 + ",,,,,", "at most 120 characters"),
    ],
)
def test_a_row_is_refused_with_its_field_and_what_to_do(line, told):
    shown = seen(brought(f"Name,E-mail,Phone,Born,Camera,Sync\n{line}\nOle,,,25/12/1980,,\n"))
    kind, words = rows(shown)[2]
    assert kind == "refused"
    assert told in words


def test_what_changed_since_the_preview_is_shown_again_and_nothing_is_imported():
    file = brought("Name,E-mail\nAnn,a@example.org\nOle,o@example.org\n")
    mark = seen(file).plan.mark
    make.PersonFactory(name="Ole", email="o@example.org")
    with pytest.raises(Refused, match="look again"):
        imported(file, mark)
    assert not Person.objects.filter(name="Ann").exists()
    assert not AuditEntry.objects.exists()


def test_everybody_of_a_list_is_booked_with_the_camera_that_stands_there():
    workshop = make.WorkshopFactory(
        start_at=NOW + timedelta(days=9), end_at=NOW + timedelta(days=10)
    )
    for number in (1, 2, 3):
        make.SeatFactory(workshop=workshop, number=number)
    known = make.PersonFactory(name="Bea", email="bea@example.org")
    make.CameraFactory(owner=known, name="Old body")
    held = make.BookingFactory(workshop=workshop, seat=workshop.seats.first())
    lines = f"{held.person.name},{held.person.email},\n"
    lines += "Bea,bea@example.org,New body\nCyd,c@example.org,\n"
    file = brought(f"Name,E-mail,Camera\n{lines}", workshop=workshop)
    told = rows(seen(file))
    assert told[2] == ("same", "holds a seat already")
    assert told[3][1].endswith("seat 2")
    assert told[4][1].endswith("seat 3")
    imported(file)
    assert Booking.objects.live().count() == 3
    assert Booking.objects.get(person=known).camera.name == "New body"


def test_whoever_finds_no_seat_stands_on_the_waitlist_in_the_order_of_the_list():
    workshop = make.SeatFactory().workshop
    file = brought("Name,E-mail\nAnn,a@x.org\nBo,b@x.org\nCyd,c@x.org\n", workshop=workshop)
    places = [one.says[-1] for one in seen(file).plan.outcomes]
    assert places[0].startswith("seat ")
    assert places[1:] == ["place 1 on the waitlist", "place 2 on the waitlist"]
    imported(file)
    waiting = workshop.bookings.waiting().order_by("booked_at", "pk")
    assert list(waiting.values_list("person__name", flat=True)) == ["Bo", "Cyd"]
    more = brought("Name,E-mail\nBo,b@x.org\nDov,d@x.org\n", workshop=workshop)
    assert [one.says[-1] for one in seen(more).plan.outcomes] == [
        "is on the waitlist already",
        "place 3 on the waitlist",
    ]


def test_under_age_on_the_day_of_the_workshop_needs_a_guardian():
    workshop = make.SeatFactory().workshop
    born = "2009-05-09"  # 17 on 8 May 2027, the day of the workshop
    shown = seen(brought(f"Name,DOB\nEka,{born}\n", workshop=workshop))
    assert "Guardian" in rows(shown)[2][1]
    lines = f"Name,DOB,Guardian,Guardian phone\nEka,{born},Ana,+44 7700 900111\n"
    assert seen(brought(lines, workshop=workshop)).ready


def test_people_taken_out_come_back_in_with_nothing_to_change():
    make.CameraFactory(owner__name="=Ana", owner__phone="+44 7700 900111", owner__email="")
    make.CameraFactory(owner__name="'Bea", owner__notes='two\nlines; and a mark "', shoe="other")
    make.PersonFactory(name="Cyd", birth_date=date(1990, 2, 3), photo_consent="yes", language="es")
    make.PersonFactory(name="Cyd", email="")
    shown = seen(brought(as_csv(*people_table(Person.objects.order_by("pk")))))
    assert shown.open == shown.not_read == []
    assert shown.plan.counts["same"] == 4, rows(shown)


def test_what_is_taken_out_keeps_medical_access_and_dietary_needs_at_home():
    booking = make.BookingFactory(
        person__dietary="coeliac", person__access_needs="wheelchair", person__email="b@example.org"
    )
    content = as_csv(*attendees_table(booking.workshop)).decode()
    assert "b@example.org" in content
    assert "coeliac" not in content
    assert "wheelchair" not in content


def test_a_kit_list_makes_plain_kinds_and_their_units_and_says_where_others_are_made():
    make.TriggerFactory(name="Simple trigger")
    lines = (
        "Category,Item,Asset tag,Serial,State,Notes\n"
        "other,Gaffer tape,TAPE-1,,ready,\nother,Gaffer tape,TAPE-2,,ok,\n"
        ",simple TRIGGER,TX-1,0042,broken,Foot is loose\n"
    )
    wrong = brought(lines + "strobe,Head 900,H-1,,,\n,Gaffer tape,tape-2,,,\n", kind="kit")
    told = rows(seen(wrong))
    assert "Add a kind" in told[5][1]
    assert "stands in row 3 already" in told[6][1]
    assert imported(brought(lines, kind="kit"))["new"] == 3
    assert list(KitUnit.objects.order_by("tag").values_list("tag", "state", "kind__name")) == [
        ("TAPE-1", "ready", "Gaffer tape"),
        ("TAPE-2", "ready", "Gaffer tape"),
        ("TX-1", "fault", "Simple trigger"),
    ]
    again = brought(as_csv(*kit_table()), kind="kit")
    assert seen(again).plan.counts["same"] == 3, rows(seen(again))


def test_a_list_nobody_imports_is_forgotten_after_a_day():
    file = brought("Name\nAnn\n")
    assert forget_lists(NOW + timedelta(hours=23)) == ""
    assert "1 list " in forget_lists(NOW + timedelta(hours=25))
    assert not ImportFile.objects.filter(pk=file.pk).exists()


@pytest.mark.parametrize("kind", ["people", "kit"])
def test_every_heading_of_an_export_is_known_in_every_language(kind):
    known = headings_of(kind)
    for language, _name in settings.LANGUAGES:
        with translation.override(language):
            for name in known.fields:
                assert known.field(label(kind, name)) == name, (language, name)


def test_a_list_taken_out_in_spanish_comes_back_in_english():
    make.CameraFactory(shoe="none", owner__photo_consent="no", owner__swims="yes")
    make.UnitFactory(state="retired", notes="sold")
    with translation.override("es"):
        people, kit = as_csv(*people_table(Person.objects.all())), as_csv(*kit_table())
    assert seen(brought(people)).plan.counts["same"] == 1
    assert seen(brought(kit, kind="kit")).plan.counts["same"] == 1
