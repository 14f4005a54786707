"""Snapshots of a PostgreSQL database, by its own programs."""

import os
import shutil
import subprocess
from pathlib import Path

from django.db import connection, transaction

from workshops.errors import Refused

FILE = "database.dump"
# What Django's settings hold beside libpq's own words.
NOT_LIBPQ = ("isolation_level", "server_side_binding", "pool", "assume_role")
# A site at work lets go of its tables within a request; longer means that something is stuck.
BEFORE = "SET lock_timeout = '60s';\nDROP SCHEMA public CASCADE;\nCREATE SCHEMA public;\n"


def place() -> str:
    """Return the database in words."""
    chosen = connection.settings_dict
    return f"PostgreSQL {chosen['NAME']} on {chosen['HOST'] or 'this machine'}"


def take(into: Path) -> dict[str, int]:
    """Write a snapshot of the database to a new file; return its rows by table.

    The rows are counted, and the dump is made, in one and the same exported snapshot. Raises
    Refused when pg_dump is missing or fails, or its file cannot be read back.
    """
    tool("pg_restore")  # before the work, not after
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
        cursor.execute("SELECT pg_export_snapshot()")
        (snapshot,) = cursor.fetchone()
        rows = {name: _count(cursor, name) for name in _tables(cursor)}
        _run(
            "pg_dump",
            "--format=custom",
            "--no-owner",
            "--no-privileges",
            f"--snapshot={snapshot}",
            f"--file={into}",
            _conninfo(),
        )
    check(into)
    return rows


def check(snapshot: Path) -> None:
    """Return if pg_restore can read a snapshot; raises Refused otherwise."""
    _run("pg_restore", "--list", str(snapshot))


def put_back(snapshot: Path, rows: dict[str, int]) -> None:
    """Make a snapshot the content of the database, in one transaction.

    The script of pg_restore and the count of the rows stand in the same transaction: what goes
    wrong anywhere leaves the old content. Raises Refused then.
    """
    script = snapshot.with_name("restore.sql")
    body = snapshot.with_name("body.sql")
    _run("pg_restore", "--no-owner", "--no-privileges", f"--file={body}", str(snapshot))
    with open(script, "w") as file, open(body) as restored:
        file.write(BEFORE)
        shutil.copyfileobj(restored, file)
        file.write(_counted(rows))
    connection.close()  # it would hold what the script wants to drop
    _run(
        "psql",
        "--no-psqlrc",
        "--quiet",
        "--output=/dev/null",
        "--single-transaction",
        "--set=ON_ERROR_STOP=1",
        f"--file={script}",
        _conninfo(),
    )


def tool(name: str) -> str:
    """Return the path of one of PostgreSQL's programs; raises Refused when it is not there."""
    if path := shutil.which(name):
        return path
    raise Refused(
        f"{name} is not on PATH: install PostgreSQL's client programs, of the server's version or "
        "newer (Debian: sudo apt install postgresql-client)."
    )


def _run(name: str, *arguments: str) -> None:
    """Run a program of PostgreSQL; the password goes where other users cannot see it."""
    password = connection.settings_dict["PASSWORD"]
    environment = {**os.environ, **({"PGPASSWORD": password} if password else {})}
    done = subprocess.run(
        [tool(name), *arguments], env=environment, capture_output=True, text=True, check=False
    )
    if done.returncode:
        raise Refused(f"{name} failed: {done.stderr.strip()}")


def _conninfo() -> str:
    """Return libpq's connection string of the database, without the password."""
    from psycopg.conninfo import make_conninfo  # not on a machine that never saw PostgreSQL

    chosen = connection.settings_dict
    parts = {"dbname": chosen["NAME"], "user": chosen["USER"], "host": chosen["HOST"]}
    parts |= {"port": chosen["PORT"], **chosen["OPTIONS"]}
    known = {name: value for name, value in parts.items() if value and name not in NOT_LIBPQ}
    return make_conninfo(**known)


def _tables(cursor) -> list[str]:
    cursor.execute("SELECT tablename FROM pg_tables WHERE schemaname = 'public' ORDER BY 1")
    return [name for (name,) in cursor.fetchall()]


def _count(cursor, table: str) -> int:
    cursor.execute(f'SELECT count(*) FROM public."{table}"')
    return cursor.fetchone()[0]


def _counted(rows: dict[str, int]) -> str:
    """Return SQL that fails unless every table holds as many rows as were counted."""
    checks = "".join(
        f"""  IF (SELECT count(*) FROM public."{name}") <> {count} THEN
    RAISE EXCEPTION 'the rows of {name} are not those that were counted';
  END IF;
"""
        for name, count in rows.items()
    )
    return f"\nDO $counted$ BEGIN\n{checks}END $counted$;\n" if checks else ""
