"""A booking moved to another person or another date."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from workshops.access import asked, may, own_people
from workshops.forms.transfers import ToDateForm, ToPersonForm
from workshops.models import Booking, Person
from workshops.selectors.people import people_found
from workshops.selectors.workshops import bookable, seats_by_workshop
from workshops.services.transfers import transfer_to_person, transfer_to_workshop
from workshops.views.bookings import found_booking
from workshops.views.edit import answer


@may("change", "booking")
def booking_to_person(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask who takes a booking over, then for what the day needs of them."""
    booking = found_booking(request, pk)
    chosen = request.GET.get("person", "")
    if chosen != "new" and not chosen.isdecimal():
        return _who(request, booking)
    person = Person() if chosen == "new" else _person(request, chosen)
    form = ToPersonForm(request.POST or None, instance=person, booking=booking, house=request.house)
    heading = (
        _("%(booking)s goes to somebody new")
        if chosen == "new"
        else _("%(booking)s goes to %(to)s")
    )
    return answer(
        request,
        form,
        template="workshops/booking_to_person.html",
        save=lambda form: transfer_to_person(
            by=request.user, booking=booking, now=timezone.now(), **form.asks_for()
        ),
        then=lambda moved: reverse("workshop", args=[moved.workshop_id]),
        context=_about(booking)
        | {
            "heading": heading % {"booking": booking, "to": person.name},
            "save_words": _("Transfer the booking"),
        },
    )


def _who(request: HttpRequest, booking: Booking) -> HttpResponse:
    shown = people_found(asked(request), "", booking.workshop) | {"place": request.path}
    if "HX-Request" in request.headers:
        return render(request, "workshops/_people_links.html", shown)
    context = _about(booking) | shown | {"heading": _("Who takes it over?"), "booking": booking}
    return render(request, "workshops/booking_to_whom.html", context)


def _person(request: HttpRequest, chosen: str) -> Person:
    # More digits than a key has: nobody's number, on any engine.
    return get_object_or_404(own_people(request.user), pk=int(chosen[:18]))


def _about(booking: Booking) -> dict:
    return {
        "booking": booking,
        "back": reverse("booking-edit", args=[booking.pk]),
        "back_to": str(booking.person),
    }


@may("change", "booking")
def booking_to_date(request: HttpRequest, pk: int) -> HttpResponse:
    """Move a booking to another workshop that takes bookings."""
    booking, now = found_booking(request, pk), timezone.now()
    others = bookable(now).exclude(pk=booking.workshop_id)
    form = ToDateForm(request.POST or None, workshops=others, left=seats_by_workshop(others, now))
    return answer(
        request,
        form,
        template="workshops/booking_to_date.html",
        save=lambda form: transfer_to_workshop(
            by=request.user, booking=booking, now=now, **form.cleaned_data
        ),
        then=lambda moved: reverse("workshop", args=[moved.workshop_id]),
        context=_about(booking)
        | {
            "heading": _("Another date for %(person)s") % {"person": booking.person},
            "others": others,
            "save_words": _("Transfer the booking"),
        },
    )
