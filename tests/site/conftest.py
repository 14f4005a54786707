"""Sites to run: with the tables of this version from the start, for making them takes long."""

import shutil
import sqlite3
from contextlib import closing

import pytest
from django.db import connection

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
