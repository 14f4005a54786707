"""Places, their forecasts, tides and landmarks."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from workshops.access import asked, may, own
from workshops.coordinates import Coordinates, show
from workshops.forms.locations import LocationForm
from workshops.models import Location
from workshops.models.base import in_zone
from workshops.selectors.locations import (
    PAST,
    coming_at,
    forecasts_of,
    highest,
    locations,
    permit_on,
    tides_of,
    ways_of,
)
from workshops.services.records import save_record
from workshops.views.edit import LIST_LENGTH, answer, delete


@may("view", "location")
def location_list(request: HttpRequest) -> HttpResponse:
    now = timezone.now()
    page = Paginator(locations(asked(request), now), LIST_LENGTH).get_page(request.GET.get("page"))
    today = in_zone(now, request.house.timezone_name).date()
    lines = [(place, permit_on(place, today)) for place in page]
    context = {"page": page, "lines": lines, "asked": asked(request)}
    return render(request, "workshops/locations.html", context)


@may("view", "location")
def location(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Location.objects.select_related("fallback"), pk=pk)
    now = timezone.now()
    point = None
    if found.latitude_deg is not None:
        point = Coordinates(found.latitude_deg, found.longitude_deg)
    since = None if "all" in request.GET else now - PAST
    context = {
        "location": found,
        "decimal": show(point) if point else "",
        "dms": show(point, "dms") if point else "",
        "now": now,
        "permit": permit_on(found, in_zone(now, found.timezone_name).date()),
        "highest": highest(found.horizon),
        "forecasts": forecasts_of(found, since),
        "old_forecasts": found.forecasts.filter(valid_to__lt=since).count() if since else 0,
        "tides": tides_of(found, since),
        "old_tides": found.tide_points.filter(at__lt=since).count() if since else 0,
        "landmarks": found.landmarks.all(),
        "ways": ways_of(found),
        "coming": own(request.user, coming_at(found, now), "pk"),
    }
    return render(request, "workshops/location.html", context)


@may("add", "location")
def location_new(request: HttpRequest) -> HttpResponse:
    context = {
        "heading": _("A new location"),
        "back": reverse("locations"),
        "back_to": _("Locations"),
    }
    return _edit(request, LocationForm(request.POST or None, house=request.house), context)


@may("change", "location")
def location_edit(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Location, pk=pk)
    context = {
        "heading": str(found),
        "back": reverse("location", args=[pk]),
        "back_to": str(found),
        "remove": reverse("location-delete", args=[pk]),
    }
    form = LocationForm(request.POST or None, instance=found, house=request.house)
    return _edit(request, form, context)


def _edit(request: HttpRequest, form: LocationForm, context: dict) -> HttpResponse:
    def save(form: LocationForm) -> Location:
        saved = save_record(by=request.user, record=form.instance, seen=form.cleaned_data["seen"])
        _tell_zone(request, saved, form)
        return saved

    return answer(
        request,
        form,
        template="workshops/location_edit.html",
        save=save,
        then=lambda saved: reverse("location", args=[saved.pk]),
        context=context,
    )


def _tell_zone(request: HttpRequest, saved: Location, form: LocationForm) -> None:
    """Say which zone was found, or that the coordinates lie in another than the chosen one."""
    told = {"zone": saved.timezone_name, "found": form.zone_found}
    if form.zone_sought:
        messages.info(request, _("Found from the coordinates: times here are in %(zone)s.") % told)
    elif form.zone_found and form.zone_found != saved.timezone_name:
        text = _("Times here are in %(zone)s, but the coordinates lie in %(found)s: which is it?")
        messages.warning(request, text % told)


@may("delete", "location")
def location_delete(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Location, pk=pk)
    return delete(request, found, back=reverse("location", args=[pk]), then=reverse("locations"))
