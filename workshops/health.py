"""``/healthz``: whether this site can do its work, for whatever watches over it."""

from collections.abc import Callable
from functools import cache

from django.db import DatabaseError, connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.http import HttpRequest, HttpResponse, JsonResponse

import workshops
from workshops import minute

PATH = "/healthz"
OK = "ok"


class HealthMiddleware:
    """Answer ``/healthz`` before anything asks for a log-in, a host name or https."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]):
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.path_info != PATH:
            return self.get_response(request)
        found = health()
        answer = JsonResponse(found, status=200 if found["status"] == OK else 503)
        answer.headers["Cache-Control"] = "no-store"
        return answer


def health() -> dict[str, str]:
    """Return what a watcher may know, in words; ``status`` is "ok" or "failing"."""
    found = {
        "status": OK,
        "version": workshops.__version__,
        "database": OK,
        "migrations": OK,
        "due": minute.state(),
    }
    try:
        missing = len(known_migrations() - applied_migrations())
        if missing:
            found["migrations"] = f"{missing} missing"
    except DatabaseError:
        found["database"], found["migrations"] = "not answering", "unknown"
    if found["database"] != OK or found["migrations"] != OK or found["due"] == "late":
        found["status"] = "failing"
    return found


@cache  # the files of a running version do not change
def known_migrations() -> frozenset[tuple[str, str]]:
    """Return the migrations of this version, as (app, name)."""
    return frozenset(MigrationLoader(None).disk_migrations)


def applied_migrations() -> set[tuple[str, str]]:
    """Return the migrations the database says it has, as (app, name).

    Raises DatabaseError when it does not answer.
    """
    return set(MigrationRecorder(connection).applied_migrations())
