"""The after report of a workshop, as a page and as PDF."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.text import slugify

from planning.after_day import compared_day
from planning.report import Report, Unnoted, report
from planning.report_drawings import drawings
from planning.sheets.after import after_pdf
from planning.sheets.options import print_options
from planning.views.answers import options_of, pdf_answer
from workshops.access import found_workshop, may
from workshops.models import Workshop
from workshops.words import date_text

DRAWING_MM = 92.0
# Where a figure can still be noted: a page of the set, and the part of it.
NOTED_AT = {
    "times": ("tally", "#times"),
    "turns": ("set-turns", ""),
    "frames": ("tally", "#frames"),
    "flashes": ("tally", "#light-0"),
    "packs": ("tally", "#light-0"),
    "recipe": ("recipe", ""),
    "base": ("reading-new", ""),
    "gusts": ("tally", "#weather"),
    "sky": ("tally", "#weather"),
}


@may("view", "tallyevent", "planning")
@may("view", "plannedset", "planning")
def workshop_after(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    options = print_options(request.house)
    found = compared_day(workshop, options)
    say = options.figures(found.timezone)
    shown = report(found.day, say, [options.figures(zone) for zone in found.zones])
    context = {
        "workshop": workshop,
        "report": shown,
        "drawings": drawings(found.day, say, width_mm=DRAWING_MM),
        "unnoted": _links(shown),
    }
    return render(request, "planning/after.html", context)


def _links(shown: Report) -> list[tuple[Unnoted, list[tuple[str, str]]]]:
    """Return each set with what was left unnoted, and where it can still be noted."""
    return [
        (one, [(words, _place(one, figure)) for figure, words in one.figures])
        for one in shown.unnoted
    ]


def _place(one: Unnoted, figure: str) -> str:
    route, part = NOTED_AT[figure]
    return reverse(route, args=[one.set_id]) + part


@may("view", "tallyevent", "planning")
@may("view", "plannedset", "planning")
def after_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    found = compared_day(workshop, options_of(request))
    name = f"after-{slugify(workshop.title)[:60] or pk}.pdf"
    return pdf_answer(
        request,
        lambda options: after_pdf(found, options, dates=_dates(workshop)),
        name,
        back=("workshop-after", pk),
    )


def _dates(workshop: Workshop) -> str:
    first, last = (
        date_text(at, workshop.timezone_name) for at in (workshop.start_at, workshop.end_at)
    )
    return first if first == last else f"{first} – {last}"
