"""The light of a season at a place: asked and shown; ``papers`` prints it."""

from datetime import date

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from planning.forms.light import LightForm, year_from
from planning.lesson.season import SeasonDay, enough
from planning.physics.errors import OutOfRange
from planning.season import season_drawing, season_words
from planning.selectors.light import light_season
from planning.sheets.options import print_options
from workshops.access import may
from workshops.models import Location
from workshops.models.base import in_zone
from workshops.views.edit import BAD


@may("view", "location")
def location_light(request: HttpRequest, pk: int) -> HttpResponse:
    location = get_object_or_404(Location, pk=pk)
    return light_page(request, location, *asked_light(request, location))


def light_page(
    request: HttpRequest,
    location: Location,
    form: LightForm,
    days: tuple[SeasonDay, ...],
    refused: str,
) -> HttpResponse:
    """Answer with the form, and below it the dates or why there are none."""
    say = print_options(request.house).figures(location.timezone_name)
    context = {"location": location, "form": form, "refused": refused, "say": say}
    if days:
        has_horizon = bool(location.horizon)
        context["season"] = season_words(days, form.wanted(), say, has_horizon=has_horizon)
        context["drawing"] = season_drawing(days, say)
        context["query"] = request.GET.urlencode()
    status = BAD if form.errors or refused else 200
    return render(request, "planning/light.html", context, status=status)


def asked_light(
    request: HttpRequest, location: Location, *, always: bool = False
) -> tuple[LightForm, tuple[SeasonDay, ...], str]:
    """Return the form, the dates once it was sent and can be answered, and why they cannot."""
    today = _today(location)
    sent = always or any(name in request.GET for name in LightForm.base_fields)
    form = LightForm(request.GET if sent else None, today=today)
    if not sent:
        form.initial = {"first": today, "last": year_from(today)}
    refused = ""
    days: tuple[SeasonDay, ...] = ()
    if sent and form.is_valid():
        try:
            days = light_season(
                location, form.wanted(), form.cleaned_data["first"], form.cleaned_data["last"]
            )
        except (OutOfRange, ValidationError) as reason:
            refused = str(reason)
        days = enough(days, form.cleaned_data["least_min"] or 0.0)
    return form, days, refused


def _today(location: Location) -> date:
    return in_zone(timezone.now(), location.timezone_name).date()
