"""The horizon of a place as a drawing: stored, or as it is being typed."""

from datetime import date

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from planning.drawings.horizon import horizon_strip
from planning.horizon import sun_paths
from planning.physics.errors import OutOfRange
from planning.physics.sun import Place
from planning.sheets.options import print_options
from workshops.access import may
from workshops.forms.locations import LocationForm
from workshops.models import House, Location
from workshops.models.base import in_zone


@may("view", "location")
def horizon_drawing(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Location, pk=pk)
    headers = {"Cache-Control": "private, no-cache"}
    return HttpResponse(_drawn(found, request.house), content_type="image/svg+xml", headers=headers)


@require_POST
@may("view", "location")
def horizon_preview(request: HttpRequest) -> HttpResponse:
    """Draw what stands in the form, or say what it waits for; nothing is saved."""
    form = LocationForm(request.POST, house=request.house)
    form.is_valid()
    faults = [*form.errors.get("horizon_pairs", []), *form.errors.get("coordinates", [])]
    if not faults and not form.cleaned_data.get("coordinates"):
        faults = [_("The sun's way is drawn once the coordinates are there.")]
    context = {"faults": faults}
    if not faults:
        point = form.cleaned_data["coordinates"]
        place = Location(
            latitude_deg=point.latitude_deg,
            longitude_deg=point.longitude_deg,
            horizon=form.cleaned_data["horizon_pairs"] or [],
            timezone_name=form.cleaned_data.get("timezone_name") or "UTC",
        )
        try:
            # The drawing escapes every text it is given.
            context["drawing"] = mark_safe(_drawn(place, request.house))
        except (OutOfRange, ValidationError) as reason:
            context["faults"] = [str(reason)]
    return render(request, "planning/_horizon.html", context)


def _drawn(location: Location, house: House) -> str:
    """Return the drawing with the sun of today and of both solstices."""
    say = print_options(house).figures(location.timezone_name)
    profile = [(azimuth, elevation) for azimuth, elevation in location.horizon]
    if location.latitude_deg is None:
        return horizon_strip(profile, [], say)
    today = in_zone(timezone.now(), location.timezone_name).date()
    days = [
        (_("today"), today),
        (_("21 June"), date(today.year, 6, 21)),
        (_("21 December"), date(today.year, 12, 21)),
    ]
    place = Place(location.latitude_deg, location.longitude_deg)
    return horizon_strip(profile, sun_paths(place, days, say), say)
