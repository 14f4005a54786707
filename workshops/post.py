"""Where work goes that follows a change: the one place that knows which engine is in use.

On PostgreSQL a job is stored with the change and done by a worker (workshops.tasks). On SQLite
a short-lived thread of this process does it once the change is stored: whoever pressed the button
never waits for a mail server, and a process that ends waits for its mails. What either of them
misses, ``due`` sends within a minute.
"""

import logging
import threading

from django.db import connection, connections, transaction
from django.utils import timezone

from workshops.models import Message
from workshops.services.sending import send_waiting

log = logging.getLogger(__name__)


def dispatch(message: Message) -> None:
    """Have a mail sent as soon as the transaction it is written in is stored."""
    if connection.vendor == "postgresql":
        from workshops.tasks import send_message  # its library wants this engine

        send_message.defer(pk=message.pk)
    else:
        transaction.on_commit(_postman.wake)


class Postman:
    """Sends what waits, in one thread at most, however often it is woken."""

    def __init__(self):
        self._lock = threading.Lock()
        self._woken = self._at_work = False

    def wake(self) -> None:
        with self._lock:
            self._woken = True
            if self._at_work:
                return
            self._at_work = True
        threading.Thread(target=self._work, name="postman").start()

    def _work(self) -> None:
        try:
            while self._still_woken():
                send_waiting(timezone.now())
        except Exception:  # the mails are kept; ``due`` tries again
            log.exception("sending mail failed")
            with self._lock:
                self._at_work = False
        finally:
            connections.close_all()

    def _still_woken(self) -> bool:
        with self._lock:
            self._at_work, self._woken = self._woken, False
            return self._at_work


_postman = Postman()
