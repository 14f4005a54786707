"""Handouts: who gets one, by which link, and the PDF of each."""

from datetime import datetime

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone, translation
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_safe

from planning.certificates import refusal_of_certificate
from planning.handouts import handouts
from planning.sheets.handout import handout_pdf as made
from planning.sheets.handout import lesson_sides
from planning.sheets.pages import in_language
from planning.sheets.worker import SheetFailed, time_limit
from planning.views.answers import PAGE_S, options_of, pdf
from workshops.access import found, found_workshop, may
from workshops.house_rules import spoken
from workshops.models import Booking, SignedLink
from workshops.services import links
from workshops.services.handout_links import (
    handout_link,
    make_handout_link,
    revoke_handout_links,
    send_handouts,
    who_gets_one,
)
from workshops.views.linked import private

HANDOUT = SignedLink.Purpose.HANDOUT
KEPT = "handout"  # under which the session keeps the one link it may look at


@may("view", "plannedset", "planning")
def workshop_handouts(request: HttpRequest, pk: int) -> HttpResponse:
    """Show everybody's handout and link; POST writes to all, or makes or ends one link."""
    workshop, now = found_workshop(request, pk), timezone.now()
    if request.method == "POST":
        if not request.user.has_perm("workshops.change_signedlink"):
            raise PermissionDenied
        _act(request, workshop, now)
        return redirect("workshop-handouts", pk)
    rows = [(booking, handout_link(booking, now)) for booking in who_gets_one(workshop)]
    context = {
        "workshop": workshop,
        "rows": [(one, link, links.address(link) if link else "") for one, link in rows],
        "begun": workshop.start_at <= now,
        "over": workshop.end_at <= now,
        "sets": list(workshop.sets.order_by("position", "pk")),
    }
    return render(request, "planning/handouts.html", context)


def _act(request: HttpRequest, workshop, now: datetime) -> None:
    """Do what the button pressed says, and tell about it."""
    try:
        if "send" in request.POST:
            _tell(request, send_handouts(by=request.user, workshop=workshop, now=now))
            return
        pressed = request.POST.get("make") or request.POST.get("end") or ""
        rows = {str(one.pk): one for one in who_gets_one(workshop)}
        booking = rows.get(pressed)
        if booking is None:
            messages.error(request, _("Choose somebody of this workshop."))
        elif "make" in request.POST:
            make_handout_link(by=request.user, booking=booking, now=now)
            messages.success(request, _("The link is made: copy it and hand it on."))
        else:
            revoke_handout_links(by=request.user, booking=booking, now=now)
            messages.success(request, _("The link opens nothing any more."))
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))


def _tell(request: HttpRequest, sent) -> None:
    words = ngettext("%(n)d mail is written.", "%(n)d mails are written.", sent.now)
    told = [words % {"n": sent.now}]
    if sent.before:
        told.append(_("%(n)d had theirs before.") % {"n": sent.before})
    messages.success(request, " ".join(told))
    if sent.without_address:
        names = ", ".join(str(person) for person in sent.without_address)
        sentence = _("No e-mail address that works: %(names)s. Make a link and hand it on.")
        messages.warning(request, sentence % {"names": names})


@may("view", "plannedset", "planning")
def booking_handout(request: HttpRequest, pk: int) -> HttpResponse:
    """The handout of one attendee as PDF, for whoever teaches or for the office."""
    booking = found(request, Booking.objects.select_related("workshop", "person"), pk)
    try:
        return _pdf(request, booking)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
        return redirect("workshop-handouts", booking.workshop_id)


@login_not_required
@require_safe
def handout_open(request: HttpRequest, signed: str) -> HttpResponse:
    """Only remember which handout the link opens, and lead on to an address that says nothing."""
    link = links.opened(HANDOUT, signed, timezone.now())
    if link is None:
        return private(render(request, "planning/handout_closed.html", status=404))
    request.session[KEPT] = link.pk.hex
    return private(redirect("handout"))


@login_not_required
@require_safe
def handout(request: HttpRequest) -> HttpResponse:
    link = kept_link(request)
    if link is None:
        return closed(request)
    booking = link.booking
    with translation.override(spoken(booking.person.language)):
        context = {"booking": booking, "workshop": booking.workshop, "link": link}
        context["certified"] = not refusal_of_certificate(booking, timezone.now())
        return private(render(request, "planning/handout.html", context))


@login_not_required
@require_safe
def handout_pdf(request: HttpRequest) -> HttpResponse:
    link = kept_link(request)
    if link is None:
        return closed(request)
    try:
        return private(_pdf(request, link.booking))
    except ValidationError as refusal:
        context = {"reason": " ".join(refusal.messages)}
        return private(render(request, "planning/handout_closed.html", context, status=503))


def kept_link(request: HttpRequest) -> SignedLink | None:
    key = request.session.get(KEPT)
    return links.still_open(HANDOUT, key, timezone.now()) if key else None


def closed(request: HttpRequest) -> HttpResponse:
    status = 410 if KEPT in request.session else 404
    return private(render(request, "planning/handout_closed.html", status=status))


def _pdf(request: HttpRequest, booking: Booking) -> HttpResponse:
    """Answer with a booking's handout. Raises ValidationError where it cannot be printed."""
    options = options_of(request)
    with in_language(options):
        ready = handouts(booking.workshop)
    mine = ready.mine.get(booking.pk)
    if mine is None:
        raise ValidationError(_("Who did not take part gets no handout."))
    try:
        with time_limit(PAGE_S):
            content = made(mine, ready.day, options, lesson_sides(ready.day, options))
    except SheetFailed as reason:
        raise ValidationError(str(reason)) from None
    return pdf(
        content, f"handout-{slugify(booking.workshop.title)[:60] or booking.workshop_id}.pdf"
    )
