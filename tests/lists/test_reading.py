"""A text as rows: RFC 4180, and what else spreadsheets write."""

import pytest

from workshops.lists import headings
from workshops.lists.reading import delimiters, table
from workshops.typed import NotUnderstood

knows = headings.people.knows


def rows(text: str, delimiter: str = ",") -> list[tuple[str, ...]]:
    return [row.cells for row in table(text, delimiter, knows).rows]


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        # RFC 4180 section 2, rules 1, 2, 5, 6 and 7, after a row of headings (rule 3).
        ("a,b,c\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")]),
        ("a,b,c\r\naaa,bbb,ccc\r\nzzz,yyy,xxx", [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")]),
        (
            'a,b,c\r\n"aaa","bbb","ccc"\r\nzzz,yyy,xxx',
            [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")],
        ),
        ('a,b,c\r\n"aaa","b \r\nbb","ccc"\r\n', [("aaa", "b \r\nbb", "ccc")]),
        ('a,b,c\r\n"aaa","b""bb","ccc"\r\n', [("aaa", 'b"bb', "ccc")]),
        # Line ends of other systems, blank lines, short rows.
        ("a,b\rc,d\r", [("c", "d")]),
        ("a,b\n\n,\nc\n", [("c",)]),
    ],
)
def test_rows_are_read_as_the_standard_says(text, cells):
    assert rows(text) == cells


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_the_delimiter_is_told_by_the_headings(delimiter):
    text = delimiter.join(("Name", "E-mail", "Phone")) + "\nNúñez, Ana; Dr" + delimiter * 2 + "\n"
    found = delimiters(text, knows)
    assert (found.best, found.certain) == (delimiter, True)


def test_two_delimiters_that_both_part_the_rows_are_asked_about():
    found = delimiters("Who,what;when\na,b;c\n", knows)
    assert not found.certain
    assert set(found.choices) == {",", ";"}


def test_a_first_line_that_names_the_delimiter_is_obeyed():
    """Common practice of spreadsheets, no source."""
    text = "sep=;\r\nName;E-mail\r\nAnn, of all;a@example.org\r\n"
    assert delimiters(text, knows).best == ";"
    assert rows(text, ";") == [("Ann, of all", "a@example.org")]


def test_headings_may_stand_below_a_title_and_rows_keep_their_numbers():
    found = table("Our list 2027;;\n;;\nNombre;Correo;\nAna;a@example.org;\n", ";", knows)
    assert found.header == ("Nombre", "Correo")
    assert (found.above, found.rows[0].number) == (1, 4)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "empty"),
        (" \n\n", "empty"),
        ("Name,Phone\n", "no row"),
        ('Name,Phone\nAnn,1\n"Bea,2\nCyd,3\n', "line 3 is never closed"),
        ("Name\n" + "x\n" * 5001, "at most 5000"),
        ("Name\n" + "x" * 200_000 + "\n", "Line 2"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(text, told):
    with pytest.raises(NotUnderstood, match=told):
        table(text, ",", knows)


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("NAME", "name"),
        ("E-Mail", "email"),
        ("e_mail address", "email"),
        ("Correo electrónico", "email"),
        ("Teléfono", "phone"),
        ("TELEFONO MOVIL", "phone"),
        ("Phone (mobile)", "phone"),
        ("D.O.B.", "birth_date"),
        ("Fecha de nacimiento", "birth_date"),
        ("Emergency contact", "emergency_name"),
        ("Teléfono de emergencia", "emergency_phone"),
        ("Sync speed", "sync_s"),
        ("Cámara", "camera"),
        ("Pets", ""),
    ],
)
def test_headings_are_known_in_two_languages_whatever_case_and_accents(heading, field):
    assert headings.people.field(heading) == field


def test_a_name_beside_a_surname_is_the_first_name():
    assert headings.people.columns(["Nombre", "Apellidos", "Mail", "Email"]) == (
        "first_name", "last_name", "email", "",
    )  # fmt: skip


def test_a_row_of_a_million_delimiters_is_measured_at_once():
    # Cut off one by one, each a copy of the rest, they would take an hour.
    text = "name" + "," * 1_000_000 + "\nAnn,\n"
    read = table(text, ",", lambda row: "name" in row)
    assert (read.header, read.rows[0].cells[:1]) == (("name",), ("Ann",))
