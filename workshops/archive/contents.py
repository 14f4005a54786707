"""What a database holds, counted: the proof that a copy is whole."""

from dataclasses import dataclass

from django.db.backends.base.base import BaseDatabaseWrapper

MIGRATIONS = "django_migrations"
# Filled by the site itself, before anybody has entered anything.
OWN_TABLES = (MIGRATIONS, "django_content_type", "auth_permission", "django_session")


@dataclass(frozen=True)
class Contents:
    """Rows by table, and the migrations that are applied as (app, name)."""

    rows: dict[str, int]
    migrations: list[tuple[str, str]]


def contents(database: BaseDatabaseWrapper) -> Contents:
    """Return what a database holds, at the snapshot its connection reads from."""
    counts = rows(database)
    if MIGRATIONS not in counts:
        return Contents(counts, [])
    # Asked in SQL: Django's own record of them would ask the site's connection, not this one.
    with database.cursor() as cursor:
        cursor.execute(f"SELECT app, name FROM {MIGRATIONS} ORDER BY app, name")
        return Contents(counts, [tuple(row) for row in cursor.fetchall()])


def rows(database: BaseDatabaseWrapper) -> dict[str, int]:
    """Return the number of rows of every table."""
    with database.cursor() as cursor:
        counts = {}
        for table in sorted(database.introspection.table_names(cursor)):
            cursor.execute(f"SELECT COUNT(*) FROM {database.ops.quote_name(table)}")
            counts[table] = cursor.fetchone()[0]
    return counts


def records(counts: dict[str, int]) -> dict[str, int]:
    """Return the counts of the tables that hold what people entered."""
    return {table: count for table, count in counts.items() if table not in OWN_TABLES}
