"""Services that many call at once: tried again where the database asks for it."""

import logging
from collections.abc import Callable
from functools import wraps

from django.db import IntegrityError, OperationalError, connection
from django.utils.translation import gettext as _

from workshops.errors import Refused

TRIES = 3
log = logging.getLogger(__name__)
# PostgreSQL: serialization failure, deadlock (its manual, appendix A, class 40).
PASSING_STATES = ("40001", "40P01")


def again(act: Callable) -> Callable:
    """Return a service that is tried anew when the database gave way to another one.

    To be put outside its transaction. What a constraint forbids in the end, and a database that
    stays busy, are Refused in words; within another transaction a busy database is the caller's.
    """

    @wraps(act)
    def tried(*args, **kwargs):
        for left in reversed(range(TRIES)):
            try:
                return act(*args, **kwargs)
            except OperationalError as fault:
                if connection.in_atomic_block or not gave_way(fault):
                    raise
                if not left:
                    raise Refused(
                        _("Too many are at it at this moment; nothing has changed. Try again.")
                    ) from fault
            except IntegrityError as fault:
                # Told to whoever asked; and here, should it be no race but a fault of ours.
                said = str(fault).partition("\n")[0]  # the lines after it hold values
                log.warning("%s was forbidden by the database: %s", act.__name__, said)
                raise Refused(
                    _("Somebody else was quicker; nothing has changed. Look again, then try anew.")
                ) from fault
        raise AssertionError("a last try either returns or raises")

    return tried


def gave_way(fault: OperationalError) -> bool:
    """Return whether the same again may well succeed: a deadlock, or SQLite's lock."""
    if getattr(fault.__cause__, "sqlstate", None) in PASSING_STATES:
        return True
    return connection.vendor == "sqlite" and "locked" in str(fault)
