"""Copying and putting back an SQLite database that may be in use.

Both ways in one step of SQLite's own backup: it sees one committed state, and what it writes is
one transaction, so that other processes find the old database or the new one.
Source: sqlite.org, "SQLite Backup API" and "Atomic Commit In SQLite".
"""

import sqlite3
import time
from pathlib import Path

from django.db import DatabaseError, connection
from django.db.backends.base.base import BaseDatabaseWrapper

from workshops.archive.contents import Contents, contents
from workshops.errors import Refused

PATIENCE_S = 60  # for others to let go of the database


def place() -> str:
    """Return where the database is, in words."""
    return str(connection.settings_dict["NAME"])


def snapshot(into: Path) -> Contents:
    """Copy the database as it is now into a new file, check the copy and return what it holds.

    Raises Refused when the copy does not hold together.
    """
    if not Path(place()).exists():
        return Contents({}, [])
    source, copy = _of(place()), _of(into)
    try:
        _copy(source, copy)
        with copy.cursor() as cursor:
            cursor.execute("PRAGMA journal_mode=DELETE")  # one file, without companions
        _check(copy)
        return contents(copy)
    except DatabaseError as reason:
        raise Refused(f"{place()} cannot be copied: {reason}.") from None
    finally:
        copy.close()
        source.close()


def check(database: Path, rows: dict[str, int]) -> None:
    """Return if an unpacked database holds together and has those rows. Raises Refused if not."""
    copy = _of(database)
    try:
        _check(copy)
        if contents(copy).rows != rows:
            raise Refused("The rows in the backup are not those counted when it was made.")
    except DatabaseError as reason:
        raise Refused(f"The database in the backup is damaged ({reason}).") from None
    finally:
        copy.close()


def replace(database: Path, rows: dict[str, int]) -> None:
    """Put an unpacked database in the place of the site's, whoever has that open.

    Its rows were counted by ``check``; a copy page by page has the same.

    Raises Refused, with nothing changed, when others will not let go of it.
    """
    source, live = _of(database), _of(place())
    connection.close()
    try:
        _copy(source, live)
    except DatabaseError as reason:
        raise Refused(f"{place()} cannot be replaced: {reason}. Nothing was changed.") from None
    finally:
        live.close()
        source.close()


def _of(file: Path | str) -> BaseDatabaseWrapper:
    """A connection of Django's, for constraints may use Django's functions.

    It sets nothing in the file, and waits as long for a busy one as the copy itself does.
    """
    found = connection.copy()
    found.settings_dict["NAME"] = str(file)
    found.settings_dict["OPTIONS"] = {"timeout": PATIENCE_S}
    return found


def _check(database: BaseDatabaseWrapper) -> None:
    with database.cursor() as cursor:
        faults = [str(row[0]) for row in cursor.execute("PRAGMA integrity_check")]
        if faults != ["ok"]:
            raise Refused(f"The database is damaged: {'; '.join(faults[:3])}.")
        orphans = {str(row[0]) for row in cursor.execute("PRAGMA foreign_key_check")}
        if orphans:
            raise Refused(
                f"The database is damaged: rows point at nothing in {', '.join(sorted(orphans))}."
            )


def _copy(source: BaseDatabaseWrapper, target: BaseDatabaseWrapper) -> None:
    source.ensure_connection()
    target.ensure_connection()
    until = time.monotonic() + PATIENCE_S

    def still_waiting(status: int, left: int, pages: int) -> None:
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED) and time.monotonic() > until:
            raise Refused(f"{place()} is kept busy by others: end the server and try again.")

    with source.wrap_database_errors:
        source.connection.backup(target.connection, progress=still_waiting, sleep=0.05)
