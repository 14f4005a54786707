"""Who may do what: every view says it in one line, and everybody else gets the 403 page."""

from collections.abc import Callable

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest


def may(action: str, model: str, app: str = "workshops") -> Callable:
    """Return a decorator for views: the account must hold that right, such as "change location".

    Whoever is not logged in is led to the log-in page by the middleware, before this is asked.
    """
    return permission_required(f"{app}.{action}_{model}", raise_exception=True)


def asked(request: HttpRequest) -> str:
    """Return what a list is searched for."""
    return request.GET.get("q", "").strip()
