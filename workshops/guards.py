"""What SQLite cannot forbid by a constraint, forbidden by triggers.

They are laid after every migration: a later remake of the table drops what hangs on it.
"""

from django.db import IntegrityError, connections

TABLE = "workshops_reservation"
EXCLUSION_VIOLATION = "23P01"  # PostgreSQL, appendix A: error codes
OVERLAP = "unit_promised_once"  # what the message of a refused write begins with

_UNIT_PROMISED = """
CREATE TRIGGER IF NOT EXISTS {name}
BEFORE {event} ON workshops_reservation
WHEN EXISTS (
    SELECT 1 FROM workshops_reservation AS other
    WHERE other.unit_id = NEW.unit_id AND other.id IS NOT NEW.id
      AND other.start_at < NEW.end_at AND NEW.start_at < other.end_at
)
BEGIN SELECT RAISE(ABORT, '{overlap}'); END
"""
TRIGGERS = {
    f"{OVERLAP}_{event.lower()}": _UNIT_PROMISED.format(
        name=f"{OVERLAP}_{event.lower()}", event=event, overlap=OVERLAP
    )
    for event in ("INSERT", "UPDATE")
}


def lay(*, using: str, **_signal) -> None:
    """Lay every trigger that is not there yet; PostgreSQL has its exclusion constraint."""
    if connections[using].vendor != "sqlite":
        return
    with connections[using].cursor() as cursor:
        if TABLE not in connections[using].introspection.table_names(cursor):
            return  # migrated back to before there were promises
        for sql in TRIGGERS.values():
            cursor.execute(sql)


def is_overlap(fault: IntegrityError) -> bool:
    """Return whether the database refused to promise a unit twice for overlapping spans."""
    code = getattr(fault.__cause__, "sqlstate", None)
    return OVERLAP in str(fault) if code is None else code == EXCLUSION_VIOLATION
