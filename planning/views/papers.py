"""Risk sheets and tally sheets as PDF."""

from collections.abc import Sequence

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.text import slugify
from django.utils.translation import gettext as _

from planning.day_papers import day_sheets
from planning.models import PlannedSet
from planning.papers import risk_limits, risk_place, risk_places, tallies
from planning.sheets.day import day_pdf
from planning.sheets.risk import Decides, risk_pdf
from planning.sheets.season import season_pdf
from planning.sheets.tally import tally_pdf
from planning.views.answers import pdf_answer
from planning.views.light import asked_light, light_page
from workshops.access import found, found_workshop, may
from workshops.models import Location


@may("view", "location")
def location_risk(request: HttpRequest, pk: int) -> HttpResponse:
    """The risk sheet of a place, for no one day."""
    location = get_object_or_404(Location.objects.select_related("fallback"), pk=pk)
    places = [(risk_place(location), Decides())]
    limits = risk_limits(request.house)
    name = f"risk-{slugify(location.name)[:60] or pk}.pdf"
    return pdf_answer(
        request, lambda options: risk_pdf(places, limits, options), name, back=("location", pk)
    )


@may("view", "location")
def location_light_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """The light of a season on one leaf; what cannot be answered is said on its page."""
    location = get_object_or_404(Location, pk=pk)
    form, days, refused = asked_light(request, location, always=True)
    if not days:
        return light_page(request, location, form, days, refused)
    place = {"place": location.name, "timezone": location.timezone_name}
    return pdf_answer(
        request,
        lambda options: season_pdf(
            days, form.wanted(), options, has_horizon=bool(location.horizon), **place
        ),
        f"light-{slugify(location.name)[:60] or pk}.pdf",
        back=("location-light", pk),
    )


@may("view", "plannedset", "planning")
def workshop_risk(request: HttpRequest, pk: int) -> HttpResponse:
    """The risk sheets of every place of a workshop, with who decides that day."""
    workshop = found_workshop(request, pk)
    places = risk_places(workshop, request.house)
    if not places:
        messages.warning(request, _("This workshop has no place yet: choose one first."))
        return redirect("workshop", pk)
    limits = risk_limits(request.house)
    name = f"risk-{slugify(workshop.title)[:60] or pk}.pdf"
    return pdf_answer(
        request, lambda options: risk_pdf(places, limits, options), name, back=("workshop", pk)
    )


@may("view", "plannedset", "planning")
def workshop_day(request: HttpRequest, pk: int) -> HttpResponse:
    """The day sheet: running order, people, help and packing, a leaf for each day."""
    workshop = found_workshop(request, pk)
    days = day_sheets(workshop, request.house)
    name = f"day-{slugify(workshop.title)[:60] or pk}.pdf"
    return pdf_answer(request, lambda options: day_pdf(days, options), name, back=("sets", pk))


@may("view", "plannedset", "planning")
def set_tally(request: HttpRequest, pk: int) -> HttpResponse:
    one = found(request, PlannedSet.objects.select_related("location"), pk)
    return _tally(request, [one], f"tally-set-{one.position}.pdf", back=("set", pk))


@may("view", "plannedset", "planning")
def workshop_tally(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    sets = list(workshop.sets.select_related("location").order_by("position", "pk"))
    name = f"tally-{slugify(workshop.title)[:60] or pk}.pdf"
    return _tally(request, sets, name, back=("sets", pk))


def _tally(
    request: HttpRequest, sets: Sequence[PlannedSet], name: str, *, back: tuple
) -> HttpResponse:
    made, left = tallies(sets, request.house)
    for one, reason in left:
        text = _("%(set)s has no tally sheet: %(reason)s")
        messages.error(request, text % {"set": one, "reason": reason})
    if not made:
        if not left:
            messages.warning(request, _("There are no sets to print: plan one first."))
        return redirect(*back)
    return pdf_answer(request, lambda options: tally_pdf(made, options), name, back=back)
