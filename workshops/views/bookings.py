"""Who holds a seat at a workshop."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from workshops.access import asked, found, found_workshop, may
from workshops.forms.bookings import BookingForm, BookingNewForm
from workshops.models import Booking, Workshop
from workshops.selectors.people import people
from workshops.selectors.seats import seats_left
from workshops.services.bookings import book_new, cancel_booking, confirm_booking, save_booking
from workshops.views.edit import answer


@may("add", "booking")
def booking_new(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    back = reverse("workshop", args=[pk])

    form = BookingNewForm(
        request.POST or None,
        instance=Booking(workshop=workshop),
        house=request.house,
        people=people(asked(request)),
        new_people=request.user.has_perm("workshops.add_person"),
    )
    return answer(
        request,
        form,
        template="workshops/somebody.html",
        save=lambda form: book_new(
            by=request.user,
            workshop=workshop,
            now=timezone.now(),
            person=form.cleaned_data["person"],
            new_person=form.new_person(),
            new_camera=form.new_camera(),
            state=form.cleaned_data["state"],
            trigger_unit=form.cleaned_data["trigger_unit"],
            notes=form.cleaned_data["notes"],
        ),
        then=lambda _made: back,
        context={
            "heading": _("A seat at %(workshop)s") % {"workshop": workshop},
            "lead": _seats_in_words(workshop),
            "back": back,
            "back_to": str(workshop),
            "asked": asked(request),
            "save_words": _("Give the seat"),
        },
    )


def _seats_in_words(workshop: Workshop) -> str:
    seats, free = workshop.seats.count(), seats_left(workshop)
    told = {"held": seats - free, "seats": seats, "free": free}
    return _("%(held)d of %(seats)d seats held, %(free)d free.") % told


@may("change", "booking")
def booking_edit(request: HttpRequest, pk: int) -> HttpResponse:
    booking = _found(request, pk)
    back = reverse("workshop", args=[booking.workshop_id])
    return answer(
        request,
        BookingForm(request.POST or None, instance=booking, house=request.house),
        template="workshops/booking.html",
        save=lambda form: save_booking(
            by=request.user, booking=form.instance, seen=form.cleaned_data["seen"]
        ),
        then=lambda _saved: back,
        context={
            "heading": str(booking.person),
            "back": back,
            "back_to": str(booking.workshop),
            "booking": booking,
        },
    )


@require_POST
@may("change", "booking")
def booking_confirm(request: HttpRequest, pk: int) -> HttpResponse:
    booking = _found(request, pk)
    return _done(request, booking, lambda: confirm_booking(by=request.user, booking=booking))


@require_POST
@may("change", "booking")
def booking_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    booking = _found(request, pk)
    return _done(
        request,
        booking,
        lambda: cancel_booking(by=request.user, booking=booking, now=timezone.now()),
    )


def _found(request: HttpRequest, pk: int) -> Booking:
    return found(request, Booking.objects.select_related("workshop", "person"), pk)


def _done(request: HttpRequest, booking: Booking, act) -> HttpResponse:
    try:
        changed = act()
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        told = {"person": booking.person, "state": changed.get_state_display()}
        messages.success(request, _("%(person)s: %(state)s.") % told)
    return redirect("workshop", booking.workshop_id)
