"""The whole site into one file and back: nothing lost, nothing half done, nothing overwritten."""

import base64
import hashlib
import json
import sqlite3
import threading
import zipfile
from contextlib import closing

import pytest
from django.db import connection

from tests.site.grounds import add, addresses
from tests.site.running import PATIENCE_S, ROOT
from tests.site.terminal import Terminal
from workshops import archive
from workshops.errors import Refused

# The tables of a new site come from that database.
pytestmark = [pytest.mark.django_db, pytest.mark.database]
DATABASE = {"sqlite": "database.sqlite3", "postgresql": "database.dump"}
NAMES = {"sqlite": "SQLite", "postgresql": "PostgreSQL"}


def done(finished) -> str:
    """Return what a command said that must have succeeded."""
    assert finished.returncode == 0, finished.stderr
    return finished.stdout


def refused(finished) -> str:
    """Return why a command did nothing, in words."""
    assert finished.returncode != 0, finished.stdout
    assert "Traceback" not in finished.stderr
    return finished.stderr


def members(file) -> dict[str, bytes]:
    with zipfile.ZipFile(file) as bundle:
        return {name: bundle.read(name) for name in bundle.namelist()}


@pytest.fixture(scope="module")
def kept(new_ground, request):
    """The backup of a site with one account, made by the command."""
    ground = new_ground()
    ground.add("ada@example.org")
    file = ground.site.data_dir / "kept.zip"
    said = done(ground.site.manage("backup", "kept.zip"))
    assert str(file) in said
    assert NAMES[connection.vendor] in said
    assert "SECRET_KEY" in said
    assert not list(ground.site.data_dir.glob(".kept*"))  # nothing half done is left beside it
    return file


def test_a_backup_proves_what_is_in_it_and_only_its_owner_may_read_it(kept):
    assert kept.stat().st_mode & 0o077 == 0
    found = members(kept)
    assert set(found) == {"manifest.json", DATABASE[connection.vendor]}
    manifest = json.loads(found["manifest.json"])
    assert manifest["format"] == 1
    assert manifest["engine"] == connection.vendor
    database = found[DATABASE[connection.vendor]]
    assert manifest["sha256"] == hashlib.sha256(database).hexdigest()
    assert manifest["rows"]["workshops_user"] == 1
    assert manifest["rows"]["workshops_kitkind"] == 0
    assert ["workshops", "0001_initial"] in manifest["migrations"]


TELLS = """
from django.utils import timezone
from tests import factories as make
from workshops.services.medical import keep_medical
booking = make.BookingFactory()
keep_medical(by=None, person=booking.person, workshop=booking.workshop,
             told={"rest": "Canary-of-the-quarry"}, now=booking.workshop.start_at)
"""


def test_a_backup_holds_medical_answers_encrypted_and_not_their_key(new_ground):
    ground = new_ground()
    site = ground.site
    done(site.manage("shell", "-c", TELLS, PYTHONPATH=str(ROOT)))
    done(site.manage("backup", "told.zip"))
    held = b"".join(members(site.data_dir / "told.zip").values())
    key = (site.data_dir / "field_key").read_bytes().strip()
    assert (site.data_dir / "field_key").stat().st_mode & 0o077 == 0
    assert b"Canary-of-the-quarry" not in held
    assert key not in held
    ((kept,),) = ground.ask("SELECT text FROM workshops_medicalanswers")
    assert b"Canary" not in base64.urlsafe_b64decode(kept)
    if connection.vendor == "sqlite":  # the other engine's dump is compressed
        assert kept.encode() in held
        written = b"".join(file.read_bytes() for file in site.data_dir.glob("db.sqlite3*"))
        assert b"Canary-of-the-quarry" not in written


def test_a_file_that_is_there_is_replaced_only_when_that_is_said(new_ground):
    ground = new_ground()
    taken = ground.site.data_dir / "site.zip"
    taken.write_text("notes")
    assert "exists already" in refused(ground.site.manage("backup", "site.zip"))
    assert taken.read_text() == "notes"
    done(ground.site.manage("backup", "site.zip", "--overwrite"))
    assert zipfile.is_zipfile(taken)


def test_a_restore_brings_back_what_was_and_keeps_what_was_there(new_ground):
    ground = new_ground()
    site = ground.site
    ground.add("ada@example.org", "bo@example.org")
    done(site.manage("backup", "monday.zip"))
    ground.forget()
    ground.add("cy@example.org")
    with closing(ground.connect()) as open_page:  # as a server that runs meanwhile has
        assert addresses(open_page) == ["cy@example.org"]
        assert "--yes" in refused(site.manage("restore", "monday.zip"))
        assert addresses(open_page) == ["cy@example.org"]
        said = done(site.manage("restore", "monday.zip", "--yes"))
        assert addresses(open_page) == ["ada@example.org", "bo@example.org"]
    (before,) = site.data_dir.glob("before-restore-*.zip")
    assert f"What was there is kept in {before}" in said
    done(site.manage("restore", str(before), "--yes"))
    assert ground.addresses() == ["cy@example.org"]
    assert not list(site.data_dir.glob(".restore*"))


def test_an_empty_place_takes_a_backup_without_a_question(kept, new_ground):
    ground = new_ground(empty=True)
    said = done(ground.site.manage("restore", str(kept)))
    assert "may be used" in said
    assert ground.addresses() == ["ada@example.org"]
    assert not list(ground.site.data_dir.glob("before-restore-*"))
    # The numbers of new records go on where those of the backup ended.
    ground.add("bo@example.org")
    assert len(ground.ask("SELECT DISTINCT id FROM workshops_user")) == 2


def test_there_is_nothing_to_back_up_before_there_is_a_site(new_ground):
    ground = new_ground(empty=True)
    said = refused(ground.site.manage("backup", "site.zip"))
    assert "nothing to keep" in said
    assert "DATA_DIR and DATABASE_URL" in said
    assert not (ground.site.data_dir / "db.sqlite3").exists()


def test_at_a_terminal_one_word_goes_on_and_any_other_changes_nothing(kept, new_ground):
    ground = new_ground()
    ground.add("cy@example.org")
    terminal = Terminal(ground.site, "restore", str(kept))
    terminal.answer("Type replace to go on: ", "yes\n")
    assert terminal.close() == 1
    assert "Nothing was changed" in terminal.shown
    assert ground.addresses() == ["cy@example.org"]
    terminal = Terminal(ground.site, "restore", str(kept))
    terminal.answer("Type replace to go on: ", "replace\n")
    assert terminal.close() == 0
    assert ground.addresses() == ["ada@example.org"]


def test_a_backup_taken_while_others_write_is_of_one_moment(new_ground):
    ground = new_ground()
    begun, ended = threading.Event(), threading.Event()

    def write():
        with closing(ground.connect()) as database:
            number = 0
            while not ended.is_set():
                number += 1  # always two in one transaction: half of a pair would be no moment
                add(database, f"left{number}@example.org", f"right{number}@example.org")
                begun.set()

    writer = threading.Thread(target=write)
    writer.start()
    try:
        assert begun.wait(PATIENCE_S)
        done(ground.site.manage("backup", "busy.zip"))
    finally:
        ended.set()
        writer.join()
    rows = json.loads(members(ground.site.data_dir / "busy.zip")["manifest.json"])["rows"]
    assert rows["workshops_user"] > 0
    assert rows["workshops_user"] % 2 == 0


def written(file, manifest: dict, database: bytes, *, hashed: bool = True):
    """Return a file like a backup, with a manifest and a database as given."""
    if hashed:
        manifest = {**manifest, "sha256": hashlib.sha256(database).hexdigest()}
    with zipfile.ZipFile(file, "w") as bundle:
        bundle.writestr("manifest.json", json.dumps(manifest))
        bundle.writestr(DATABASE.get(manifest["engine"], "database"), database)
    return file


def reason(file, tmp_path) -> str:
    with pytest.raises(Refused) as refusal, archive.opened(file, scratch=tmp_path):
        pass
    assert not list(tmp_path.glob(".restore*"))
    return str(refusal.value)


def other_engine() -> str:
    return "postgresql" if connection.vendor == "sqlite" else "sqlite"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda _: {"application": "another"}, "its manifest is not one of this application"),
        (lambda _: {"format": 2}, "its layout is number 2 and this version reads 1"),
        (lambda _: {"rows": None}, "its manifest is not one of this application"),
        (lambda _: {"engine": other_engine()}, "where DATABASE_URL names the same kind"),
        (
            lambda found: {
                "version": "9.0",
                "migrations": [*found["migrations"], ["workshops", "9999_from_later"]],
            },
            "made by version 9.0, which knows changes of the database that this version",
        ),
    ],
    ids=["another application", "a later layout", "no counts", "the other engine", "a later one"],
)
def test_a_backup_that_does_not_fit_is_refused_in_words(kept, tmp_path, change, words):
    found = members(kept)
    manifest = json.loads(found["manifest.json"])
    file = written(
        tmp_path / "other.zip", manifest | change(manifest), found[DATABASE[connection.vendor]]
    )
    assert words in reason(file, tmp_path)


def test_a_damaged_backup_is_refused_in_words(kept, tmp_path):
    found = members(kept)
    manifest, database = json.loads(found["manifest.json"]), found[DATABASE[connection.vendor]]
    half = tmp_path / "half.zip"
    half.write_bytes(kept.read_bytes()[: kept.stat().st_size // 2])
    assert "is damaged" in reason(half, tmp_path)
    notes = tmp_path / "notes.zip"
    notes.write_text("not a backup")
    assert "is no backup of this application" in reason(notes, tmp_path)
    bent = bytearray(database)
    bent[len(bent) // 2] ^= 1
    file = written(tmp_path / "bent.zip", manifest, bytes(bent), hashed=False)
    assert "its database is not the one that was written" in reason(file, tmp_path)
    assert "cannot be read (No such file" in reason(tmp_path / "none.zip", tmp_path)


def test_a_database_that_does_not_hold_together_is_not_restored(kept, tmp_path):
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL checks what it restores by its own rules")
    found = members(kept)
    manifest = json.loads(found["manifest.json"])
    bent = tmp_path / "bent.sqlite3"
    bent.write_bytes(found["database.sqlite3"])
    with closing(sqlite3.connect(bent)) as database:
        database.execute("INSERT INTO workshops_user_groups (user_id, group_id) VALUES (77, 78)")
        database.commit()
    file = written(tmp_path / "orphans.zip", manifest, bent.read_bytes())
    assert "rows point at nothing in workshops_user_groups" in reason(file, tmp_path)
    less = {**manifest, "rows": manifest["rows"] | {"workshops_user": 5}}
    file = written(tmp_path / "less.zip", less, found["database.sqlite3"])
    assert "not those counted when it was made" in reason(file, tmp_path)


@pytest.mark.postgres
def test_rows_that_are_not_those_of_the_manifest_leave_the_old_content(kept, new_ground, tmp_path):
    found = members(kept)
    manifest = json.loads(found["manifest.json"])
    less = {**manifest, "rows": manifest["rows"] | {"workshops_user": 5}}
    file = written(tmp_path / "less.zip", less, found["database.dump"])
    ground = new_ground()
    ground.add("cy@example.org")
    said = refused(ground.site.manage("restore", str(file), "--yes"))
    assert "the rows of workshops_user are not those counted" in said
    assert ground.addresses() == ["cy@example.org"]


@pytest.mark.postgres
def test_without_the_programs_of_postgresql_the_refusal_says_what_to_install(new_ground):
    said = refused(new_ground().site.manage("backup", "site.zip", PATH="/nowhere"))
    assert "pg_dump and pg_restore must be on PATH: install PostgreSQL's client programs" in said
