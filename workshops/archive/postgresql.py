"""Copying and putting back a PostgreSQL database that may be in use, by its own programs.

The dump is taken from the snapshot in which the rows are counted; what is put back is one
transaction. Source: PostgreSQL manual, pg_dump (--snapshot), pg_restore, psql
(--single-transaction).
"""

import os
import shutil
import subprocess
from pathlib import Path

from django.db import connection
from psycopg import pq
from psycopg.conninfo import make_conninfo

from workshops.archive.contents import Contents, contents
from workshops.errors import Refused

# A site at work lets go of its tables within a request; longer means that something is stuck.
# Tables only: an extension may belong to somebody else, and a dump creates it if it is missing.
EMPTY = """
SET lock_timeout = '60s';
DO $$
DECLARE name text;
BEGIN
    FOR name IN
        SELECT format('%I.%I', nspname, relname)
        FROM pg_class JOIN pg_namespace ON pg_namespace.oid = relnamespace
        WHERE relkind IN ('r', 'p') AND nspname = current_schema()
        AND NOT EXISTS (SELECT FROM pg_depend WHERE objid = pg_class.oid AND deptype = 'e')
    LOOP
        EXECUTE 'DROP TABLE IF EXISTS ' || name || ' CASCADE';
    END LOOP;
    -- The library of the jobs brings functions and types of its own beside its tables.
    FOR name IN
        SELECT pg_proc.oid::regprocedure
        FROM pg_proc JOIN pg_namespace ON pg_namespace.oid = pronamespace
        WHERE nspname = current_schema()
        AND NOT EXISTS (SELECT FROM pg_depend WHERE objid = pg_proc.oid AND deptype = 'e')
    LOOP
        EXECUTE 'DROP ROUTINE IF EXISTS ' || name || ' CASCADE';
    END LOOP;
    FOR name IN
        SELECT format('%I.%I', nspname, typname)
        FROM pg_type JOIN pg_namespace ON pg_namespace.oid = typnamespace
        WHERE nspname = current_schema() AND (typtype = 'e' OR (typtype = 'c' AND EXISTS (
            SELECT FROM pg_class WHERE pg_class.oid = typrelid AND relkind = 'c')))
    LOOP
        EXECUTE 'DROP TYPE IF EXISTS ' || name || ' CASCADE';
    END LOOP;
END $$;
"""


def place() -> str:
    """Return where the database is, in words."""
    found = _parameters()
    host = found.get("host") or found.get("service") or "this machine"
    return f"{found.get('dbname', '')} at {host}"


def snapshot(into: Path) -> Contents:
    """Copy the database as it is now into a new file, check the copy and return what it holds.

    Raises Refused when the programs are missing or fail.
    """
    _programs("pg_dump", "pg_restore")
    reader = connection.copy()
    try:
        with reader.cursor() as cursor:
            cursor.execute("BEGIN ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            cursor.execute("SELECT pg_export_snapshot()")
            name = cursor.fetchone()[0]
        found = contents(reader)
        target = ("--format=custom", f"--snapshot={name}", f"--file={into}")
        _run("pg_dump", *target, f"--dbname={_address()}")
    finally:
        reader.close()
    check(into, found.rows)
    return found


def check(database: Path, rows: dict[str, int]) -> None:
    """Return if an unpacked dump can be read; its rows are counted when they are put back.

    Raises Refused otherwise.
    """
    _programs("pg_restore")
    _run("pg_restore", "--list", str(database))


def replace(database: Path, rows: dict[str, int]) -> None:
    """Put an unpacked dump in the place of the site's tables, whoever has them open.

    Raises Refused, with nothing changed, when the programs are missing or fail, or when the rows
    are not those given.
    """
    _programs("pg_restore", "psql")
    connection.close()
    empty, fill = database.with_name("empty.sql"), database.with_name("fill.sql")
    count = database.with_name("count.sql")
    empty.write_text(EMPTY)
    count.write_text(_counting(rows))
    # Written out whole first: of a script that ends early psql would commit what it has seen.
    plain = ("--no-owner", "--no-privileges", "--no-comments", f"--file={fill}")
    _run("pg_restore", *plain, str(database))
    quiet = ("--no-psqlrc", "--quiet", "--output=/dev/null", "--set=ON_ERROR_STOP=1")
    scripts = (f"--file={one}" for one in (empty, fill, count))
    _run("psql", *quiet, "--single-transaction", *scripts, f"--dbname={_address()}")


def _counting(rows: dict[str, int]) -> str:
    """SQL that fails unless every table has as many rows as were counted."""
    name = connection.ops.quote_name
    checks = "".join(
        f"IF (SELECT COUNT(*) FROM {name(table)}) <> {count} THEN RAISE EXCEPTION "
        f"'the rows of {table} are not those counted when the backup was made'; END IF;\n"
        for table, count in rows.items()
    )
    # The script of pg_restore looks up every name in full and has emptied the path.
    return f"RESET search_path;\nDO $counted$ BEGIN\n{checks}END $counted$;\n"


def _parameters() -> dict[str, str]:
    """What libpq is told, without what only the Python driver knows."""
    known = {one.keyword.decode() for one in pq.Conninfo.get_defaults()}
    found = connection.get_connection_params()
    return {key: str(value) for key, value in found.items() if key in known and value}


def _address() -> str:
    """The database as libpq takes it, without the password: command lines are seen by all."""
    return make_conninfo("", **{k: v for k, v in _parameters().items() if k != "password"})


def _programs(*names: str) -> None:
    missing = [name for name in names if not shutil.which(name)]
    if missing:
        raise Refused(
            f"{' and '.join(missing)} must be on PATH: install PostgreSQL's client programs, of "
            "the server's version or newer (on Debian: sudo apt install postgresql-client)."
        )


def _run(program: str, *arguments: str) -> None:
    environment = dict(os.environ)
    if password := _parameters().get("password"):
        environment["PGPASSWORD"] = password
    done = subprocess.run(
        [program, *arguments],
        env=environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        reason = done.stderr.strip() or f"exit code {done.returncode}"
        raise Refused(f"{program} failed, and nothing was changed: {reason}")
