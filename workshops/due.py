"""All timed work of the site: one function that does what is due."""

import logging
from collections.abc import Callable
from contextlib import nullcontext
from datetime import datetime

from django.contrib.sessions.models import Session
from django.db import transaction

from workshops.services.imports import forget_lists
from workshops.services.medical import erase_overdue_medical
from workshops.services.rounds import remind, remind_of_balances
from workshops.services.sending import send_waiting
from workshops.services.waitlist import lapsed_offers
from workshops.words import counted

log = logging.getLogger(__name__)


def expired_sessions(now: datetime) -> str:
    """Forget the log-ins that have run out."""
    count, _ = Session.objects.filter(expire_date__lt=now).delete()
    return f"forgot {counted(count, 'log-in', 'log-ins')} that had run out" if count else ""


def overdue_medical_answers(now: datetime) -> str:
    """Erase medical answers of workshops that are closed or 14 days past."""
    count = erase_overdue_medical(by=None, now=now)
    people = counted(count, "person", "people")
    return f"erased the medical answers of {people}" if count else ""


Task = Callable[[datetime], str]  # returns what it did in words, empty when nothing was due

# Each in a transaction of its own.
TASKS: tuple[Task, ...] = (
    expired_sessions,
    forget_lists,
    lapsed_offers,
    overdue_medical_answers,
    remind,
    remind_of_balances,
)
# After them, each with transactions as short as it needs: what they speak to may be slow.
SLOW: tuple[Task, ...] = (send_waiting,)
ALSO: list[Task] = []  # another app adds its own in ``ready``


def due(now: datetime, tasks: tuple[Task, ...] | None = None) -> list[str]:
    """Return what was done, a phrase for each task that had something to do.

    A task that fails is logged, leaves nothing half done and does not stop the others. Repeating
    the call does no harm.
    """
    done = []
    for task in (*TASKS, *ALSO, *SLOW) if tasks is None else tasks:
        try:
            with nullcontext() if task in SLOW else transaction.atomic():
                did = task(now)
        except Exception:  # whatever it is, the other tasks are due all the same
            log.exception("%s failed", task.__name__)
            continue
        if did:
            done.append(did)
    return done
