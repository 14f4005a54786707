"""What a whole run makes once, whichever worker comes to it first: the others wait and share it."""

import fcntl
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from urllib.parse import urlsplit

import psycopg

from workshops.environment import DATABASE_FILE

ROOT = Path(__file__).resolve().parent.parent


def run_folder(tmp_path_factory) -> Path:
    """Return the folder that all workers of this run have in common."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


def once(folder: Path, name: str, make: Callable[[Path], None]) -> Path:
    """Return folder/name, made by ``make(path)`` if no other worker has made it.

    It gets its name when it is whole, so that a maker that failed leaves the next to try again.
    """
    whole, begun = folder / name, folder / f"{name}.begun"
    with (folder / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not whole.exists():
            make(begun)
            begun.rename(whole)
    return whole


def migrate(**variables: str) -> None:
    """Make every table, by the migrations, of the site those variables describe."""
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    subprocess.run(
        [sys.executable, "manage.py", "migrate", "--verbosity=0"],
        cwd=ROOT,
        env=kept | variables,
        check=True,
        timeout=600,
    )


def migrated_file(folder: Path) -> Path:
    """Return an SQLite file with every table and no record of ours, in the folder of the run."""

    def make(site: Path) -> None:
        site.mkdir(exist_ok=True)
        migrate(DATA_DIR=str(site))
        # A memory database cannot be the copy of one that keeps a write-ahead log.
        with closing(sqlite3.connect(site / DATABASE_FILE)) as file:
            file.execute("PRAGMA journal_mode = DELETE")

    return once(folder, "migrated", make) / DATABASE_FILE


def migrated_template(folder: Path) -> str:
    """Return the name of a PostgreSQL database with every table, for others to be copied from."""

    def make(mark: Path) -> None:
        drop_template()
        with server() as connected:
            connected.execute(f'CREATE DATABASE "{template_name()}"')
        address = urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{template_name()}")
        migrate(DATA_DIR=str(folder), DATABASE_URL=address.geturl())
        mark.touch()

    once(folder, "template", make)
    return template_name()


def drop_template() -> None:
    """Remove the template, if there is one."""
    with server() as connected:
        connected.execute(f'DROP DATABASE IF EXISTS "{template_name()}" WITH (FORCE)')


def template_name() -> str:
    return f"test_{urlsplit(os.environ['DATABASE_URL']).path.lstrip('/')}_migrated"


def server() -> psycopg.Connection:
    """Return a connection to the server itself, to make and remove databases with."""
    address = urlsplit(os.environ["DATABASE_URL"])._replace(path="/postgres")
    return psycopg.connect(address.geturl(), autocommit=True)
