"""What every page behind a signed link answers with."""

from django.http import HttpResponse
from django.utils import translation


def private(answer: HttpResponse, referrer: str = "no-referrer") -> HttpResponse:
    """Keep an answer out of caches and search engines, and its address from other hosts.

    A form's own page has "same-origin": with "no-referrer" a browser sends "Origin: null" with
    the form, which the protection against forged requests must refuse. Its address tells nothing.
    Source: Fetch standard, "append a request Origin header"; W3C Referrer Policy.
    """
    answer.headers["Referrer-Policy"] = referrer
    answer.headers["Cache-Control"] = "no-store"
    answer.headers["X-Robots-Tag"] = "noindex"
    answer.headers["Content-Language"] = translation.get_language()
    return answer
