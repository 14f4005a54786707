"""The page of an offered seat, for somebody without an account.

The signed address only remembers in the session which offer it opens, and leads on to an address
that says nothing: programs that look at the links of a mail burn nothing by it.
"""

from datetime import datetime

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from workshops.house_rules import spoken
from workshops.models import Booking, SignedLink
from workshops.services.cancelling import decline_offer
from workshops.services.links import opened, still_open
from workshops.services.waitlist import accept_offer
from workshops.views.linked import private

OFFER = SignedLink.Purpose.OFFER
KEPT = "offer"  # under which the session keeps the one link it may look at


@login_not_required
@require_safe
def offer_open(request: HttpRequest, signed: str) -> HttpResponse:
    link = opened(OFFER, signed, timezone.now())
    if link is None:
        return _closed(request, status=404)
    request.session[KEPT] = link.pk.hex
    return private(redirect("offer"))


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def offer(request: HttpRequest) -> HttpResponse:
    """Show the seat offered, and take the answer: accept or decline."""
    now = timezone.now()
    link = still_open(OFFER, request.session.get(KEPT), now) if KEPT in request.session else None
    if link is None:
        return _closed(request, status=410 if KEPT in request.session else 404)
    with translation.override(spoken(link.booking.person.language)):
        if request.method == "POST":
            return private(_answered(request, link))
        return private(_page(request, link, now), "same-origin")


def _page(request: HttpRequest, link: SignedLink, now: datetime) -> HttpResponse:
    booking = Booking.objects.select_related("workshop__terms", "person").get(pk=link.booking_id)
    context = {
        "link": link,
        "booking": booking,
        "workshop": booking.workshop,
        "stands": booking.state == Booking.State.WAITLISTED and booking.is_offered(now),
        "places": booking.workshop.places.select_related("location").order_by("position", "pk"),
    }
    return render(request, "workshops/offer.html", context)


def _answered(request: HttpRequest, link: SignedLink) -> HttpResponse:
    now, booking, given = timezone.now(), link.booking, request.POST.get("answer")
    try:
        if request.POST.get("of") != link.pk.hex:
            messages.error(
                request,
                _("Another offer was opened in this browser: here it is. Nothing was answered."),
            )
        elif given == "accept":
            accept_offer(by=None, booking=booking, now=now)
        elif given == "decline":
            decline_offer(by=None, booking=booking, now=now)
            messages.success(request, _("You have declined: the seat goes to the next in line."))
        else:
            messages.error(request, _("Choose one of the two: accept or decline."))
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    return redirect("offer")


def _closed(request: HttpRequest, *, status: int) -> HttpResponse:
    return private(render(request, "workshops/offer_closed.html", status=status))
