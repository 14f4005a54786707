"""Places, their forecasts, tides and landmarks."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from workshops.access import asked, may
from workshops.coordinates import Coordinates, show
from workshops.forms.locations import LocationForm
from workshops.models import Location
from workshops.models.base import in_zone
from workshops.selectors.locations import PAST_TIDES, coming_at, locations, permit_on
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
    context = {
        "location": found,
        "decimal": show(point) if point else "",
        "dms": show(point, "dms") if point else "",
        "now": now,
        "permit": permit_on(found, in_zone(now, found.timezone_name).date()),
        "forecasts": found.forecasts.order_by("-valid_from", "-taken_at", "-pk")[:20],
        "tides": found.tide_points.filter(at__gte=now - PAST_TIDES).order_by("at"),
        "old_tides": found.tide_points.filter(at__lt=now - PAST_TIDES).count(),
        "landmarks": found.landmarks.all(),
        "coming": coming_at(found, now),
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
        _tell_zone(request, saved, form.zone_found)
        return saved

    return answer(
        request,
        form,
        template="workshops/location_edit.html",
        save=save,
        then=lambda saved: reverse("location", args=[saved.pk]),
        context=context,
    )


def _tell_zone(request: HttpRequest, saved: Location, found: str | None) -> None:
    """Say which zone the times are in, and when the coordinates lie in another."""
    told = {"zone": saved.timezone_name, "found": found}
    if found and found != saved.timezone_name:
        text = _("Times here are in %(zone)s, but the coordinates lie in %(found)s: which is it?")
        messages.warning(request, text % told)
    elif found:
        messages.info(request, _("Times here are on the clock of %(zone)s.") % told)


@may("delete", "location")
def location_delete(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Location, pk=pk)
    return delete(request, found, back=reverse("location", args=[pk]), then=reverse("locations"))
