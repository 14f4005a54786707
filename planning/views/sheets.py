"""Set sheets as PDF, of one set or of a whole workshop."""

from collections.abc import Sequence

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.text import slugify
from django.utils.translation import gettext as _

from planning.models import PlannedSet
from planning.printing import NotPrintable, Printed, bytes_of, sheet_of, sheets_of
from planning.selectors import sets_of
from planning.sheets.worker import Busy, SheetFailed, time_limit
from planning.views.answers import PAGE_S, busy, options_of, pdf, pdf_answer
from workshops.access import found, found_workshop, may
from workshops.models import Workshop

AT_A_TIME_S = 3  # a page that says how far it has come is better than none


@may("view", "plannedset", "planning")
def set_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    planned_set = found(request, PlannedSet, pk)
    options = options_of(request)
    try:
        with time_limit(PAGE_S):
            sheet = sheet_of(planned_set.pk, options)
            content = bytes_of([sheet], options)
    except Busy as reason:
        return busy(request, reason)
    except (NotPrintable, SheetFailed) as reason:
        _not_printed(request, {planned_set.pk: str(reason)})
        return redirect("set", pk)
    return pdf(content, sheet.file_name)


@may("view", "plannedset", "planning")
def workshop_sheets(request: HttpRequest, pk: int) -> HttpResponse:
    """Answer with all sheets at once; while they are being printed, with how far that has come."""
    workshop = found_workshop(request, pk)
    set_ids = sets_of(pk)
    if not set_ids:
        messages.warning(request, _("There are no sets to print: plan one first."))
        return redirect("sets", pk)
    try:
        with time_limit(PAGE_S):
            printed = _some_more(request, set_ids)
    except Busy as reason:
        return busy(request, reason)
    except SheetFailed as reason:
        messages.error(request, str(reason))
        return redirect("sets", pk)
    if printed.left:
        return _being_printed(request, workshop, len(set_ids) - printed.left, len(set_ids))
    _not_printed(request, printed.missing)
    if not printed.sheets:
        return redirect("sets", pk)
    name = f"set-sheets-{slugify(workshop.title)[:60] or pk}.pdf"
    return pdf_answer(
        request, lambda options: bytes_of(printed.sheets, options), name, back=("sets", pk)
    )


def _some_more(request: HttpRequest, set_ids: Sequence[int]) -> Printed:
    """Print for a while, what is kept counting at once. Raises Busy, and SheetFailed at the end."""
    options = options_of(request)
    printed = sheets_of(set_ids, options, for_s=AT_A_TIME_S)
    before = request.GET.get("done", "")
    if printed.left and before == str(len(set_ids) - printed.left):
        # Nothing is being kept, on a full disk perhaps: then all of it now, or words.
        printed = sheets_of(set_ids, options, for_s=PAGE_S)
        if printed.left:
            raise SheetFailed(_("Printing all sheets takes too long: print them one by one."))
    return printed


def _being_printed(request: HttpRequest, workshop: Workshop, done: int, total: int) -> HttpResponse:
    asked = request.GET.copy()
    asked["done"] = done
    context = {"workshop": workshop, "done": done, "total": total, "next": f"?{asked.urlencode()}"}
    answer = render(request, "planning/printing.html", context)
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _not_printed(request: HttpRequest, missing: dict[int, str]) -> None:
    text = _("Set %(id)s is not printed: %(reason)s")
    for set_id, reason in missing.items():
        messages.error(request, text % {"id": set_id, "reason": reason})
