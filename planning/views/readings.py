"""Meter readings: typed where they are taken, on a phone, with cold hands."""

from datetime import datetime

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from planning.figures import Figures
from planning.forms.readings import RecceReadingForm, SetReadingForm, is_near, on_the_day
from planning.models import PlannedSet, Reading
from planning.moved import doubts, moved
from planning.plan.result import SetPlan
from planning.selectors import inputs_of
from planning.selectors.meters import usual_meter
from planning.services.sets import record_reading
from planning.sheets.options import print_options
from planning.showing import planned
from workshops.access import found, may, own
from workshops.models import Location
from workshops.models.base import in_zone
from workshops.views.edit import BAD, add_refusal, delete


@may("add", "reading", "planning")
def reading_new(request: HttpRequest, pk: int) -> HttpResponse:
    planned_set = found(request, PlannedSet.objects.select_related("location"), pk)
    before, now = _plan(pk), timezone.now()
    form = SetReadingForm(
        request.POST or None,
        instance=Reading(planned_set=planned_set),
        house=request.house,
        initial=_usual(planned_set, before, now),
    )
    if (saved := _saved(request, form)) is not None:
        after, say = _plan(pk), _say(request, planned_set)
        words = " ".join([_("The reading is kept."), *moved(before, after, say)])
        messages.success(request, words)
        for doubt in doubts(saved, before, after, now=now, say=say):
            messages.warning(request, doubt)
        return redirect("set", pk)
    context = {
        "heading": _("A meter reading for %(set)s") % {"set": planned_set.title},
        "plan": before,
        "trial": not is_near(planned_set, now),
        "back": reverse("set", args=[pk]),
        "back_to": planned_set,
        "save_words": _("Save the reading"),
    }
    return _page(request, form, context)


def _plan(pk: int) -> SetPlan | None:
    return planned(inputs_of([pk])[pk]).plan


def _say(request: HttpRequest, planned_set: PlannedSet) -> Figures:
    return print_options(request.house).figures(planned_set.location.timezone_name)


def _usual(planned_set: PlannedSet, plan: SetPlan | None, now: datetime) -> dict:
    """Return what a reading most likely is: of what the base needs, as the camera stands, now."""
    kind, plane = planned_set.base_kind, "sky" if planned_set.base_kind == "sky" else "backdrop"
    if planned_set.job == "fill":  # its base is the sunny side of the face
        kind, plane = "incident", "face"
    found = {"at": on_the_day(planned_set, now), "plane": plane, "kind": kind}
    found["meter"] = usual_meter(planned_set)
    if plan:
        found |= {"shutter_s": plan.exposure.start_s, "iso": plan.exposure.iso}
    return found


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
    return in_zone(timezone.now(), place.timezone_name).replace(
        tzinfo=None, second=0, microsecond=0
    )


@may("delete", "reading", "planning")
def reading_delete(request: HttpRequest, pk: int) -> HttpResponse:
    # Places belong to everybody who teaches, sets to their workshop.
    of_places = Reading.objects.filter(planned_set=None)
    of_sets = own(request.user, Reading.objects.all(), "planned_set__workshop")
    reading = get_object_or_404(of_places | of_sets, pk=pk)
    if reading.planned_set is None:
        where = reverse("location", args=[reading.location_id])
        return delete(request, reading, back=where, then=where)
    planned_set = reading.planned_set
    where, before = reverse("set", args=[planned_set.pk]), _plan(planned_set.pk)
    answer = delete(request, reading, back=where, then=where)
    if request.method == "POST" and not Reading.objects.filter(pk=pk).exists():
        after = _plan(planned_set.pk)
        if words := " ".join(moved(before, after, _say(request, planned_set))):
            messages.info(request, words)
    return answer
