"""Set sheets as PDF, of one set or of a whole workshop."""

from collections.abc import Sequence

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.text import slugify
from django.utils.translation import gettext as _

from planning.models import PlannedSet
from planning.selectors import sets_of
from planning.sheets.options import PAPERS, print_options
from workshops.access import found, found_workshop, may


@may("view", "plannedset", "planning")
def set_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    planned_set = found(request, PlannedSet, pk)
    return _pdf(request, [planned_set.pk], back=reverse("set", args=[pk]), name="")


@may("view", "plannedset", "planning")
def workshop_sheets(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    back = reverse("sets", args=[pk])
    name = f"set-sheets-{slugify(workshop.title)[:60] or pk}.pdf"
    return _pdf(request, sets_of(pk), back=back, name=name)


def _pdf(request: HttpRequest, set_ids: Sequence[int], *, back: str, name: str) -> HttpResponse:
    """Answer with the PDF of what can be printed; say which sets cannot, and why, on ``back``."""
    # Only here: few pages need the page renderer, and it takes a second to load.
    from planning.printing import NotPrintable, bytes_of, sheet_of
    from planning.sheets.pdf import SheetFailed

    paper = request.GET.get("paper", "")
    options = print_options(request.house, paper=paper if paper in PAPERS else None)
    sheets = []
    try:
        for set_id in set_ids:
            try:
                sheets.append(sheet_of(set_id, options))
            except NotPrintable as reason:
                text = _("Set %(id)s is not printed: %(reason)s")
                messages.error(request, text % {"id": set_id, "reason": reason})
        content = bytes_of(sheets, options) if sheets else b""
    except SheetFailed as reason:
        messages.error(request, str(reason))
        content = b""
    if not content:
        if not set_ids:
            messages.warning(request, _("There are no sets to print: plan one first."))
        return redirect(back)
    disposition = f'inline; filename="{name or sheets[0].file_name}"'
    headers = {"Content-Disposition": disposition, "Cache-Control": "private, no-store"}
    return HttpResponse(content, content_type="application/pdf", headers=headers)
