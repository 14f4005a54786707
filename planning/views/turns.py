"""The page an instructor holds while a set runs: who shoots, who is next, what is noted."""

from datetime import datetime
from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from planning.calling import calling
from planning.forms.turns import BackForm, TurnForm
from planning.models import PlannedSet, TallyEvent
from planning.selectors import inputs_of
from planning.selectors.lesson import TURNS
from planning.services.events import take_back
from planning.services.turns import note_turn
from planning.sheets.options import print_options
from planning.showing import Planned, planned
from workshops.access import found, may
from workshops.views.edit import BAD

KINDS = {"given": TallyEvent.Kind.TURN_GIVEN, "missed": TallyEvent.Kind.TURN_MISSED}
PEOPLE = ("workshop__bookings__person", "workshop__bookings__workshop", "events")


@may("view", "tallyevent", "planning")
def set_turns(request: HttpRequest, pk: int) -> HttpResponse:
    rows = PlannedSet.objects.select_related("workshop", "location").prefetch_related(*PEOPLE)
    planned_set, now = found(request, rows, pk), timezone.now()
    refusal = ""
    if request.method == "POST":
        if not request.user.has_perm("planning.add_tallyevent"):
            raise PermissionDenied
        try:
            messages.success(request, _pressed(request, planned_set, now))
        except ValidationError as fault:
            refusal = " ".join(fault.messages)
        else:
            return redirect("set-turns", pk)
    context = {
        "planned_set": planned_set,
        "workshop": planned_set.workshop,
        "at": now,
        "refusal": refusal,
        "say": print_options(request.house).figures(planned_set.location.timezone_name),
        **_called(planned_set, planned(inputs_of([pk])[pk], request.house), now),
    }
    return render(request, "planning/turns.html", context, status=BAD if refusal else 200)


def _called(planned_set: PlannedSet, found_plan: Planned, now: datetime) -> dict:
    if found_plan.plan is None:
        return {"calling": None, "reason": found_plan.reason}
    shown = calling(planned_set, found_plan, now)
    keyed = [(row, uuid4(), uuid4()) for row in (*shown.now, *shown.later)]
    return {
        "calling": shown,
        "now_rows": keyed[: len(shown.now)],
        "later_rows": keyed[len(shown.now) :],
        "notes": [(note, uuid4()) for note in shown.noted],
        "cautions": [
            caution
            for caution in found_plan.plan.cautions
            if caution.code in ("hands", "fewer-turns", "stations-empty", "triggers-shared")
        ],
    }


def _pressed(request: HttpRequest, planned_set: PlannedSet, now: datetime) -> str:
    """Do what was pressed and return what is said of it. Raises Refused."""
    if request.POST.get("do") == "back":
        return _taken_back(request, planned_set, now)
    form = _checked(TurnForm(request.POST, planned_set=planned_set))
    booking, do = form["booking"], form["do"]
    event = note_turn(
        by=request.user,
        planned_set=planned_set,
        booking=booking,
        kind=KINDS[do],
        uuid=form["uuid"],
        now=now,
        planned_at=_planned_at(planned_set, booking.pk, form["round"], form["station"], now),
        round=form["round"],
        station=form["station"],
    )
    told = {"person": event.booking.person}
    if do == "given":
        return _("%(person)s: turn given.") % told
    return _("%(person)s is not here: the next one comes now.") % told


def _taken_back(request: HttpRequest, planned_set: PlannedSet, now: datetime) -> str:
    form = _checked(BackForm(request.POST, planned_set=planned_set, kinds=TURNS))
    take_back(by=request.user, event=form["event"], uuid=form["uuid"], now=now)
    return _("%(person)s: taken back.") % {"person": form["event"].booking.person}


def _checked(form) -> dict:
    if not form.is_valid():
        raise ValidationError(_("This press could not be read. Look again, then try anew."))
    return form.cleaned_data


def _planned_at(
    planned_set: PlannedSet, booking_id: int, round_: int, station: str, now: datetime
) -> datetime:
    """When the plan has that turn; now where it has none."""
    found_plan = planned(inputs_of([planned_set.pk])[planned_set.pk])
    if found_plan.plan is None:
        return now
    shown = calling(planned_set, found_plan, now)
    asked = (booking_id, round_, station)
    for row in (*shown.now, *shown.later):
        if (row.booking_id, row.turn.round, row.turn.station) == asked:
            return row.turn.start_at
    return now
