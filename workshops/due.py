"""All timed work of the site: one function that does what is due."""

import logging
from collections.abc import Callable
from datetime import datetime

from django.contrib.sessions.models import Session
from django.db import transaction

log = logging.getLogger(__name__)


def expired_sessions(now: datetime) -> str:
    """Forget the log-ins that have run out."""
    count, _ = Session.objects.filter(expire_date__lt=now).delete()
    return f"forgot {count} log-ins that had run out" if count else ""


# Each in a transaction of its own; returns what it did in words, empty when nothing was due.
TASKS: tuple[Callable[[datetime], str], ...] = (expired_sessions,)


def due(now: datetime, tasks: tuple[Callable[[datetime], str], ...] = TASKS) -> list[str]:
    """Return what was done, a phrase for each task that had something to do.

    A task that fails is logged, leaves nothing half done and does not stop the others. Repeating
    the call does no harm.
    """
    done = []
    for task in tasks:
        try:
            with transaction.atomic():
                did = task(now)
        except Exception:  # whatever it is, the other tasks are due all the same
            log.exception("%s failed", task.__name__)
            continue
        if did:
            done.append(did)
    return done
