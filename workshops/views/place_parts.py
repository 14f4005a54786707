"""What belongs to a place: its forecasts, its tide table, its landmarks, the ways to others."""

from zoneinfo import ZoneInfo

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.forms.utils import from_current_timezone
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshops.access import may
from workshops.forms.locations import ForecastForm, LandmarkForm, TideForm, WayForm
from workshops.models import Forecast, Landmark, Location, TidePoint, TravelTime
from workshops.models.base import in_zone
from workshops.services.locations import add_tide
from workshops.views.edit import BAD, add_refusal, answer, delete, saved_by


def _page(location: Location, heading: str, **more) -> dict:
    back = reverse("location", args=[location.pk])
    return {"heading": heading, "back": back, "back_to": str(location), **more}


@may("add", "forecast")
def forecast_new(request: HttpRequest, pk: int) -> HttpResponse:
    place = get_object_or_404(Location, pk=pk)
    read_at = in_zone(timezone.now(), place.timezone_name).replace(tzinfo=None, second=0)
    form = ForecastForm(
        request.POST or None,
        instance=Forecast(location=place),
        house=request.house,
        initial={"taken_at": read_at},
    )
    heading = _("A forecast for %(place)s") % {"place": place}
    return _part(request, form, place, _page(place, heading))


@may("change", "forecast")
def forecast_edit(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Forecast.objects.select_related("location"), pk=pk)
    form = ForecastForm(request.POST or None, instance=found, house=request.house)
    remove = reverse("forecast-delete", args=[pk])
    return _part(request, form, found.location, _page(found.location, str(found), remove=remove))


@may("delete", "forecast")
def forecast_delete(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Forecast.objects.select_related("location"), pk=pk)
    then = reverse("location", args=[found.location_id])
    return delete(request, found, back=reverse("forecast-edit", args=[pk]), then=then)


@may("add", "landmark")
def landmark_new(request: HttpRequest, pk: int) -> HttpResponse:
    place = get_object_or_404(Location, pk=pk)
    landmark = Landmark(location=place)
    form = LandmarkForm(request.POST or None, instance=landmark, house=request.house)
    return _part(request, form, place, _page(place, _("A landmark to turn the compass on")))


@may("change", "landmark")
def landmark_edit(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Landmark.objects.select_related("location"), pk=pk)
    form = LandmarkForm(request.POST or None, instance=found, house=request.house)
    remove = reverse("landmark-delete", args=[pk])
    return _part(request, form, found.location, _page(found.location, str(found), remove=remove))


@may("delete", "landmark")
def landmark_delete(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Landmark, pk=pk)
    then = reverse("location", args=[found.location_id])
    return delete(request, found, back=reverse("landmark-edit", args=[pk]), then=then)


@may("add", "traveltime")
def way_new(request: HttpRequest, pk: int) -> HttpResponse:
    place = get_object_or_404(Location, pk=pk)
    way = TravelTime(location=place)
    form = WayForm(request.POST or None, instance=way, house=request.house)
    return _part(request, form, place, _way(place, _("The way to another place")))


@may("change", "traveltime")
def way_edit(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(TravelTime.objects.select_related("location", "to"), pk=pk)
    form = WayForm(request.POST or None, instance=found, house=request.house)
    remove = reverse("way-delete", args=[pk])
    return _part(request, form, found.location, _way(found.location, str(found), remove=remove))


def _way(place: Location, heading: str, **more) -> dict:
    lead = _(
        "It counts both ways, unless the other place has a way of its own back here. Without one "
        "the order of the day takes a usual time and says so."
    )
    return _page(place, heading, lead=lead, **more)


@may("delete", "traveltime")
def way_delete(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(TravelTime.objects.select_related("location", "to"), pk=pk)
    then = reverse("location", args=[found.location_id])
    return delete(request, found, back=reverse("way-edit", args=[pk]), then=then)


def _part(request: HttpRequest, form, place: Location, context: dict) -> HttpResponse:
    then = reverse("location", args=[place.pk])
    return answer(
        request,
        form,
        template="edit.html",
        save=saved_by(request.user),
        then=lambda _saved: then,
        context=context,
    )


@may("add", "tidepoint")
def tide_new(request: HttpRequest, pk: int) -> HttpResponse:
    place = get_object_or_404(Location, pk=pk)
    form = TideForm(request.POST or None, house=request.house)
    if request.method == "POST" and form.is_valid():
        try:
            with timezone.override(ZoneInfo(place.timezone_name)):
                rows = [
                    {
                        "at": from_current_timezone(row.at),
                        "height_m": row.height_m,
                        "turn": row.turn,
                    }
                    for row in form.cleaned_data["rows"]
                ]
            source = form.cleaned_data["source"]
            kept = add_tide(by=request.user, location=place, rows=rows, source=source)
        except ValidationError as refusal:
            add_refusal(form, refusal)
        else:
            words = ngettext("%(n)d row is kept.", "%(n)d rows are kept.", len(kept))
            messages.success(request, words % {"n": len(kept)})
            return redirect("location", pk)
    status = BAD if form.errors else 200
    lead = _(
        "From the official table for this very place. Water fills the low channels behind you "
        "first: the way out floods before the set does."
    )
    context = {"form": form, **_page(place, _("Tides"), lead=lead)}
    return render(request, "edit.html", context, status=status)


@may("delete", "tidepoint")
def tide_delete(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(TidePoint, pk=pk)
    then = reverse("location", args=[found.location_id])
    return delete(request, found, back=then, then=then)
