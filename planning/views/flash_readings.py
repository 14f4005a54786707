"""Flash readings: one lamp metered on a set, so that the next plan knows its guide number."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from planning.forms.flash_readings import FlashReadingForm
from planning.forms.readings import on_the_day
from planning.learnt_words import reading_told
from planning.models import FlashReading, PlannedSet
from planning.selectors.meters import usual_meter
from planning.services.flash_readings import erase_flash_reading, record_flash_reading
from planning.sheets.options import print_options
from workshops.access import found, may, own
from workshops.views.edit import answer, delete


@may("add", "flashreading", "planning")
def flash_reading_new(request: HttpRequest, pk: int) -> HttpResponse:
    sets = PlannedSet.objects.select_related("location").prefetch_related("lights")
    planned_set = found(request, sets, pk)
    form = FlashReadingForm(
        request.POST or None,
        instance=FlashReading(planned_set=planned_set),
        house=request.house,
        initial=_usual(planned_set),
    )
    back = reverse("set", args=[pk])
    say = print_options(request.house).figures(planned_set.location.timezone_name)
    return answer(
        request,
        form,
        template="planning/flash_reading.html",
        save=lambda form: record_flash_reading(by=request.user, reading=form.instance),
        then=lambda _record: back,
        told=lambda record: reading_told(record, say),
        context={
            "heading": _("A flash reading for %(set)s") % {"set": planned_set.title},
            "back": back,
            "back_to": planned_set,
            "save_words": _("Save the flash reading"),
            "lights": planned_set.lights.all(),
            "say": say,
        },
    )


def _usual(planned_set: PlannedSet) -> dict:
    """Return what a flash reading most likely is: of the key, from its cord, alone, now."""
    found = {
        "at": on_the_day(planned_set, timezone.now()),
        "how": FlashReading.How.ALONE,
        "meter": usual_meter(planned_set),
        "shutter_s": 2.0**-7,
    }
    lights = sorted(planned_set.lights.all(), key=lambda one: (one.role != "key", one.position))
    if lights:
        found |= {"light_name": lights[0].name, "distance_m": lights[0].distance_m}
    return found


@may("delete", "flashreading", "planning")
def flash_reading_delete(request: HttpRequest, pk: int) -> HttpResponse:
    rows = own(request.user, FlashReading.objects.all(), "planned_set__workshop")
    reading = get_object_or_404(rows, pk=pk)
    where = reverse("set", args=[reading.planned_set_id])
    return delete(
        request,
        reading,
        back=where,
        then=where,
        erase=lambda: erase_flash_reading(by=request.user, reading=reading),
    )
