"""Who holds a seat at a workshop."""

from collections.abc import Callable

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from workshops.access import asked, found, found_workshop, may
from workshops.errors import Refused
from workshops.forms.bookings import BookingForm, BookingNewForm, CancelForm
from workshops.models import Booking, Workshop
from workshops.selectors.day_money import settled
from workshops.selectors.people import people, people_found
from workshops.selectors.seats import SeatCount, seat_count, waitlist
from workshops.services.bookings import book_new, save_booking, set_state, takes_who_came
from workshops.services.cancelling import cancel_booking, share_refunded
from workshops.views.edit import answer

CalledOffBy, State = Booking.CalledOffBy, Booking.State
LONGEST_NUMBER = 10  # of a set, in digits: no more are looked up


@may("add", "booking")
def booking_new(request: HttpRequest, pk: int) -> HttpResponse:
    """Show and take the form; while somebody types a name, answer with the people found."""
    workshop, now = found_workshop(request, pk), timezone.now()
    back, back_to = _whence(request, workshop)
    came = takes_who_came(workshop, now)
    shown = people_found(asked(request), request.GET.get("person", ""), workshop)
    if "HX-Request" in request.headers and request.method == "GET":
        chosen = {"name": "person", "chosen": request.GET.get("person", "")}
        return render(request, "workshops/_people_found.html", shown | chosen)
    count = seat_count(workshop, now)
    form = BookingNewForm(
        request.POST or None,
        instance=Booking(workshop=workshop),
        house=request.house,
        initial={"waitlist": count.free <= 0} | ({"state": State.ATTENDED} if came else {}),
        people=people(),
        new_people=request.user.has_perm("workshops.add_person"),
        found=shown | {"place": request.get_full_path()},
    )
    return answer(
        request,
        form,
        template="workshops/booking_new.html",
        save=lambda form: _book(request, workshop, form),
        then=lambda _made: back,
        told=_came_of_it,
        context={
            "heading": _("A seat at %(workshop)s") % {"workshop": workshop},
            "lead": _begun_in_words(count) if came else seats_in_words(count),
            "back": back,
            "back_to": back_to,
            "save_words": _("Book") if count.free > 0 or came else _("Put on the waitlist"),
        },
    )


def _whence(request: HttpRequest, workshop: Workshop) -> tuple[str, str]:
    """Return where to go on once somebody is booked, and what it is called.

    ``paper`` is the number of the set whose tally sheet is being typed in, ``here`` the page of
    who is here.
    """
    paper = request.GET.get("paper", "")
    if paper.isascii() and paper.isdecimal() and len(paper) < LONGEST_NUMBER:
        return reverse("tally-paper", args=[int(paper)]), _("The tally sheet you were typing in")
    if "here" in request.GET:
        return reverse("workshop-here", args=[workshop.pk]), _("Who is here")
    return reverse("workshop", args=[workshop.pk]), str(workshop)


def _book(request: HttpRequest, workshop: Workshop, form: BookingNewForm) -> Booking:
    try:
        return book_new(by=request.user, workshop=workshop, now=timezone.now(), **form.asks_for())
    except Refused as refusal:
        if "request_key" in getattr(refusal, "error_dict", ()):
            form.renew_key()
        raise


def _came_of_it(booking: Booking) -> str:
    """Say whether somebody has a seat now or waits, and where in the line."""
    told = {"person": booking.person, "state": booking.get_state_display()}
    if booking.state != Booking.State.WAITLISTED:
        return _("%(person)s has a seat: %(state)s.") % told
    told["place"] = waitlist(booking.workshop.bookings.all()).index(booking) + 1
    return _("%(person)s is on the waitlist as number %(place)d.") % told


def _begun_in_words(count: SeatCount) -> str:
    told = _("The workshop has begun: somebody who came unbooked is booked as attended.")
    full = _("All seats are held: give the workshop another seat first.")
    return told if count.free > 0 else f"{told} {full}"


def seats_in_words(count: SeatCount) -> str:
    """Return how many seats are held and free, and how many people wait."""
    told = {"held": count.held, "seats": count.seats, "free": max(count.free, 0)}
    words = [_("%(held)d of %(seats)d seats held, %(free)d free.") % told]
    if count.offered:
        text = ngettext("%(n)d is offered.", "%(n)d are offered.", count.offered)
        words.append(text % {"n": count.offered})
    if count.waiting:
        text = ngettext("%(n)d person waits.", "%(n)d people wait.", count.waiting)
        words.append(text % {"n": count.waiting})
    if count.free < 1:
        told = {"place": count.waiting + count.offered + 1}
        words.append(_("It is full: they go on the waitlist, as number %(place)d.") % told)
    return " ".join(words)


@may("change", "booking")
def booking_edit(request: HttpRequest, pk: int) -> HttpResponse:
    booking = found_booking(request, pk)
    back = reverse("workshop", args=[booking.workshop_id])
    return answer(
        request,
        BookingForm(request.POST or None, instance=booking, house=request.house),
        template="workshops/booking.html",
        save=lambda form: save_booking(
            by=request.user,
            booking=form.instance,
            now=timezone.now(),
            seen=form.cleaned_data["seen"],
        ),
        then=lambda _saved: back,
        context={
            "heading": str(booking.person),
            "back": back,
            "back_to": str(booking.workshop),
            "booking": booking,
            "stored_state": Booking.objects.values_list("state", flat=True).get(pk=pk),
        },
    )


@require_POST
@may("change", "booking")
def booking_confirm(request: HttpRequest, pk: int) -> HttpResponse:
    return _into(request, pk, Booking.State.CONFIRMED)


@require_POST
@may("change", "booking")
def booking_state(request: HttpRequest, pk: int) -> HttpResponse:
    """Give a booking the state a button names: held, confirmed, attended or absent."""
    return _into(request, pk, request.POST.get("state", ""))


def _into(request: HttpRequest, pk: int, state: str) -> HttpResponse:
    booking = found_booking(request, pk)
    return done(
        request,
        booking,
        lambda: set_state(by=request.user, booking=booking, state=state, now=timezone.now()),
    )


@may("change", "booking")
def booking_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask who calls a booking off and why, saying what is refunded, and cancel it."""
    booking, now = found_booking(request, pk), timezone.now()
    form = CancelForm(request.POST or None, initial={"called_off_by": CalledOffBy.ATTENDEE})
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        return done(
            request,
            booking,
            lambda: cancel_booking(by=request.user, booking=booking, now=now, **given),
        )
    shares = {
        one.name.lower(): share_refunded(booking, called_off_by=one, now=now) for one in CalledOffBy
    }
    context = {
        "booking": booking,
        "form": form,
        "shares": shares,
        "by_attendee": settled(booking, now, by_house=False),
        "by_house": settled(booking, now, by_house=True),
    }
    status = 422 if form.errors else 200
    return render(request, "workshops/booking_cancel.html", context, status=status)


def found_booking(request: HttpRequest, pk: int) -> Booking:
    """Return a booking of the account's own workshops, or 404."""
    return found(request, Booking.objects.select_related("workshop__terms", "person"), pk)


def done(request: HttpRequest, booking: Booking, act: Callable[[], Booking]) -> HttpResponse:
    """Do what a button asks for, say what came of it, and lead back to the workshop."""
    back = booking.workshop_id
    try:
        changed = act()
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        told = {"person": changed.person, "state": changed.get_state_display()}
        messages.success(request, _("%(person)s: %(state)s.") % told)
    return redirect("workshop", back)
