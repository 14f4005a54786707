"""The page an instructor notes a set on: times, flashes, packs, misfires, wind, sky, words."""

from datetime import datetime
from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from planning.forms.tally import PressForm
from planning.forms.turns import BackForm
from planning.models import PlannedSet, TallyEvent
from planning.selectors.lesson import called_by
from planning.selectors.tally import tallies_of
from planning.selectors.tally_choices import Choices, for_tally, not_read, tally_choices
from planning.services.events import clock, is_late, take_back
from planning.sheets.options import print_options
from planning.tally_words import event_words
from planning.tallying import press_form, tallying
from workshops.access import found, may
from workshops.models import Workshop
from workshops.views.edit import BAD, add_refusal


@may("view", "tallyevent", "planning")
def tally(request: HttpRequest, pk: int) -> HttpResponse:
    planned_set, now = found(request, for_tally(), pk), timezone.now()
    choices, pressed, refusal = tally_choices(planned_set), None, ""
    if request.method == "POST":
        if not request.user.has_perm("planning.add_tallyevent"):
            raise PermissionDenied
        try:
            if request.POST.get("do") == "back":
                messages.success(request, _taken_back(request, planned_set, now))
                return redirect("tally", pk)
            pressed = press_form(choices, request.house, request.POST)
            if _noted(request, choices, pressed, now):
                return redirect("tally", pk)
        except ValidationError as fault:
            refusal = " ".join(fault.messages)
    say = print_options(request.house).figures(planned_set.location.timezone_name)
    page = tallying(
        choices, tallies_of([pk])[pk], house=request.house, say=say, now=now, pressed=pressed
    )
    context = {
        "planned_set": planned_set,
        "workshop": planned_set.workshop,
        "page": page,
        "notes": [(note, uuid4()) for note in page.noted],
        "say": say,
        "at": now,
        "refusal": refusal,
        "pressed": pressed,
        "note_it": request.user.has_perm("planning.add_tallyevent")
        and planned_set.workshop.status != Workshop.Status.CLOSED,
    }
    bad = refusal or (pressed is not None and pressed.errors)
    return render(request, "planning/tally.html", context, status=BAD if bad else 200)


def _noted(request: HttpRequest, choices: Choices, form: PressForm, now: datetime) -> bool:
    """Note what was pressed and say so; False leaves the refusal in the form."""
    if not form.is_valid():
        if "uuid" in form.errors:
            raise not_read()
        return False
    try:
        event = form.service(
            by=request.user, planned_set=choices.planned_set, now=now, **form.asked()
        )
    except ValidationError as refusal:
        add_refusal(form, refusal)
        return False
    messages.success(request, _told(request, form, event, now))
    return True


def _told(request: HttpRequest, form: PressForm, event: TallyEvent, now: datetime) -> str:
    """Say what is noted; at which time where nobody gave one hours later; what a count makes."""
    planned_set = form.choices.planned_set
    say = print_options(request.house).figures(planned_set.location.timezone_name)
    told = {"what": event_words(event, say, called_by(planned_set.workshop))}
    if form.cleaned_data.get("at") is None and is_late(planned_set, now):
        told["at"] = clock(planned_set, event.at)
        return _("Noted: %(what)s, at %(at)s, when the set was to end: no time was entered.") % told
    if form.cleaned_data.get("how") == "all":
        told["n"] = form.cleaned_data["count"]
        return _("Noted: %(what)s more, %(n)d in all.") % told
    return _("Noted: %(what)s.") % told


def _taken_back(request: HttpRequest, planned_set: PlannedSet, now: datetime) -> str:
    form = BackForm(request.POST, planned_set=planned_set)
    if not form.is_valid():
        raise not_read()
    event = form.cleaned_data["event"]
    take_back(by=request.user, event=event, uuid=form.cleaned_data["uuid"], now=now)
    say = print_options(request.house).figures(planned_set.location.timezone_name)
    words = event_words(event, say, called_by(planned_set.workshop))
    return _("Taken back: %(what)s.") % {"what": words}
