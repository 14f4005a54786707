"""What SQLite cannot forbid by a constraint, forbidden by triggers.

They are laid after every migration: a later remake of the table drops what hangs on it.
"""

from django.db import connections

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
        for sql in TRIGGERS.values():
            cursor.execute(sql)
