"""Workshops: the list, and one day."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from workshops.access import asked, found_workshop, may, own
from workshops.forms.transfers import CallOffForm
from workshops.forms.workshops import WorkshopForm
from workshops.models import Booking, Workshop
from workshops.models.base import in_zone
from workshops.refunds import whole_days_left
from workshops.selectors.day_money import called_off, cancelled_lines
from workshops.selectors.needs import forecasts_of, live_bookings, needs, with_parts
from workshops.selectors.seats import seat_count, waitlist
from workshops.selectors.workshops import (
    kit_list,
    roles_in_order,
    split_by_time,
    total_kg,
    workshop_list,
)
from workshops.services.bookings import day_begins
from workshops.services.waitlist import BOOKABLE
from workshops.services.workshops import cancel_workshop, erase_workshop, save_workshop
from workshops.views.edit import LIST_LENGTH, answer, delete


@may("view", "workshop")
def workshops(request: HttpRequest) -> HttpResponse:
    now = timezone.now()
    ahead, past = split_by_time(own(request.user, workshop_list(asked(request), now), "pk"), now)
    page = Paginator(past, LIST_LENGTH).get_page(request.GET.get("page"))
    # What is to come stands on the first part only; the rest of the list is the past.
    context = {"ahead": ahead if page.number == 1 else None, "page": page, "asked": asked(request)}
    return render(request, "workshops/workshops.html", context)


@may("view", "workshop")
def workshop(request: HttpRequest, pk: int) -> HttpResponse:
    found = found_workshop(request, pk, with_parts(Workshop.objects.select_related("terms")))
    now = timezone.now()
    live, waiting = live_bookings(found), waitlist(found.bookings.all())
    kit = kit_list(found)
    confirmed = sum(one.state == Booking.State.CONFIRMED for one in live)
    on = in_zone(found.start_at, found.timezone_name).date()
    context = {
        "workshop": found,
        "needs": needs(found, now, forecasts_of([found])),
        "live": live,
        "waiting": waiting,
        "offered": {one.pk for one in waiting if one.is_offered(now)},
        "gone": cancelled_lines(found, now),
        "count": seat_count(found, now),
        "days_left": max(whole_days_left(found.start_at, now, found.timezone_name), 0),
        "bookable": found.status in BOOKABLE and now < found.start_at,
        "on_the_day": found.status != found.Status.CANCELLED and now >= day_begins(found),
        "under_age": {one.person_id for one in (*live, *waiting) if one.person.is_under_age(on)},
        "roles": roles_in_order(found),
        "missing": found.minimum_to_run - confirmed,
        "kit": kit,
        "mass_kg": total_kg(kit),
    }
    return render(request, "workshops/workshop.html", context)


@may("add", "workshop")
def workshop_new(request: HttpRequest) -> HttpResponse:
    rules = request.house
    made = Workshop(currency=rules.currency, status=Workshop.Status.OPEN)
    context = {
        "heading": _("A new workshop"),
        "back": reverse("workshops"),
        "back_to": _("Workshops"),
    }
    form = WorkshopForm(request.POST or None, instance=made, house=rules)
    return _edit(request, form, context)


@may("change", "workshop")
def workshop_edit(request: HttpRequest, pk: int) -> HttpResponse:
    found = found_workshop(request, pk)
    context = {
        "heading": str(found),
        "back": reverse("workshop", args=[pk]),
        "back_to": str(found),
        # Another than a draft is kept, and called off instead.
        "remove": found.status == found.Status.DRAFT and reverse("workshop-delete", args=[pk]),
    }
    form = WorkshopForm(request.POST or None, instance=found, house=request.house)
    return _edit(request, form, context)


def _edit(request: HttpRequest, form: WorkshopForm, context: dict) -> HttpResponse:
    return answer(
        request,
        form,
        template="workshops/workshop_edit.html",
        save=lambda form: save_workshop(
            by=request.user,
            workshop=form.instance,
            seats=form.cleaned_data["seats"],
            places=form.places(),
            lead=form.cleaned_data["lead"],
            now=timezone.now(),
            seen=form.cleaned_data["seen"],
        ),
        then=lambda saved: reverse("workshop", args=[saved.pk]),
        context=context,
    )


@may("change", "workshop")
def workshop_call_off(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once more before a workshop is called off, naming everybody concerned."""
    found = found_workshop(request, pk, Workshop.objects.select_related("terms"))
    back = reverse("workshop", args=[pk])
    booked = found.bookings.exclude(state=Booking.State.CANCELLED)
    form = CallOffForm(request.POST or None)
    return answer(
        request,
        form,
        template="workshops/workshop_call_off.html",
        save=lambda form: cancel_workshop(
            by=request.user, workshop=found, now=timezone.now(), **form.cleaned_data
        ),
        then=lambda _off: back,
        context={
            "heading": _("Call off %(workshop)s?") % {"workshop": found},
            "back": back,
            "back_to": str(found),
            "workshop": found,
            "booked": called_off(booked.order_by("booked_at", "pk"), timezone.now()),
            "roles": found.roles.select_related("person").order_by("pk"),
            "units": found.kit.count(),
            "save_words": _("Call it off"),
        },
    )


@may("delete", "workshop")
def workshop_delete(request: HttpRequest, pk: int) -> HttpResponse:
    found = found_workshop(request, pk)
    return delete(
        request,
        found,
        back=reverse("workshop", args=[pk]),
        then=reverse("workshops"),
        erase=lambda: erase_workshop(by=request.user, workshop=found),
    )
