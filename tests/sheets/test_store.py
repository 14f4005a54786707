"""Finished papers that are kept: the same ones for the same inputs, and never a bad one."""

import os
import stat
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest

from planning.plan.inputs import AttendeeInputs
from planning.printing import Order, bytes_of, sheet
from planning.sheets import pdf, store, worker
from planning.sheets.options import PrintOptions
from tests.sheets.example import slate_wall

A4 = PrintOptions(house="Slate & Tide")


@pytest.fixture
def folder(settings, tmp_path):
    settings.PRINTED_DIR = tmp_path / "printed"
    return settings.PRINTED_DIR


def never() -> bytes:
    raise AssertionError("it is there already: nothing is to be made")


def test_an_unchanged_set_gives_the_stored_bytes_without_printing(folder, monkeypatch):
    first = bytes_of([sheet(Order(slate_wall(), A4))], A4)
    monkeypatch.setattr(worker.POOL, "run", lambda *_arguments, **_more: never())
    assert bytes_of([sheet(Order(slate_wall(), A4))], A4) == first
    assert pdf.mark_in(first) == Order(slate_wall(), A4).mark


@pytest.mark.parametrize(
    ("inputs", "options"),
    [
        (slate_wall(notes="Another note."), A4),
        (slate_wall(camera_distance_m=3.2000000000000006), A4),
        (slate_wall(attendees=(AttendeeInputs("Ines", None),)), A4),
        (slate_wall(inputs_changed_at=None), A4),
        (slate_wall(), replace(A4, language="es")),
        (slate_wall(), replace(A4, paper="letter")),
        (slate_wall(), replace(A4, house="")),
    ],
)
def test_whatever_changes_the_mark_is_another(inputs, options):
    assert Order(inputs, options).mark != Order(slate_wall(), A4).mark


def test_another_version_prints_anew(monkeypatch):
    before = store.mark("paper", "x")
    monkeypatch.setattr(store, "_version", lambda: "another")
    assert store.mark("paper", "x") != before


def test_what_is_kept_is_for_its_owner_only(folder):
    os.umask(os.umask(0o022))  # whatever the umask is
    store.kept("a", lambda: b"content")
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert [stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()] == [0o600]


@pytest.mark.parametrize(
    "damage", [lambda whole: b"", lambda whole: whole[:-1], lambda whole: whole[:-1] + b"?"]
)
def test_what_the_disk_has_damaged_is_made_anew(folder, damage):
    store.kept("a", lambda: b"content")
    (path,) = folder.iterdir()
    path.write_bytes(damage(path.read_bytes()))
    assert store.kept("a", lambda: b"content") == b"content"
    assert store.kept("a", never) == b"content"


def test_what_fails_is_not_kept(folder):
    def fails():
        raise worker.SheetFailed("no")

    with pytest.raises(worker.SheetFailed):
        store.kept("a", fails)
    assert store.kept("a", lambda: b"content") == b"content"


def test_where_nothing_can_be_kept_the_paper_is_there_all_the_same(settings, tmp_path, caplog):
    (tmp_path / "file").write_text("in the way")
    settings.PRINTED_DIR = tmp_path / "file"
    assert store.kept("a", lambda: b"content") == b"content"
    assert "could not be kept" in caplog.text


def test_many_at_once_read_whole_papers_only(folder):
    contents = [bytes([number]) * 100_000 for number in range(8)]

    def print_one(content):
        for number in range(12):
            assert store.kept(f"{number % 3}", lambda: content) in contents

    with ThreadPoolExecutor(8) as threads:
        list(threads.map(print_one, contents))
    assert len(list(folder.iterdir())) == 3


def test_what_nobody_asked_for_in_a_week_is_deleted_and_the_rest_is_bounded(folder, monkeypatch):
    for name in "abcd":
        store.kept(name, lambda: bytes(1000))
    now = time.time()
    for days, name in enumerate("abcd"):
        os.utime(folder / name, (now, now - (days * 3 - 1) * 24 * 60 * 60))
    store.tidy(folder)  # d is eight days old
    assert {path.name for path in folder.iterdir()} == {"a", "b", "c"}
    monkeypatch.setattr(store, "KEPT_BYTES", 2 * (1000 + store.DIGEST_BYTES))
    store.tidy(folder)
    assert {path.name for path in folder.iterdir()} == {"a", "b"}


def test_what_is_asked_for_again_stays(folder):
    store.kept("a", lambda: b"content")
    os.utime(folder / "a", (0, 0))
    store.kept("a", never)
    store.tidy(folder)
    assert (folder / "a").exists()
