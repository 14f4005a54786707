"""Certificates of attendance as PDF: for the house, and behind an attendee's own link."""

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from planning.certificates import certificate
from planning.sheets.certificate import certificate_pdf
from planning.sheets.pages import in_language
from planning.sheets.worker import SheetFailed, time_limit
from planning.views.answers import PAGE_S, UNAVAILABLE, options_of, pdf
from planning.views.handouts import closed, kept_link
from workshops.access import found, may
from workshops.models import Booking
from workshops.views.linked import private


@may("view", "plannedset", "planning")
def booking_certificate(request: HttpRequest, pk: int) -> HttpResponse:
    booking = found(request, Booking.objects.select_related("workshop", "person"), pk)
    try:
        return _pdf(request, booking)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
        return redirect("workshop", booking.workshop_id)


@login_not_required
@require_safe
def handout_certificate(request: HttpRequest) -> HttpResponse:
    """The certificate of whose handout the link of this session opens."""
    link = kept_link(request)
    if link is None:
        return closed(request)
    try:
        return private(_pdf(request, link.booking))
    except ValidationError as refusal:
        context = {"reason": " ".join(refusal.messages)}
        answer = render(request, "planning/handout_closed.html", context, status=UNAVAILABLE)
        return private(answer)


def _pdf(request: HttpRequest, booking: Booking) -> HttpResponse:
    """Answer with a booking's certificate. Raises ValidationError where it gets none."""
    options = options_of(request)
    with in_language(options):
        told = certificate(booking, request.house, timezone.now())
    try:
        with time_limit(PAGE_S):
            content = certificate_pdf(told, options)
    except SheetFailed as reason:
        raise ValidationError(str(reason)) from None
    name = slugify(booking.workshop.title)[:60] or booking.workshop_id
    return pdf(content, f"certificate-{name}.pdf")
