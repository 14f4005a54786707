"""Forecasts brought in from a file."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from workshops.access import may
from workshops.forecast_json import MOST_BYTES, SAMPLE
from workshops.forms.forecasts import ForecastFileForm
from workshops.services.forecasts import bring_in_forecasts
from workshops.views.edit import BAD, add_refusal


@may("add", "forecast")
def forecasts_in(request: HttpRequest) -> HttpResponse:
    form = ForecastFileForm(request.POST or None, request.FILES or None)
    if request.method == "POST":
        form = ForecastFileForm(request.POST, request.FILES)
        if form.is_valid():
            content = form.cleaned_data["file"].read(MOST_BYTES + 1)
            try:
                done = bring_in_forecasts(by=request.user, content=content)
            except ValidationError as refusal:
                add_refusal(form, refusal)
            else:
                told = {"added": done.added, "known": done.known}
                words = _("%(added)d forecasts added, %(known)d were there already.") % told
                messages.success(request, words)
                return redirect("locations")
    context = {"form": form, "sample": SAMPLE}
    status = BAD if form.errors else 200
    return render(request, "workshops/forecasts_in.html", context, status=status)
