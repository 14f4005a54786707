"""The sets of a workshop, and one set with its plan beside the form."""

from datetime import datetime, timedelta

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from planning.forms.sets import Lights, SetForm
from planning.models import PlannedSet
from planning.selectors import draft_inputs, inputs_of
from planning.selectors.day import days_astray
from planning.selectors.light import light_question
from planning.selectors.recipes import locked_recipe
from planning.services.sets import copy_set, save_set
from planning.showing import Planned, lines_of, planned, shown
from workshops.access import found, found_workshop, may
from workshops.errors import Stale
from workshops.models import Workshop
from workshops.models.base import in_zone
from workshops.templatetags.faults import faults
from workshops.views.edit import BAD, STALE, add_refusal, delete, stale_context

USUAL_SET = timedelta(minutes=80)  # six people, five minutes each: common practice, no source


@may("view", "plannedset", "planning")
def sets(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    rows = workshop.sets.select_related("location").order_by("position", "pk")
    context = {"astray": days_astray(workshop)}
    context |= {"workshop": workshop, "lines": lines_of(rows, request.house)}
    return render(request, "planning/sets.html", context)


@may("add", "plannedset", "planning")
def set_new(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    form, lights = _forms(request, PlannedSet(), workshop, initial=_usual(workshop, request.house))
    place = reverse("set-new-plan", args=[pk])
    context = {"workshop": workshop, "preview": place}
    if request.method != "POST":
        context |= {"plan": None, "reason": _("The plan appears here once the set has a light.")}
    return _answer(request, form, lights, context)


@may("view", "plannedset", "planning")
def set_page(request: HttpRequest, pk: int) -> HttpResponse:
    rows = PlannedSet.objects.select_related("workshop", "location").prefetch_related(
        "readings", "flash_readings"
    )
    planned_set = found(request, rows, pk)
    if request.method == "POST" and not request.user.has_perm("planning.change_plannedset"):
        raise PermissionDenied
    form, lights = _forms(request, planned_set, planned_set.workshop)
    stored = planned(inputs_of([pk])[pk], request.house)
    context = {
        "workshop": planned_set.workshop,
        "stored": planned_set,
        # As stored: the record carries what was typed once the form has been read.
        "title": PlannedSet.objects.values_list("title", flat=True).get(pk=pk),
        "preview": reverse("set-plan", args=[pk]),
        "readings": list(planned_set.readings.all()),
        "flash_readings": list(planned_set.flash_readings.all()),
        "locked": locked_recipe(planned_set, planned_set.events.all()),
        "light_question": light_question(planned_set),
        **shown(stored, request.house),
    }
    return _answer(request, form, lights, context)


def _forms(request: HttpRequest, record: PlannedSet, workshop: Workshop, initial=None):
    data = request.POST or None
    form = SetForm(data, instance=record, workshop=workshop, house=request.house, initial=initial)
    return form, Lights(data, instance=form.instance, prefix="lights", house=request.house)


def _answer(request: HttpRequest, form: SetForm, lights, context: dict) -> HttpResponse:
    """Show form and plan, or save both and come back to the set's own page."""
    context |= {"form": form, "lights": lights}
    status = 200
    if request.method == "POST":
        status = BAD
        if form.is_valid() & lights.is_valid():
            try:
                saved = save_set(
                    by=request.user,
                    planned_set=form.instance,
                    lights=lights.details(),
                    seen=form.cleaned_data["seen"],
                )
            except Stale as reason:
                form.add_error(None, reason.messages)
                context |= stale_context(form)
                status = STALE
            except ValidationError as refusal:
                add_refusal(form, refusal)
            else:
                _tell(request, saved)
                return redirect("set", saved.pk)
        if status == BAD and "plan" not in context:
            context |= _draft(request, form, lights)
    return render(request, "planning/set.html", context, status=status)


def _tell(request: HttpRequest, saved: PlannedSet) -> None:
    """Say what the plan makes of what was entered."""
    now = planned(inputs_of([saved.pk])[saved.pk], request.house)
    messages.success(request, _("%(record)s is saved.") % {"record": saved.title})
    if now.plan is None:
        text = _("No plan can be made from it yet: %(reason)s")
        messages.warning(request, text % {"reason": now.reason})


@require_POST
@may("view", "plannedset", "planning")
def set_plan(request: HttpRequest, pk: int) -> HttpResponse:
    """The plan of the form as it stands, nothing saved."""
    planned_set = found(request, PlannedSet.objects.select_related("workshop", "location"), pk)
    return _preview(request, planned_set, planned_set.workshop)


@require_POST
@may("view", "plannedset", "planning")
def set_new_plan(request: HttpRequest, pk: int) -> HttpResponse:
    return _preview(request, PlannedSet(), found_workshop(request, pk))


def _preview(request: HttpRequest, record: PlannedSet, workshop: Workshop) -> HttpResponse:
    form, lights = _forms(request, record, workshop)
    context = _draft(request, form, lights) | {"draft": True}
    return render(request, "planning/_plan.html", context)


def _draft(request: HttpRequest, form: SetForm, lights) -> dict:
    """Return the plan's context of a form, or what it still waits for."""
    if not (form.is_valid() & lights.is_valid()):
        return {"plan": None, "reason": "", "waits": _faults(form, lights)}
    try:
        drafted = planned(draft_inputs(form.instance, lights.lights()), request.house)
    except ValidationError as refusal:
        drafted = Planned(None, None, " ".join(refusal.messages))
    return shown(drafted, request.house)


def _faults(form: SetForm, lights) -> list[str]:
    """Return what keeps the form from making a plan, each once, with the field's name."""
    told = [fault.words for one in (form, *lights.forms) for fault in faults(one)]
    return list(dict.fromkeys([*told, *lights.non_form_errors()]))


def _usual(workshop: Workshop, house) -> dict:
    """Return what a new set most likely is: the next in the day, where the last one ended."""
    last = workshop.sets.select_related("location").order_by("-position").first()
    start_at = last.end_at if last else workshop.start_at
    first = workshop.places.select_related("location").order_by("position").first()
    place = last.location if last else first and first.location
    zone = place.timezone_name if place else workshop.timezone_name
    return {
        "position": last.position + 1 if last else 1,
        "location": place,
        "camera": last.camera_id if last else _camera_of(workshop),
        "start_at": _naive(start_at, zone),
        "end_at": _naive(start_at + USUAL_SET, zone),
        "stops_under": house.stops_under,
    }


def _camera_of(workshop: Workshop) -> int | None:
    roles = workshop.roles.filter(role__in=("lead", "instructor"), person__cameras__isnull=False)
    return roles.order_by("role").values_list("person__cameras", flat=True).last()


def _naive(at: datetime, zone: str) -> datetime:
    return in_zone(at, zone).replace(tzinfo=None)


@require_POST
@may("add", "plannedset", "planning")
def set_copy(request: HttpRequest, pk: int) -> HttpResponse:
    planned_set = found(request, PlannedSet, pk)
    made = copy_set(by=request.user, planned_set=planned_set)
    messages.success(request, _("%(record)s is a copy: change what differs.") % {"record": made})
    return redirect("set", made.pk)


@may("delete", "plannedset", "planning")
def set_delete(request: HttpRequest, pk: int) -> HttpResponse:
    planned_set = found(request, PlannedSet, pk)
    then = reverse("sets", args=[planned_set.workshop_id])
    return delete(request, planned_set, back=reverse("set", args=[pk]), then=then)
