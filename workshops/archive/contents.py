"""What a database holds, counted: the proof that a copy is whole."""

from dataclasses import dataclass

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.recorder import MigrationRecorder

# Filled by the site itself, with or without a record of the house.
OWN_TABLES = ("django_migrations", "django_content_type", "auth_permission", "django_session")


@dataclass(frozen=True)
class Contents:
    """Rows by table, and the migrations that are applied as (app, name)."""

    rows: dict[str, int]
    migrations: list[tuple[str, str]]


def contents(database: BaseDatabaseWrapper) -> Contents:
    """Return what a database holds, at the snapshot its connection reads from."""
    return Contents(rows(database), list(MigrationRecorder(database).applied_migrations()))


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
