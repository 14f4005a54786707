"""A site and its database on the engine of this run, read and written in plain SQL."""

import sqlite3
from contextlib import closing

import psycopg

from tests.site.running import Site


class Ground:
    """A site with the database below it, for what must not be asked by code of ours."""

    def __init__(self, site: Site):
        self.site = site

    def connect(self):
        """Return a connection of its own, as another process would have one."""
        if url := self.site.variables.get("DATABASE_URL"):
            return psycopg.connect(url)
        return sqlite3.connect(self.site.data_dir / "db.sqlite3", timeout=60)

    def ask(self, question: str) -> list[tuple]:
        with closing(self.connect()) as database:
            return database.execute(question).fetchall()

    def add(self, *addresses: str) -> None:
        """Add an account for each address, all in one transaction."""
        with closing(self.connect()) as database:
            add(database, *addresses)

    def forget(self) -> None:
        """Erase every account."""
        with closing(self.connect()) as database:
            database.execute("DELETE FROM workshops_user")
            database.commit()

    def addresses(self) -> list[str]:
        return addresses(self)


def add(database, *addresses: str) -> None:
    """Add an account for each address by an open connection, in one transaction."""
    for address in addresses:
        database.execute(
            "INSERT INTO workshops_user "
            "(password, is_superuser, email, name, role, is_active, is_staff, date_joined) "
            f"VALUES ('!', false, '{address}', '', 'outsider', true, false, "
            "'2027-04-01 09:00:00+00:00')"
        )
    database.commit()


def addresses(asked) -> list[str]:
    """Return the accounts that a ground has, or that an open connection sees, sorted."""
    question = "SELECT email FROM workshops_user ORDER BY email"
    if isinstance(asked, Ground):
        return [address for (address,) in asked.ask(question)]
    found = [address for (address,) in asked.execute(question).fetchall()]
    asked.rollback()
    return found
