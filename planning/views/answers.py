"""A PDF as the answer of a page, or in words why there is none."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from planning.sheets.options import PAPERS, PrintOptions, print_options
from planning.sheets.worker import Busy, SheetFailed, time_limit

UNAVAILABLE = 503
PAGE_S = 25  # for all printing of one page: proxies and people wait for half a minute
RETRY_S = 15


def pdf_answer(
    request: HttpRequest, make: Callable[[PrintOptions], bytes], name: str, *, back: tuple
) -> HttpResponse:
    """Answer with the PDF on the paper asked for.

    A fault is told on the page ``back``; while the printer is busy, on a page of its own that says
    when to come again.
    """
    try:
        with time_limit(PAGE_S):
            content = make(options_of(request))
    except Busy as reason:
        return busy(request, reason)
    except SheetFailed as reason:
        messages.error(request, str(reason))
        return redirect(*back)
    return pdf(content, name)


def options_of(request: HttpRequest) -> PrintOptions:
    """Return the house's options, on the paper asked for in the address."""
    paper = request.GET.get("paper", "")
    return print_options(request.house, paper=paper if paper in PAPERS else None)


def busy(request: HttpRequest, reason: Busy) -> HttpResponse:
    answer = render(request, "busy.html", {"reason": reason}, status=UNAVAILABLE)
    answer.headers["Retry-After"] = str(RETRY_S)
    answer.headers["Cache-Control"] = "no-store"
    return answer


def pdf(content: bytes, name: str, *, disposition: str = "inline") -> HttpResponse:
    headers = {
        "Content-Disposition": f'{disposition}; filename="{name}"',
        "Cache-Control": "private, no-store",
    }
    return HttpResponse(content, content_type="application/pdf", headers=headers)
