"""Snapshots of an SQLite database, taken and put back while the site is in use."""

import sqlite3
from contextlib import closing
from pathlib import Path

from django.db import connection

from workshops.errors import Refused

FILE = "database.sqlite3"
WAIT_S = 60.0  # for somebody else's long transaction


def place() -> str:
    """Return the database in words."""
    return f"SQLite in {connection.settings_dict['NAME']}"


def take(into: Path) -> dict[str, int]:
    """Write a snapshot of the database to a new file; return its rows by table.

    One step of SQLite's backup interface holds the read lock for all of it, so the copy is of
    one moment and no writer can make it begin again. Raises Refused when it is not sound.
    """
    with closing(_open(connection.settings_dict["NAME"])) as live, closing(_open(into)) as copy:
        live.backup(copy, pages=-1)
        copy.execute("PRAGMA journal_mode=DELETE")  # one file, whatever the original keeps beside
    return check(into)


def check(snapshot: Path) -> dict[str, int]:
    """Return the rows of a snapshot by table.

    Raises Refused when it is damaged.
    """
    try:
        with closing(_open(snapshot)) as database:
            faults = database.execute("PRAGMA integrity_check").fetchall()
            if faults != [("ok",)]:
                raise Refused(f"The database is damaged: {faults[0][0]}")
            if loose := database.execute("PRAGMA foreign_key_check").fetchall():
                raise Refused(f"The database is damaged: {len(loose)} rows in it point nowhere.")
            return {name: _count(database, name) for name in _tables(database)}
    except sqlite3.DatabaseError as reason:
        raise Refused(f"The database is damaged: {reason}.") from None


def put_back(snapshot: Path, rows: dict[str, int]) -> None:
    """Make a snapshot the content of the live database, in one transaction of SQLite.

    Connections that are open see the new content at their next question; after a power cut the
    next one to open the file finds the old content whole. Raises Refused, nothing changed, when
    the snapshot is damaged or its rows are not those counted when it was taken.
    """
    if check(snapshot) != rows:
        raise Refused("The rows in the backup are not those counted then: nothing is changed.")
    with (
        closing(_open(snapshot)) as source,
        closing(_open(connection.settings_dict["NAME"])) as live,
    ):
        live.execute("PRAGMA synchronous=FULL")
        source.backup(live, pages=-1)


def _open(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(path, timeout=WAIT_S, isolation_level=None)


def _tables(database: sqlite3.Connection) -> list[str]:
    rows = database.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' "
        "ORDER BY name"
    )
    return [name for (name,) in rows]


def _count(database: sqlite3.Connection, table: str) -> int:
    return database.execute(f'SELECT count(*) FROM "{table}"').fetchone()[0]
