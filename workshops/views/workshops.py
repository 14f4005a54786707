"""Workshops: the list, and one day."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from workshops.access import asked, found_workshop, may, own
from workshops.forms.workshops import WorkshopForm
from workshops.models import Booking, Workshop
from workshops.models.base import in_zone
from workshops.selectors.needs import forecasts_of, live_bookings, needs, with_parts
from workshops.selectors.workshops import (
    kit_list,
    roles_in_order,
    split_by_time,
    total_kg,
    workshop_list,
)
from workshops.services.workshops import erase_workshop, save_workshop
from workshops.views.edit import LIST_LENGTH, answer, delete


@may("view", "workshop")
def workshops(request: HttpRequest) -> HttpResponse:
    ahead, past = split_by_time(
        own(request.user, workshop_list(asked(request)), "pk"), timezone.now()
    )
    page = Paginator(past, LIST_LENGTH).get_page(request.GET.get("page"))
    # What is to come stands on the first part only; the rest of the list is the past.
    context = {"ahead": ahead if page.number == 1 else None, "page": page, "asked": asked(request)}
    return render(request, "workshops/workshops.html", context)


@may("view", "workshop")
def workshop(request: HttpRequest, pk: int) -> HttpResponse:
    found = found_workshop(request, pk, with_parts(Workshop.objects.select_related("terms")))
    live = live_bookings(found)
    kit = kit_list(found)
    confirmed = sum(one.state == Booking.State.CONFIRMED for one in live)
    on = in_zone(found.start_at, found.timezone_name).date()
    context = {
        "workshop": found,
        "needs": needs(found, timezone.now(), forecasts_of([found])),
        "live": live,
        "gone": [one for one in found.bookings.all() if one not in live],
        "under_age": {one.person_id for one in live if one.person.is_under_age(on)},
        "roles": roles_in_order(found),
        "free": len(found.seats.all()) - len(live),
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
