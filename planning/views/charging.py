"""The charge plan for the night before, as a page and as a sheet to hang beside the chargers."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from planning.charging import charging_of
from planning.sheets.options import PAPERS, print_options
from workshops.access import found_workshop, may
from workshops.words import date_text


@may("view", "reservation")
@may("view", "plannedset", "planning")
def workshop_charging(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    context = {
        "workshop": workshop,
        "charging": charging_of(workshop, request.house),
        "say": print_options(request.house).figures(workshop.timezone_name),
    }
    return render(request, "planning/charging.html", context)


@may("view", "reservation")
@may("view", "plannedset", "planning")
def charging_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    # Only here: few pages need the page renderer, and it takes a second to load.
    from planning.sheets.charging import charging_pdf
    from planning.sheets.worker import SheetFailed

    workshop = found_workshop(request, pk)
    paper = request.GET.get("paper", "")
    options = print_options(request.house, paper=paper if paper in PAPERS else None)
    day = date_text(workshop.start_at, workshop.timezone_name)
    parts = (_("Charging"), str(workshop)[:60], day, options.house[:40])
    foot = " · ".join(part for part in parts if part)
    try:
        content = charging_pdf(
            charging_of(workshop, request.house),
            options,
            options.figures(workshop.timezone_name),
            title=_("Charging for %(workshop)s") % {"workshop": workshop},
            foot=foot,
        )
    except SheetFailed as reason:
        messages.error(request, str(reason))
        return redirect("workshop-charging", pk)
    headers = {"Content-Disposition": 'inline; filename="charging.pdf"'}
    headers["Cache-Control"] = "private, no-store"
    return HttpResponse(content, content_type="application/pdf", headers=headers)
