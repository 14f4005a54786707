"""The order of a workshop's days: today's plan beside the best one, taken over whole or in part."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from planning.day import shown_day
from planning.forms.day import OrderForm, date_of, instant
from planning.models import PlannedSet
from planning.selectors.day import days_astray, workshop_days
from planning.services.day import pin_set, take_order
from planning.services.moving import move_along
from workshops.access import found, found_workshop, may
from workshops.errors import Stale
from workshops.models import Workshop
from workshops.views.edit import BAD, STALE


@may("view", "plannedset", "planning")
def workshop_day(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    status, refused = 200, []
    if request.method == "POST":
        if not request.user.has_perm("planning.change_plannedset"):
            raise PermissionDenied
        status, refused = _take(request, workshop)
        if not status:
            return redirect("workshop-day", pk)
    astray = days_astray(workshop)
    days = [
        shown_day(one, request.house, workshop.timezone_name)
        # Of sets on another date there is no day to order.
        for one in (() if astray else workshop_days(workshop))
    ]
    context = {
        "workshop": workshop,
        "days": days,
        "breaks": workshop.breaks.all(),
        "refused": refused,
        "astray": astray,
        "places": list({one.location_id: one.location for one in _records(days)}.values()),
    }
    return render(request, "planning/day.html", context, status=status)


def _records(days) -> list[PlannedSet]:
    return [record for shown in days for record in shown.found.records]


def _take(request: HttpRequest, workshop: Workshop) -> tuple[int, list[str]]:
    """Take the ticked sets' times over; return the status and words of a refusal, or 0."""
    on = date_of(request.POST.get("day", ""))
    records = next((one.records for one in workshop_days(workshop) if one.on == on), ())
    form = OrderForm(request.POST, keys=[one.pk for one in records])
    if not form.is_valid():
        return BAD, [words for told in form.errors.values() for words in told]
    try:
        moved = take_order(
            by=request.user, workshop=workshop, on=on, starts=form.starts(), seen=form.seen()
        )
    except Stale as reason:
        return STALE, reason.messages
    except ValidationError as refusal:
        return BAD, refusal.messages
    told = ngettext("%(n)d set has a new time.", "%(n)d sets have a new time.", len(moved))
    messages.success(request, told % {"n": len(moved)})
    return 0, []


@require_POST
@may("change", "plannedset", "planning")
def sets_move(request: HttpRequest, pk: int) -> HttpResponse:
    """Let the sets and breaks follow the workshop to its date."""
    workshop = found_workshop(request, pk)
    try:
        days = move_along(by=request.user, workshop=workshop)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        words = ngettext(
            "Sets and breaks have moved by %(n)d day. Look at their light, tides and forecasts.",
            "Sets and breaks have moved by %(n)d days. Look at their light, tides and forecasts.",
            abs(days),
        )
        messages.success(request, words % {"n": days})
    return redirect("workshop-day", pk)


@require_POST
@may("change", "plannedset", "planning")
def set_pin(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep a set at its time, or let it go."""
    planned_set = found(request, PlannedSet, pk)
    pinned = request.POST.get("pinned") == "1"
    seen = instant(request.POST.get(f"seen_{pk}"))
    try:
        pin_set(by=request.user, planned_set=planned_set, pinned=pinned, seen=seen)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        told = _("%(set)s is kept at its time.") if pinned else _("%(set)s may move.")
        messages.success(request, told % {"set": planned_set.title})
    return redirect("workshop-day", planned_set.workshop_id)
