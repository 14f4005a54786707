"""The Spanish catalogue against the sources: nothing untranslated, nothing lost, nothing stale."""

import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from pathlib import Path

import polib
import pytest

from tests.conftest import need
from workshops.settings import LANGUAGES

ROOT = Path(__file__).resolve().parent.parent
MESSAGES = Path("workshops") / "locale" / "es" / "LC_MESSAGES"
CATALOGUE = ROOT / MESSAGES / "django.po"
COMPILED = ROOT / MESSAGES / "django.mo"
SOURCES = ("workshops", "planning", "templates")

# What stands for something when the sentence is said: %(name)s, %s, %d, {name}, {{ }}, a tag.
PLACE = re.compile(r"%\(\w+\)[a-z]|%[sd%]|\{\{|\}\}|\{\w*\}|</?\w+[^>]*>")

# Written alike in both languages: trade words, abbreviations, points of the compass.
ALIKE = {
    *("A4", "E", "ISO", "ISO %s", "N", "ND", "NE", "S", "SE", "WB", "hss", "min"),
    *("m, ISO 100", "Base", "base", "SET", "Set", "Sets", "set", "%(n)s set", "%(n)s sets"),
    *("flash", "no", "ratio", "receptor", "simple"),
}


@pytest.fixture(scope="module")
def spanish() -> list[polib.POEntry]:
    return list(polib.pofile(CATALOGUE))


@pytest.fixture(scope="module")
def gathered(tmp_path_factory) -> dict[tuple[str, str | None], polib.POEntry]:
    """Every message the sources mark, by text and context, with what the catalogue has for it."""
    need("xgettext")
    tree = tmp_path_factory.mktemp("tree")
    for file in ("manage.py", "pyproject.toml"):
        shutil.copy(ROOT / file, tree)
    for folder in SOURCES:
        shutil.copytree(ROOT / folder, tree / folder)
    subprocess.run(
        [sys.executable, "manage.py", "makemessages", "-l", "es"],
        cwd=tree,
        env={**os.environ, "DATA_DIR": str(tree / "var")},
        capture_output=True,
        text=True,
        check=True,
    )
    return {
        (entry.msgid, entry.msgctxt): entry for entry in polib.pofile(tree / MESSAGES / "django.po")
    }


def sentences(entry: polib.POEntry) -> list[tuple[str, str]]:
    """Return each form of a message beside its translation; one alone stands for the first."""
    if not entry.msgid_plural:
        return [(entry.msgid, entry.msgstr)]
    return [
        (entry.msgid if form == 0 else entry.msgid_plural, text)
        for form, text in sorted(entry.msgstr_plural.items())
    ]


def places(text: str) -> Counter[str]:
    return Counter(PLACE.findall(text))


def test_spanish_is_offered_beside_english():
    assert [code for code, _ in LANGUAGES] == ["en", "es"]


def test_every_message_of_the_sources_speaks_spanish(gathered):
    wanting = [
        entry.msgid
        for entry in gathered.values()
        if entry.fuzzy or not all(text.strip() for _, text in sentences(entry))
    ]
    assert not wanting, "run makemessages -l es, translate, run compilemessages"


def test_the_catalogue_keeps_no_message_the_sources_have_dropped(gathered, spanish):
    assert not [entry.msgid for entry in spanish if (entry.msgid, entry.msgctxt) not in gathered]


@pytest.mark.parametrize(
    "message",
    [
        "bag",  # planning/plan/words.py, by a gettext_noop of its own
        "“%(line)s”: this direction stands there twice; keep one.",  # by the one in typed.py
        "workshop",  # a model
        "Print set sheets (PDF)",  # the administrator's pages
    ],
)
def test_every_way_of_marking_is_gathered(gathered, message):
    assert (message, None) in gathered


def test_a_translation_says_the_figures_its_message_says(spanish):
    wrong = []
    for entry in spanish:
        for form, (message, text) in enumerate(sentences(entry)):
            lost, added = places(message) - places(text), places(text) - places(message)
            # "Hay una entrada" needs no number where the language has one word for one.
            if form == 0 and entry.msgid_plural and len(lost) <= 1 and not added:
                continue
            if lost or added:
                wrong.append((message, text))
    assert not wrong


def test_every_plural_is_filled(spanish):
    forms = polib.pofile(CATALOGUE).metadata["Plural-Forms"]
    number = int(re.search(r"nplurals=(\d)", forms)[1])
    assert not [
        entry.msgid
        for entry in spanish
        if entry.msgid_plural and sum(map(bool, entry.msgstr_plural.values())) != number
    ]


def test_no_translation_is_the_english_again(spanish):
    same = {
        message
        for entry in spanish
        for message, text in sentences(entry)
        if message.strip().lower() == text.strip().lower()
        and re.search(r"[^\W\d_]", PLACE.sub("", message))  # figures and marks alone are alike
    }
    assert same <= ALIKE


def test_a_message_and_its_translation_are_joined_alike(spanish):
    """A sentence put together of two keeps the space or the line between them."""
    assert not [
        (message, text)
        for entry in spanish
        for message, text in sentences(entry)
        if re.findall(r"^\s+|\s+$", message) != re.findall(r"^\s+|\s+$", text)
    ]


def test_the_compiled_catalogue_is_the_written_one(tmp_path):
    compiled = tmp_path / "django.mo"
    subprocess.run(
        [need("msgfmt"), "--check-format", "-o", str(compiled), str(CATALOGUE)],
        check=True,
    )
    assert messages(COMPILED) == messages(compiled)


def messages(compiled: Path) -> dict[tuple[str, str | None], tuple[str, ...]]:
    return {
        (entry.msgid, entry.msgctxt): (entry.msgstr, *entry.msgstr_plural.values())
        for entry in polib.mofile(compiled)
    }


def test_the_catalogue_says_nothing_of_the_machine_or_the_day_it_was_made():
    text = CATALOGUE.read_text(encoding="utf-8")
    assert not re.search(r"POT-Creation|PO-Revision|Last-Translator|^#: .*(:\d+|^/)", text, re.M)
