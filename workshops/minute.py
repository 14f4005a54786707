"""The thread of the server that does every minute what is due.

Every worker of the server starts one. The one that holds the lock works; the others wait for
the lock, and the next goes on as soon as the worker that held it has ended, however it ended.
"""

import fcntl
import logging
import os
import threading
import time

from django.conf import settings
from django.db import connections
from django.utils import timezone

from workshops.due import due

EVERY_S = 60
LATE_S = 5 * 60  # a beat older than this means that nothing due is being done
NAME = "minute"

log = logging.getLogger(__name__)


def start() -> None:
    """Start the thread of this process."""
    threading.Thread(target=_live, name=NAME, daemon=True).start()


def beat() -> None:
    """Leave a sign of life, with the number of the process that does the work."""
    _beat_file().write_text(f"{os.getpid()}\n")


def state() -> str:
    """Return "alive", "late", or "not started" in a process that serves without the thread."""
    if not any(thread.name == NAME for thread in threading.enumerate()):
        return "not started"
    try:
        age_s = time.time() - _beat_file().stat().st_mtime
    except FileNotFoundError:
        return "late"
    return "alive" if age_s < LATE_S else "late"


def _beat_file():
    return settings.DATA_DIR / "due-beat"


def _live() -> None:
    # Nothing is written into it: the lock is what counts, and the system lets go of it for us.
    with open(settings.DATA_DIR / "due-lock", "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        while True:
            _once()
            time.sleep(EVERY_S)


def _once() -> None:
    try:
        beat()
        for did in due(timezone.now()):
            log.info("due: %s", did)
    except Exception:  # a full disk must not end the thread: the next minute may be better
        log.exception("the minute's work failed")
    finally:
        connections.close_all()  # this thread's: a minute is too long to hold one idle
