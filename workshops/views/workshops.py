"""Workshops: the list, one day, its roles and its kit list."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from workshops.access import asked, may
from workshops.forms.workshops import RoleForm, WorkshopForm
from workshops.models import KitUnit, Workshop, WorkshopRole
from workshops.models.base import in_zone
from workshops.selectors.needs import forecasts_of, live_bookings, needs, with_parts
from workshops.selectors.workshops import kit_choices, kit_list, split_by_time, workshop_list
from workshops.services.lists import set_kit
from workshops.services.workshops import save_role, save_workshop
from workshops.views.edit import LIST_LENGTH, answer, delete


@may("view", "workshop")
def workshops(request: HttpRequest) -> HttpResponse:
    ahead, past = split_by_time(workshop_list(asked(request)), timezone.now())
    page = Paginator(past, LIST_LENGTH).get_page(request.GET.get("page"))
    context = {"ahead": ahead, "page": page, "asked": asked(request)}
    return render(request, "workshops/workshops.html", context)


@may("view", "workshop")
def workshop(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(with_parts(Workshop.objects.select_related("terms")), pk=pk)
    live = live_bookings(found)
    groups, mass_kg = kit_list(found)
    on = in_zone(found.start_at, found.timezone_name).date()
    context = {
        "workshop": found,
        "needs": needs(found, timezone.now(), forecasts_of([found])),
        "live": live,
        "gone": [one for one in found.bookings.all() if one not in live],
        "under_age": [one.person for one in live if one.person.is_under_age(on)],
        "photosensitive": any(one.person.photosensitive for one in (*live, *found.roles.all())),
        "free": len(found.seats.all()) - len(live),
        "kit": groups,
        "mass_kg": mass_kg,
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
    found = get_object_or_404(Workshop, pk=pk)
    context = {
        "heading": str(found),
        "back": reverse("workshop", args=[pk]),
        "back_to": str(found),
        "remove": reverse("workshop-delete", args=[pk]),
    }
    form = WorkshopForm(request.POST or None, instance=found, house=request.house)
    return _edit(request, form, context)


def _edit(request: HttpRequest, form: WorkshopForm, context: dict) -> HttpResponse:
    return answer(
        request,
        form,
        template="edit.html",
        save=lambda form: save_workshop(
            by=request.user,
            workshop=form.instance,
            seats=form.cleaned_data["seats"],
            places=form.places(),
            lead=form.cleaned_data["lead"],
            seen=form.cleaned_data["seen"],
        ),
        then=lambda saved: reverse("workshop", args=[saved.pk]),
        context=context,
    )


@may("delete", "workshop")
def workshop_delete(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Workshop, pk=pk)
    return delete(request, found, back=reverse("workshop", args=[pk]), then=reverse("workshops"))


@may("add", "workshoprole")
def role_new(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Workshop, pk=pk)
    role = WorkshopRole(workshop=found, role=request.GET.get("role", ""))
    form = RoleForm(request.POST or None, instance=role, house=request.house)
    return _role(request, form, found, {"heading": _("Somebody for the day")})


@may("change", "workshoprole")
def role_edit(request: HttpRequest, pk: int) -> HttpResponse:
    role = get_object_or_404(WorkshopRole.objects.select_related("workshop", "person"), pk=pk)
    form = RoleForm(request.POST or None, instance=role, house=request.house)
    remove = reverse("role-delete", args=[pk])
    return _role(request, form, role.workshop, {"heading": str(role.person), "remove": remove})


def _role(request: HttpRequest, form: RoleForm, found: Workshop, context: dict) -> HttpResponse:
    back = reverse("workshop", args=[found.pk])
    return answer(
        request,
        form,
        template="edit.html",
        save=lambda form: save_role(
            by=request.user, role=form.instance, new_person=form.new_person()
        ),
        then=lambda _saved: back,
        context=context | {"back": back, "back_to": str(found)},
    )


@may("delete", "workshoprole")
def role_delete(request: HttpRequest, pk: int) -> HttpResponse:
    role = get_object_or_404(WorkshopRole, pk=pk)
    then = reverse("workshop", args=[role.workshop_id])
    return delete(request, role, back=reverse("role-edit", args=[pk]), then=then)


@may("change", "workshop")
def workshop_kit(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Workshop, pk=pk)
    if request.method == "POST":
        keys = [key for key in request.POST.getlist("unit") if key.isascii() and key.isdigit()]
        units = KitUnit.objects.filter(pk__in=[int(key[:12]) for key in keys])
        try:
            set_kit(by=request.user, workshop=found, units=units)
        except ValidationError as refusal:
            messages.error(request, " ".join(refusal.messages))
        else:
            messages.success(request, _("The kit list is saved."))
            return redirect("workshop", pk)
    context = {"workshop": found, "choices": kit_choices(found)}
    return render(request, "workshops/workshop_kit.html", context)
