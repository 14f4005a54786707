"""A site into a backup and out of it, whatever its engine."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from django.conf import settings
from django.db import DatabaseError, connection

import workshops
from workshops.backup import archive, postgres, sqlite
from workshops.backup.archive import Manifest
from workshops.errors import Refused
from workshops.health import applied_migrations, known_migrations

ENGINES = {"sqlite": sqlite, "postgresql": postgres}
NAMES = {"sqlite": "SQLite", "postgresql": "PostgreSQL"}
# Tables that hold rows before anybody has entered anything.
FILLED_BY_ITSELF = (
    "django_migrations",
    "django_content_type",
    "auth_permission",
    "django_session",
)


def place() -> str:
    """Return which database the settings mean, in words."""
    return ENGINES[connection.vendor].place()


def back_up(target: Path, *, now: datetime, overwrite: bool = False) -> Manifest:
    """Return what stands in a new backup of the site, taken while it may be in use.

    Raises Refused when the file exists, the site has no database, or something is damaged.
    """
    if target.exists() and not overwrite:
        raise Refused(f"{target} exists: name another file, or say --overwrite.")
    if not target.parent.is_dir():
        raise Refused(f"{target} cannot be written: there is no folder {target.parent}.")
    migrations = _migrations()
    if not migrations:
        raise Refused(
            f"There is no site in {place()}: are DATA_DIR and DATABASE_URL set here as they are "
            "for the server?"
        )
    engine = ENGINES[connection.vendor]
    try:
        with TemporaryDirectory(dir=target.parent, prefix=".backup-") as folder:
            snapshot = Path(folder) / engine.FILE
            rows = engine.take(snapshot)
            manifest = Manifest(
                format=archive.FORMAT,
                version=workshops.__version__,
                engine=connection.vendor,
                made_at=now.isoformat(timespec="seconds"),
                migrations=migrations,
                rows=rows,
                file=engine.FILE,
                sha256=archive.sha256(snapshot),
            )
            archive.write(target, manifest, snapshot)
    except OSError as reason:
        raise Refused(f"{target} cannot be written: {reason.strerror}.") from None
    return manifest


@contextmanager
def opened(path: Path) -> Iterator[tuple[Manifest, Path]]:
    """Give a backup that this site can take in: what it says, and its snapshot unpacked.

    Raises Refused when it is damaged, of the other engine or of a later version.
    """
    manifest = archive.read(path)
    if manifest.engine != connection.vendor:
        raise Refused(
            f"{path} is of a site on {NAMES.get(manifest.engine, manifest.engine)}, and this one "
            f"is in {place()}: "
            + (
                "leave DATABASE_URL unset to restore it."
                if manifest.engine == "sqlite"
                else "set DATABASE_URL to a PostgreSQL database to restore it."
            )
        )
    known = known_migrations()
    later = [f"{app} {name}" for app, name in manifest.migrations if (app, name) not in known]
    if later:
        raise Refused(
            f"{path} was made by version {manifest.version}, which knows {later[0]}, and this is "
            f"{workshops.__version__}: update One Stop Under first."
        )
    with TemporaryDirectory(dir=settings.DATA_DIR, prefix=".restore-") as folder:
        snapshot = archive.unpack(path, manifest, Path(folder))
        ENGINES[connection.vendor].check(snapshot)
        yield manifest, snapshot


def put_back(manifest: Manifest, snapshot: Path) -> None:
    """Make an opened backup the content of this site, all of it or nothing.

    Raises Refused, nothing changed, when that fails.
    """
    connection.close()
    ENGINES[connection.vendor].put_back(snapshot, manifest.rows)
    connection.close()


def in_use() -> bool:
    """Return whether anybody has entered anything in this site."""
    names = connection.introspection.table_names()
    with connection.cursor() as cursor:
        for name in set(names) - set(FILLED_BY_ITSELF):
            cursor.execute(f"SELECT 1 FROM {connection.ops.quote_name(name)} LIMIT 1")
            if cursor.fetchone():
                return True
    return False


def _migrations() -> list[list[str]]:
    try:
        return sorted([app, name] for app, name in applied_migrations())
    except DatabaseError as reason:
        raise Refused(f"{place()} does not answer: {reason}") from None
