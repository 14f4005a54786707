"""The Spanish catalogue: complete, its figures kept, its compiled file the one that is read.

Messages are collected anew from a copy of the sources, so a word marked today and not yet
translated fails here. polib reads the file; what pages read is asked of Python's own gettext.
"""

import ast
import gettext
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import polib
import pytest

from tests.conftest import need

ROOT = Path(__file__).resolve().parents[1]
SPANISH = Path("workshops/locale/es/LC_MESSAGES")
PLACES = re.compile(r"%\(\w+\)[sd]|%[sd%]|\{\w*\}")
MARKERS = ("_", "gettext", "gettext_noop", "ngettext", "pgettext", "pgettext_lazy")
ALIKE = {  # words that are the same in both languages of the trade
    *("set", "Set", "SET", "Sets", "%(n)s sets", "flash", "ratio", "receptor", "simple"),
    *("base", "Base", "no", "min", "am", "pm", "A4", "ISO", "ISO %s", "m, ISO 100", "ND", "WB"),
    *(
        "CTO",
        "PDF",
        "sets",
        "ISO %(iso)s",
        "Base %(base)s, %(source)s.",
        "%(hours)d h %(minutes)02d",
    ),
    *(
        "%(spans)s, %(minutes)s min",
        "set %(number)s",
        "%(n)s set",
        "%(minutes)s min",
        "h",
        "s",
        "f/",
    ),
    *("Set %(number)s: %(title)s", "set %(number)s, %(time)s"),
    "set %(number)s, %(light)s: %(shares)s",
    *("N", "NE", "E", "SE", "S", "Sensor", "firmware", "Firmware"),
    *("UTF-8", "UTF-16", "UTF-16, little endian", "UTF-16, big endian", "UTF-32", "Latin 1"),
}


@pytest.fixture(name="collected", scope="module")
def collected_from_a_copy(tmp_path_factory) -> polib.POFile:
    """The catalogue as makemessages brings it up to date with the sources of this moment."""
    for tool in ("xgettext", "msguniq", "msgmerge", "msgattrib"):
        need(tool)
    copy = tmp_path_factory.mktemp("sources")
    leave = shutil.ignore_patterns("__pycache__", "static")
    for part in ("planning", "templates", "workshops"):
        shutil.copytree(ROOT / part, copy / part, ignore=leave)
    surroundings = {
        **os.environ,
        "DATA_DIR": str(copy / "var"),
        "DJANGO_SETTINGS_MODULE": "workshops.settings",
        "PYTHONPATH": str(copy),
    }
    command = [sys.executable, "-m", "django", "makemessages", "-l", "es"]
    told = subprocess.run(command, cwd=copy, env=surroundings, capture_output=True, text=True)
    assert told.returncode == 0, told.stderr
    return polib.pofile(copy / SPANISH / "django.po")


@pytest.fixture(name="kept", scope="module")
def kept_in_the_repository() -> polib.POFile:
    return polib.pofile(ROOT / SPANISH / "django.po")


def pairs(catalogue: polib.POFile):
    """Yield each message with each of its translations."""
    for entry in catalogue:
        if entry.msgid_plural:
            yield from ((entry.msgid_plural, text) for text in entry.msgstr_plural.values())
        else:
            yield entry.msgid, entry.msgstr


def test_every_message_is_translated(collected):
    assert not [entry.msgid for entry in collected if not entry.translated() or entry.fuzzy]
    assert all(text.strip() for _message, text in pairs(collected))


def test_no_translation_outlives_its_message(collected, kept):
    assert {(entry.msgctxt, entry.msgid) for entry in kept} <= {
        (entry.msgctxt, entry.msgid) for entry in collected
    }


def test_no_message_of_the_sources_hides_from_the_collector(collected):
    """Words inside an f-string are passed over, and so is gettext under a name of our own."""
    found = {entry.msgid for entry in collected}
    marked = set()
    for part in ("planning", "workshops"):
        for path in (ROOT / part).rglob("*.py"):
            nodes = list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
            markers = {*MARKERS, *renamed(nodes)}
            for node in nodes:
                if isinstance(node, ast.Call) and getattr(node.func, "id", "") in markers:
                    words = node.args[1 if node.func.id.startswith("pgettext") else 0 :]
                    if words and isinstance(words[0], ast.Constant):
                        marked.add(words[0].value)
    assert not marked - found


def renamed(nodes: list[ast.AST]) -> set[str]:
    """Return the names a module gives to functions it imports from Django's translation."""
    return {
        name.asname
        for node in nodes
        if isinstance(node, ast.ImportFrom) and node.module == "django.utils.translation"
        for name in node.names
        if name.asname
    }


def test_sentences_of_the_plan_are_collected(collected):
    """They are marked by a gettext_noop of the plan's own, called ``_`` there."""
    entry = collected.find("no forecast recorded for this set.")
    assert [place for place, _line in entry.occurrences] == ["planning/plan/wellbeing.py"]


def test_every_figure_of_a_message_is_in_its_translation(kept):
    for entry in kept:
        if not entry.msgid_plural:
            assert sorted(PLACES.findall(entry.msgstr)) == sorted(PLACES.findall(entry.msgid))
            continue
        assert all(entry.msgstr_plural.values()), entry.msgid
        one, *more = entry.msgstr_plural.values()
        wanted = set(PLACES.findall(entry.msgid_plural))
        assert set(PLACES.findall(one)) <= wanted  # "one" may say it in words
        assert all(set(PLACES.findall(text)) == wanted for text in more), entry.msgid


def test_halves_of_a_sentence_are_joined_as_in_english(kept):
    for message, text in pairs(kept):
        assert re.findall(r"^\s+|\s+$", text) == re.findall(r"^\s+|\s+$", message)


def test_a_translation_says_it_in_spanish(kept):
    for message, text in pairs(kept):
        if re.search(r"[A-Za-z]", PLACES.sub("", message)) and message not in ALIKE:
            assert text != message


def test_what_pages_read_is_what_the_translators_wrote(kept):
    with (ROOT / SPANISH / "django.mo").open("rb") as file:
        read = gettext.GNUTranslations(file)
    for entry in kept:
        if entry.msgid_plural:
            for number, form in ((1, 0), (2, 2)):
                assert (
                    read.ngettext(entry.msgid, entry.msgid_plural, number)
                    == (entry.msgstr_plural[form])
                )
        elif entry.msgctxt:
            assert read.pgettext(entry.msgctxt, entry.msgid) == entry.msgstr
        else:
            assert read.gettext(entry.msgid) == entry.msgstr
    compiled = polib.mofile(ROOT / SPANISH / "django.mo")
    assert {(entry.msgctxt, entry.msgid) for entry in compiled} == {
        (entry.msgctxt, entry.msgid) for entry in kept
    }


def test_the_catalogue_changes_only_where_a_message_does(collected, kept):
    for catalogue in (collected, kept):
        assert not {"POT-Creation-Date", "PO-Revision-Date", "Last-Translator"} & set(
            catalogue.metadata
        )
        assert all(not line for entry in catalogue for _place, line in entry.occurrences)
        assert not catalogue.obsolete_entries()
