"""Backup and restore: one zip with a snapshot of the database and a manifest that proves it.

Neither the secret key nor other settings are in it: they belong to the machine. Whoever can read
the file can read every record in it, but for medical answers: those stay encrypted, and their
keys are not in it.
"""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from types import ModuleType

from django.db import DatabaseError, connection

import workshops
from workshops.archive import contents, pack, postgresql, sqlite
from workshops.archive.manifest import FORMAT, Manifest
from workshops.errors import Refused
from workshops.health import known_migrations

ENGINES = {"sqlite": sqlite, "postgresql": postgresql}
NAMES = {"sqlite": "SQLite", "postgresql": "PostgreSQL"}


def engine() -> ModuleType:
    """Return the module that knows how this site's database is copied and put back."""
    return ENGINES[connection.vendor]


def where() -> str:
    """Return which database this site uses, in words without a password."""
    return f"the {NAMES[connection.vendor]} database {engine().place()}"


def back_up(file: Path, *, at: datetime, overwrite: bool = False) -> Manifest:
    """Write a backup of the site as it is now, while it may be in use, and return its manifest.

    The file appears whole or not at all, readable by its owner only.

    Raises Refused when there is nothing to keep, the file exists already, it cannot be written,
    or what was copied does not hold together.
    """
    refuse_existing(file, overwrite=overwrite)
    with working_folder(file.parent, f".{file.name}.") as folder:
        database = folder / "database"
        found = engine().snapshot(database)
        if not found.migrations:
            raise Refused(
                f"There is nothing to keep in {where()}: are DATA_DIR and DATABASE_URL set here "
                "as they are for the server?"
            )
        manifest = Manifest(
            format=FORMAT,
            version=workshops.__version__,
            engine=connection.vendor,
            made_at=at.isoformat(timespec="seconds"),
            sha256=pack.sha256(database),
            migrations=found.migrations,
            rows=found.rows,
        )
        part = folder / "part.zip"
        pack.write(part, database, manifest)
        pack.read(part, folder / "again")  # what cannot be read back is no backup
        refuse_existing(file, overwrite=overwrite)
        part.replace(file)
    return manifest


def refuse_existing(file: Path, *, overwrite: bool) -> None:
    """Raise Refused when a file of that name must not be replaced, or is no file."""
    if file.is_dir():
        raise Refused(f"{file} is a folder: name the file to write, such as {file}/backup.zip.")
    if file.exists() and not overwrite:
        raise Refused(f"{file} exists already: name another file, or add --overwrite.")


@dataclass(frozen=True)
class Opened:
    """A backup that was read and found whole: what it says, and its database as a file."""

    manifest: Manifest
    database: Path


@contextmanager
def opened(file: Path, *, scratch: Path) -> Iterator[Opened]:
    """Yield a backup that fits this site, unpacked below ``scratch`` until the block ends.

    Raises Refused, with nothing changed, when it is no backup, is damaged, comes from the other
    engine or from a version newer than this one.
    """
    with working_folder(scratch, ".restore.") as folder:
        database = folder / "database"
        manifest = pack.read(file, database)
        if manifest.engine != connection.vendor:
            raise Refused(
                f"{file} was made from {NAMES.get(manifest.engine, manifest.engine)}, and this "
                f"site uses {NAMES[connection.vendor]}: restore it where DATABASE_URL names the "
                "same kind of database."
            )
        unknown = set(manifest.migrations) - known_migrations()
        if unknown:
            app, name = min(unknown)
            raise Refused(
                f"{file} was made by version {manifest.version}, which knows changes of the "
                f"database that this version {workshops.__version__} does not ({app} {name}"
                f"{' and others' if len(unknown) > 1 else ''}): install that version or a newer "
                "one first."
            )
        engine().check(database, manifest.rows)
        yield Opened(manifest, database)


def in_use() -> bool:
    """Return whether the site holds anything that a restore would replace.

    Raises Refused when that cannot be read.
    """
    try:
        return any(contents.records(contents.rows(connection)).values())
    except DatabaseError as reason:
        raise Refused(beyond_keeping(reason)) from None


def keep(file: Path, *, at: datetime) -> None:
    """Back up what a restore is about to replace.

    Raises Refused, saying how to go on without, when it cannot be kept.
    """
    try:
        back_up(file, at=at)
    except (DatabaseError, Refused) as reason:
        raise Refused(beyond_keeping(reason)) from None


def beyond_keeping(reason: Exception) -> str:
    """Return what to do when what is there cannot be read any more."""
    return (
        f"What is in {where()} cannot be kept: {str(reason).rstrip('.')}. Nothing was changed. If "
        "it is lost anyway, end the server, move that database aside and restore into an empty one."
    )


def put_back(backup: Opened) -> None:
    """Replace the site's database by that of a backup, with every row counted in it.

    Whenever this is interrupted, the database is the old one or the new one, never a part.

    Raises Refused, with nothing changed, when that fails.
    """
    engine().replace(backup.database, backup.manifest.rows)
    connection.close()


@contextmanager
def working_folder(parent: Path, prefix: str) -> Iterator[Path]:
    """Yield a new folder for its owner only, gone with everything in it when the block ends.

    Raises Refused when it cannot be made, or when writing in it fails.
    """
    try:
        with tempfile.TemporaryDirectory(dir=parent, prefix=prefix) as name:
            yield Path(name)
    except OSError as reason:
        raise Refused(f"{parent} cannot be written to ({reason.strerror or reason}).") from None
