"""Backup and restore while the site works, and when they are killed half way."""

import contextlib
import json
import signal
import subprocess
import sys
import threading
import time
import zipfile
from contextlib import closing

import pytest

from tests.site.grounds import Ground, add
from tests.site.running import PATIENCE_S, ROOT
from workshops import archive

# The tables of a new site come from that database.
pytestmark = [pytest.mark.django_db, pytest.mark.database, pytest.mark.slow]
BACKUPS = 20
KILLS = 12


@contextlib.contextmanager
def pairs(ground: Ground):
    """Add two accounts a transaction, as fast as they are taken, until the block ends."""
    ended, faults = threading.Event(), []

    def write():
        try:
            with closing(ground.connect()) as database:
                number = 0
                while not ended.is_set():
                    number += 1
                    add(database, f"left{number}@example.org", f"right{number}@example.org")
        except Exception as fault:
            faults.append(fault)

    writer = threading.Thread(target=write)
    writer.start()
    try:
        yield
    finally:
        ended.set()
        writer.join()
    assert not faults  # a backup must not make the site fail


def test_every_one_of_many_backups_under_load_is_whole_and_of_one_moment(new_ground, tmp_path):
    ground = new_ground()
    counts = []
    with pairs(ground):
        for number in range(BACKUPS):
            done = ground.site.manage("backup", f"{number}.zip")
            assert done.returncode == 0, done.stderr
    for number in range(BACKUPS):
        file = ground.site.data_dir / f"{number}.zip"
        with archive.opened(file, scratch=tmp_path) as backup:
            counts.append(backup.manifest.rows["workshops_user"])
    assert all(count % 2 == 0 for count in counts)
    assert counts == sorted(counts)
    assert counts[-1] > counts[0]


def killed(ground: Ground, how: int, after_s: float, *words: str) -> bool:
    """Start a command and end it after so long; return whether it was still at work."""
    process = subprocess.Popen(
        [sys.executable, str(ROOT / "manage.py"), *words],
        cwd=ground.site.data_dir,
        env=ground.site.variables,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        process.wait(after_s)
    except subprocess.TimeoutExpired:
        process.send_signal(how)
        process.wait(PATIENCE_S)
        return True
    return False


def moments(ground: Ground, *words: str) -> list[float]:
    """Return instants from the start of a command to its end, evenly spread."""

    begun = time.monotonic()
    assert ground.site.manage(*words).returncode == 0
    whole = time.monotonic() - begun
    return [whole * (number + 1) / (KILLS + 1) for number in range(KILLS)]


def test_a_restore_killed_at_any_moment_leaves_the_old_or_the_new(new_ground):
    ground = new_ground()
    old, new = [["a@example.org"], [f"n{number:03}@example.org" for number in range(300)]]
    ground.add(*new)
    assert ground.site.manage("backup", "new.zip").returncode == 0
    ground.forget()
    ground.add(*old)
    assert ground.site.manage("backup", "old.zip").returncode == 0
    seen = set()
    for moment in moments(ground, "restore", "old.zip", "--yes"):
        killed(ground, signal.SIGKILL, moment, "restore", "new.zip", "--yes")
        found = ground.addresses()
        assert found in (old, new)
        seen.add(len(found))
        assert ground.site.manage("backup", "after.zip", "--overwrite").returncode == 0  # checked
        assert ground.site.manage("restore", "old.zip", "--yes").returncode == 0
    assert seen == {1, 300}  # some were killed before the change, some after it


def test_a_backup_that_was_ended_leaves_no_file_and_harms_none(new_ground):
    ground = new_ground()
    ground.add("ada@example.org")
    file = ground.site.data_dir / "site.zip"
    assert ground.site.manage("backup", "site.zip").returncode == 0
    before = file.read_bytes()
    ended = 0
    for moment in moments(ground, "backup", "other.zip"):
        ended += killed(ground, signal.SIGTERM, moment, "backup", "site.zip", "--overwrite")
        assert not list(ground.site.data_dir.glob(".site.zip*"))
        assert zipfile.is_zipfile(file)
        if file.read_bytes() != before:  # it was quicker: then it is a whole new one
            with zipfile.ZipFile(file) as bundle:
                assert bundle.testzip() is None
    assert ended


def test_a_restore_under_the_running_site_is_seen_by_its_next_page(new_ground):
    ground = new_ground()
    site = ground.site
    ground.add("ada@example.org")
    assert site.manage("backup", "monday.zip").returncode == 0
    ground.forget()
    site.start()
    try:
        with pairs(ground):
            restored = site.manage("restore", "monday.zip", "--yes")
            assert site.get("/healthz").json["status"] == "ok"
        assert restored.returncode == 0, restored.stderr
        assert "ada@example.org" in ground.addresses()
        assert site.get("/healthz").json["status"] == "ok"
        assert site.get("/log-in/").status == 200
        assert site.end() == 0
    finally:
        site.kill()


def test_a_backup_of_an_older_version_is_brought_to_this_one(new_ground):
    older = new_ground(empty=True)
    first = older.site.manage("migrate", "workshops", "0001_initial")
    assert first.returncode == 0, first.stderr
    older.add("ada@example.org")
    assert older.site.manage("backup", "older.zip").returncode == 0
    with zipfile.ZipFile(older.site.data_dir / "older.zip") as bundle:
        manifest = json.loads(bundle.read("manifest.json"))
    assert not [name for name in manifest["rows"] if name.startswith("planning_")]
    newer = new_ground()
    newer.add("cy@example.org")
    restored = newer.site.manage("restore", str(older.site.data_dir / "older.zip"), "--yes")
    assert restored.returncode == 0, restored.stderr
    assert newer.addresses() == ["ada@example.org"]
    check = newer.site.manage("migrate", "--check")
    assert check.returncode == 0, check.stdout
    assert newer.ask("SELECT COUNT(*) FROM planning_plannedset") == [(0,)]
