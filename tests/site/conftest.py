"""Sites to run: with the tables of this version from the start, for making them takes long."""

import os
import shutil
import sqlite3
from contextlib import closing
from itertools import count
from urllib.parse import urlsplit

import psycopg
import pytest
from django.db import connection

from tests.site.grounds import Ground
from tests.site.running import Site


@pytest.fixture(scope="session")
def tables(django_db_setup, django_db_blocker, tmp_path_factory):
    """The file of an SQLite database that has every table and no record."""
    if connection.vendor != "sqlite":
        pytest.skip("copies the tables of the SQLite test database: leave DATABASE_URL unset")
    file = tmp_path_factory.mktemp("tables") / "db.sqlite3"
    with django_db_blocker.unblock(), closing(sqlite3.connect(file)) as copy:
        connection.ensure_connection()
        connection.connection.backup(copy)
    return file


@pytest.fixture(scope="session")
def new_site(tables, tmp_path_factory):
    """A function that makes a site with its tables, in a folder of its own."""

    def make(**variables: str) -> Site:
        folder = tmp_path_factory.mktemp("site")
        shutil.copy(tables, folder)
        return Site(folder, **variables)

    return make


@pytest.fixture(scope="session")
def new_ground(request, django_db_setup, django_db_blocker, tmp_path_factory):
    """A function that makes a site on the engine of this run, with its tables or without."""
    if connection.vendor == "sqlite":
        tables = request.getfixturevalue("tables")

        def make(*, empty: bool = False) -> Ground:
            folder = tmp_path_factory.mktemp("site")
            if not empty:
                shutil.copy(tables, folder)
            return Ground(Site(folder))

        yield make
        return
    with django_db_blocker.unblock():
        connection.close()  # a database that somebody has open cannot be copied
    url, names = urlsplit(os.environ["DATABASE_URL"]), count()
    template = connection.settings_dict["NAME"]
    with psycopg.connect(url._replace(path="/postgres").geturl(), autocommit=True) as server:
        made = [f"{template}_tables"]
        server.execute(f"CREATE DATABASE {made[0]} TEMPLATE {template}")

        def make(*, empty: bool = False) -> Ground:
            name = f"{template}_site{next(names)}"
            server.execute(f"CREATE DATABASE {name} TEMPLATE {'template0' if empty else made[0]}")
            made.append(name)
            address = url._replace(path=f"/{name}").geturl()
            return Ground(Site(tmp_path_factory.mktemp("site"), DATABASE_URL=address))

        yield make
        for name in made:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")
