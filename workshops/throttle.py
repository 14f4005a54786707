"""A brake on guessing passwords: so many failed log-ins of one address, then a pause.

Counted in the process's own memory: with two workers a guesser has twice the tries, still far too
few, and nothing is written to the database by somebody unknown.
"""

import hashlib

from django.core.cache import cache

MOST_FAILURES = 10
PAUSE_S = 300


def _key(address: str) -> str:
    return "log-in:" + hashlib.sha256(address.strip().lower().encode()).hexdigest()


def is_paused(address: str) -> bool:
    """Return whether this address has failed too often to be tried now."""
    return cache.get(_key(address), 0) >= MOST_FAILURES


def failed(address: str) -> None:
    """Count one more failure; the pause runs from the first of them."""
    cache.add(_key(address), 0, PAUSE_S)
    cache.incr(_key(address))


def succeeded(address: str) -> None:
    cache.delete(_key(address))
