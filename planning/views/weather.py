"""The weather decision of a workshop, and forecasts of a place side by side."""

from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from planning.comparing import compared
from planning.sheets.options import print_options
from planning.weather import judged_places, limits_of
from workshops.access import found_workshop, may
from workshops.forms.weather import WeatherCallForm, WeatherDecisionForm
from workshops.letters import WEATHER_HOUR
from workshops.models import Location, WeatherCall
from workshops.models.base import in_zone
from workshops.selectors.weather import call_of, day_places
from workshops.services.weather import decide_weather
from workshops.views.edit import answer, saved_by


@may("view", "weathercall")
def workshop_weather(request: HttpRequest, pk: int) -> HttpResponse:
    """The forecasts against the limits, and the decision of whoever makes it."""
    workshop = found_workshop(request, pk)
    call = call_of(workshop)
    limits = limits_of(call, request.house)
    context = {
        "workshop": workshop,
        "call": call,
        "limits": limits,
        "places": judged_places(workshop, day_places(workshop), limits, request.house),
        "say": print_options(request.house).figures(workshop.timezone_name),
        "now": timezone.now(),
    }
    if call is None:
        return render(request, "planning/weather.html", context)
    form = WeatherDecisionForm(request.POST or None, instance=call, house=request.house)
    return answer(
        request,
        form,
        template="planning/weather.html",
        save=lambda form: decide_weather(
            by=request.user,
            call=call,
            outcome=form.cleaned_data["outcome"],
            reason=form.cleaned_data["outcome_reason"],
            now=timezone.now(),
            seen=form.cleaned_data["seen"],
        ),
        then=lambda _call: reverse("workshop-weather", args=[pk]),
        told=lambda saved: _("Kept: %(outcome)s.") % {"outcome": saved.get_outcome_display()},
        context=context,
    )


@may("change", "weathercall")
def weather_agreed(request: HttpRequest, pk: int) -> HttpResponse:
    """When the decision falls, by whom, and by which limits."""
    workshop = found_workshop(request, pk)
    eve = in_zone(workshop.start_at, workshop.timezone_name) - timedelta(days=1)
    usual = eve.replace(hour=WEATHER_HOUR, minute=0, second=0, microsecond=0, tzinfo=None)
    call = call_of(workshop) or WeatherCall(workshop=workshop)
    back = reverse("workshop-weather", args=[pk])
    return answer(
        request,
        WeatherCallForm(
            request.POST or None,
            instance=call,
            house=request.house,
            initial={} if call.pk else {"decide_at": usual},
        ),
        template="edit.html",
        save=saved_by(request.user),
        then=lambda _saved: back,
        context={"heading": _("Who decides on the weather"), "back": back, "back_to": _("Weather")},
    )


@may("view", "forecast")
def forecast_changes(request: HttpRequest, pk: int) -> HttpResponse:
    """What each newer forecast of a place changed, and what the newest does to the sets there."""
    place = get_object_or_404(Location, pk=pk)
    context = {
        "location": place,
        "found": compared(place, request.house, request.user, timezone.now()),
        "say": print_options(request.house).figures(place.timezone_name),
    }
    return render(request, "planning/forecasts.html", context)
