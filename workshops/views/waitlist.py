"""The waitlist as the office works it: offer, take back, give a seat."""

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_POST

from workshops.access import may
from workshops.services.waitlist import give_seat, offer_seat, withdraw_offer
from workshops.views.bookings import done, found_booking


@require_POST
@may("change", "booking")
def booking_offer(request: HttpRequest, pk: int) -> HttpResponse:
    booking = found_booking(request, pk)
    return done(
        request,
        booking,
        lambda: offer_seat(by=request.user, booking=booking, now=timezone.now()),
    )


@require_POST
@may("change", "booking")
def booking_accept(request: HttpRequest, pk: int) -> HttpResponse:
    """Give the seat offered, or a free one, on somebody's behalf."""
    booking = found_booking(request, pk)
    return done(
        request,
        booking,
        lambda: give_seat(by=request.user, booking=booking, now=timezone.now()),
    )


@require_POST
@may("change", "booking")
def booking_withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    """Take an offer back, and offer the seat to whoever was chosen, else to the next."""
    booking = found_booking(request, pk)
    chosen = request.POST.get("then", "")
    waiting = booking.workshop.bookings.waiting()
    then = waiting.filter(pk=chosen).first() if chosen.isdecimal() and len(chosen) < 19 else None
    return done(
        request,
        booking,
        lambda: withdraw_offer(by=request.user, booking=booking, now=timezone.now(), then=then),
    )
