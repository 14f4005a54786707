"""Meter readings: typed where they are taken, on a phone, with cold hands."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from planning.forms.readings import RecceReadingForm, SetReadingForm, is_near
from planning.models import PlannedSet, Reading
from planning.selectors import inputs_of
from planning.services.sets import record_reading
from planning.showing import planned
from planning.templatetags import figures
from workshops.access import found, may, own
from workshops.models import Location
from workshops.models.base import in_zone
from workshops.views.edit import BAD, add_refusal, delete


@may("add", "reading", "planning")
def reading_new(request: HttpRequest, pk: int) -> HttpResponse:
    planned_set = found(request, PlannedSet.objects.select_related("location"), pk)
    before = planned(inputs_of([pk])[pk]).plan
    kind = planned_set.base_kind
    initial = {
        "at": _on_the_day(planned_set),
        "plane": "sky" if kind == "sky" else "backdrop",
        "kind": kind,
    }
    if before:
        initial["shutter_s"], initial["iso"] = before.exposure.start_s, before.exposure.iso
    form = SetReadingForm(
        request.POST or None,
        instance=Reading(planned_set=planned_set),
        house=request.house,
        initial=initial,
    )
    heading = _("A meter reading for %(set)s") % {"set": planned_set.title}
    if (saved := _saved(request, form)) is not None:
        _tell(request, before, planned(inputs_of([pk])[pk]).plan)
        return redirect("set", saved.planned_set_id)
    context = {"heading": heading, "plan": before, "back": reverse("set", args=[pk])}
    return _page(request, form, context | {"back_to": planned_set})


@may("add", "reading", "planning")
def recce_reading_new(request: HttpRequest, pk: int) -> HttpResponse:
    place = get_object_or_404(Location, pk=pk)
    form = RecceReadingForm(
        request.POST or None,
        instance=Reading(location=place),
        house=request.house,
        initial={"at": _now(place), "plane": "backdrop", "kind": "incident"},
    )
    back = reverse("location", args=[pk])
    if _saved(request, form) is not None:
        messages.success(request, _("The reading is kept: it serves days of the same sky."))
        return redirect(back)
    heading = _("A meter reading of the recce at %(place)s") % {"place": place}
    return _page(request, form, {"heading": heading, "back": back, "back_to": place})


def _page(request: HttpRequest, form, context: dict) -> HttpResponse:
    status = BAD if form.errors else 200
    return render(request, "planning/reading.html", context | {"form": form}, status=status)


def _saved(request: HttpRequest, form) -> Reading | None:
    """Return the reading when it was sent and kept; a refusal stands in the form."""
    if request.method != "POST" or not form.is_valid():
        return None
    try:
        return record_reading(by=request.user, reading=form.instance)
    except ValidationError as refusal:
        add_refusal(form, refusal)
        return None


def _now(place: Location):
    return in_zone(timezone.now(), place.timezone_name).replace(tzinfo=None, second=0)


def _on_the_day(planned_set: PlannedSet):
    """Return now, on the clock of the place; on another day the beginning of the set."""
    now = timezone.now()
    at = now if is_near(planned_set, now) else planned_set.start_at
    return in_zone(at, planned_set.location.timezone_name).replace(tzinfo=None, second=0)


def _tell(request: HttpRequest, before, after) -> None:
    """Say what the reading moved: this is what the instructor waits for."""
    if after is None:
        messages.success(request, _("The reading is kept."))
        return
    marks = {"now": after.exposure.working_mark, "shutter": figures.shutter(after.exposure.start_s)}
    if before and before.exposure.working_mark != after.exposure.working_mark:
        marks["was"] = before.exposure.working_mark
        text = _("The reading is kept. Set %(now)s %(shutter)s: it was %(was)s.")
    else:
        text = _("The reading is kept. It stays at %(now)s %(shutter)s.")
    messages.success(request, text % marks)


@may("delete", "reading", "planning")
def reading_delete(request: HttpRequest, pk: int) -> HttpResponse:
    # Places belong to everybody who teaches, sets to their workshop.
    of_places = Reading.objects.filter(planned_set=None)
    of_sets = own(request.user, Reading.objects.all(), "planned_set__workshop")
    reading = get_object_or_404(of_places | of_sets, pk=pk)
    where = (
        reverse("set", args=[reading.planned_set_id])
        if reading.planned_set_id
        else reverse("location", args=[reading.location_id])
    )
    return delete(request, reading, back=where, then=where)
