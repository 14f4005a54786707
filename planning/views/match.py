"""Which trigger fires which camera, by the book and as the rehearsal found it."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from planning.forms.rehearsal import RehearsalForm
from planning.match import Match, match
from planning.misfires import cure_words
from planning.selectors.inputs import of_people
from planning.selectors.misfires import seen_misfires
from planning.sheets.options import print_options
from workshops.access import found, found_workshop, may
from workshops.models import Booking, Workshop
from workshops.services.rehearsals import record_rehearsal, settle_triggers
from workshops.views.edit import answer


@may("view", "rehearsal")
def workshop_match(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk, of_people(Workshop.objects.all()))
    context = {
        "workshop": workshop,
        "match": match(workshop, request.house),
        "misfires": [(one, cure_words(one.cause)) for one in seen_misfires(workshop)],
        "say": print_options(request.house).figures(workshop.timezone_name),
    }
    return render(request, "planning/match.html", context)


@require_POST
@may("add", "rehearsal")
def match_settle(request: HttpRequest, pk: int) -> HttpResponse:
    """Give everybody the trigger proposed for them."""
    workshop = found_workshop(request, pk, of_people(Workshop.objects.all()))
    try:
        pairs = match(workshop, request.house).to_settle
        settled = settle_triggers(by=request.user, pairs=pairs, now=timezone.now())
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        told = ngettext(
            "%(n)d trigger is settled.", "%(n)d triggers are settled.", len(settled)
        ) % {"n": len(settled)}
        messages.success(request, told)
    return redirect("workshop-match", pk)


@may("add", "rehearsal")
def rehearsal(request: HttpRequest, pk: int) -> HttpResponse:
    booking = found(request, Booking.objects.select_related("workshop", "person"), pk)
    workshop = of_people(Workshop.objects.filter(pk=booking.workshop_id)).get()
    group = match(workshop, request.house)
    back = reverse("workshop-match", args=[workshop.pk])
    form = RehearsalForm(
        request.POST or None,
        booking=booking,
        triggers=group.triggers,
        lamps=group.lamps,
        initial={"trigger_unit": _proposed(group, booking)},
    )
    return answer(
        request,
        form,
        template="planning/rehearsal.html",
        save=lambda form: record_rehearsal(
            by=request.user,
            booking=booking,
            trigger_unit=form.cleaned_data["trigger_unit"],
            results=form.results(),
            measured_sync_s=form.cleaned_data["measured_sync_s"],
            now=timezone.now(),
        )[0],
        then=lambda _saved: back,
        context={
            "heading": _("Does it fire for %(person)s?") % {"person": booking.person},
            "back": back,
            "back_to": _("Who fits"),
            "match": group,
        },
    )


def _proposed(group: Match, booking: Booking) -> int | None:
    units = [pair.unit for pair in group.pairs if pair.booking.pk == booking.pk and pair.unit]
    return units[0].pk if units else None
