"""What SQLite cannot forbid by a constraint, forbidden by triggers.

They are laid anew after every migration: a later remake of the table drops what hangs on it,
and a newer rule takes the place of an older one.
"""

from django.db import IntegrityError, connections, transaction

TABLE = "workshops_reservation"
EXCLUSION_VIOLATION = "23P01"  # PostgreSQL, appendix A: error codes
OVERLAP = "unit_promised_once"  # what the message of a refused write begins with

# SQLite keeps an instant as whatever text or number it is given. Only texts of one shape stand
# in the order of their instants: UTC, with six digits after the second or none, as Django writes
# them. In another shape (an offset, a T, a number, a 31 February) a promise is refused.
_OTHER_SHAPE = """(
    typeof({at}) <> 'text'
    OR substr({at}, 1, 19) IS NOT strftime('%Y-%m-%d %H:%M:%S', {at})
    OR NOT (
        length({at}) = 19
        OR substr({at}, 20) GLOB '.[0-9][0-9][0-9][0-9][0-9][0-9]' AND substr({at}, 20) > '.000000'
    )
)"""
_UNIT_PROMISED = """
CREATE TRIGGER {name}
BEFORE {event} ON workshops_reservation
BEGIN
    SELECT RAISE(ABORT, 'write start_at and end_at in UTC, like 2027-05-08 14:10:00')
    WHERE {start_in_other_shape} OR {end_in_other_shape};
    SELECT RAISE(ABORT, '{overlap}') WHERE EXISTS (
        SELECT 1 FROM workshops_reservation AS other
        WHERE other.unit_id = NEW.unit_id AND other.id IS NOT NEW.id
          AND other.start_at < NEW.end_at AND NEW.start_at < other.end_at
    );
END
"""
TRIGGERS = {
    f"{OVERLAP}_{event.lower()}": _UNIT_PROMISED.format(
        name=f"{OVERLAP}_{event.lower()}",
        event=event,
        overlap=OVERLAP,
        start_in_other_shape=_OTHER_SHAPE.format(at="NEW.start_at"),
        end_in_other_shape=_OTHER_SHAPE.format(at="NEW.end_at"),
    )
    for event in ("INSERT", "UPDATE")
}


def lay(*, using: str, **_signal) -> None:
    """Lay every trigger as it is meant now; PostgreSQL has its exclusion constraint."""
    if connections[using].vendor != "sqlite":
        return
    # In one transaction: there is no moment without a guard.
    with transaction.atomic(using=using), connections[using].cursor() as cursor:
        if TABLE not in connections[using].introspection.table_names(cursor):
            return  # migrated back to before there were promises
        for name, sql in TRIGGERS.items():
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}")
            cursor.execute(sql)


def is_overlap(fault: IntegrityError) -> bool:
    """Return whether the database refused to promise a unit twice for overlapping spans."""
    code = getattr(fault.__cause__, "sqlstate", None)
    return OVERLAP in str(fault) if code is None else code == EXCLUSION_VIOLATION
