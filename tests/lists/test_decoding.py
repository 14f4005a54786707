"""Bytes of a stranger's file: which letters they are, and what is no text at all."""

import pytest

from workshops.lists.decoding import decoded, encodings
from workshops.typed import NotUnderstood

TEXT = "Nombre;Correo\r\nJosé Núñez;j@example.org\r\nZoë Brontë;z@example.org\r\n"


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32"]
)
def test_every_unicode_encoding_is_told_by_its_bytes(encoding):
    """The bytes are those of Python's own codecs."""
    content = TEXT.encode(encoding)
    found = encodings(content)
    assert found.certain
    assert decoded(content, found.best) == TEXT


@pytest.mark.parametrize("encoding", ["cp1252", "mac-roman", "cp850"])
def test_one_byte_letters_are_asked_about_with_the_right_ones_first(encoding):
    found = encodings(TEXT.encode(encoding))
    assert not found.certain
    assert found.best == encoding
    assert "Núñez" in found.choices[0].sample
    shown = [one.sample for one in found.choices]
    assert len(set(shown)) == len(shown)  # ways that look alike are offered once


@pytest.mark.parametrize(
    "text",
    [
        "Sean O’Brien", "Škoda", "Tomaš", "€120", "paid – in cash", "“Ann” Lee", "Œuvre",
        "L’Haÿ", "Ann’s camera", "Straße", "Møller", "wait…", "Marcel·lí",
    ],
)  # fmt: skip
def test_windows_letters_come_before_an_old_macintoshs_where_both_read(text):
    """The bytes are those of Python's own codecs; the usual encoding wins where both make sense."""
    found = encodings(f"Name;Notes\r\n{text};x\r\n".encode("cp1252"))
    assert found.best == "cp1252"
    assert "mac-roman" in [one.encoding for one in found.choices]


@pytest.mark.parametrize(
    ("text", "encoding"),
    [
        ("María Martín", "mac-roman"), ("Jürgen Müller", "mac-roman"), ("Håkan", "mac-roman"),
        ("Peña", "mac-roman"), ("Bjørn", "mac-roman"), ("Öberg", "mac-roman"), ("René", "cp850"),
        ("Müller", "cp850"),
    ],
)  # fmt: skip
def test_other_letters_come_first_where_windows_makes_no_words_of_them(text, encoding):
    assert encodings(f"Name;Notes\r\n{text};x\r\n".encode(encoding)).best == encoding


def test_a_mark_of_utf_8_before_other_letters_is_no_letter():
    content = b"\xef\xbb\xbf" + TEXT.encode("cp1252")
    found = encodings(content)
    assert not found.certain
    assert decoded(content, found.best) == TEXT


def test_plain_letters_are_no_question():
    assert encodings(b"Name,Phone\r\nAnn,12345\r\n").certain


@pytest.mark.parametrize(
    ("content", "told"),
    [
        # APPNOTE.TXT 4.3.7: a local file header of ZIP, which XLSX and ODS are.
        (b"PK\x03\x04\x14\x00\x06\x00", "workbook"),
        # [MS-CFB] 2.2: header signature of the compound files that XLS are.
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "old kind"),
        (b"%PDF-1.7\n", "PDF"),
        (b"Name,Phone\r\nA\x00nn,1\xff\r\n", "NUL"),
    ],
)
def test_what_is_no_text_is_refused_with_what_to_do(content, told):
    with pytest.raises(NotUnderstood, match="CSV") as refusal:
        encodings(content)
    assert told in str(refusal.value)


def test_bytes_that_are_none_of_an_encoding_are_refused_in_words():
    with pytest.raises(NotUnderstood, match="choose another"):
        decoded(b"\xff\xfe\xff", "utf-8")
