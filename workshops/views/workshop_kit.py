"""What comes along to a workshop: what is promised, what is free, what clashes and with what."""

from collections.abc import Callable

from django import forms
from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshops.access import found_workshop, may, seen_by
from workshops.errors import Stale
from workshops.forms.reservations import KitListForm, NumbersForm, ReleaseForm
from workshops.models import KitUnit, Workshop
from workshops.selectors.needs import COMING, kit_needs, with_parts
from workshops.selectors.promises import carried_kg, promised_span, shelf_for
from workshops.services.reservations import release, reserve_kinds, set_kit
from workshops.views.edit import BAD, STALE, add_refusal, stale_context

NEEDED = {  # what each button of the page wants
    "numbers": ("workshops.add_reservation",),
    "units": ("workshops.add_reservation", "workshops.delete_reservation"),
    "release": ("workshops.delete_reservation",),
}


@may("view", "reservation")
def workshop_kit(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk, with_parts(Workshop.objects.all()))
    if request.method != "POST":
        return _page(request, workshop)
    act = request.POST.get("act", "")
    if not request.user.has_perms(NEEDED.get(act, NEEDED["units"])):
        raise PermissionDenied
    change = {"numbers": _numbers, "units": _ticks, "release": _release}.get(act)
    return change(request, workshop) if change else _page(request, workshop, status=BAD)


def _numbers(request: HttpRequest, workshop: Workshop) -> HttpResponse:
    form = NumbersForm(request.POST, workshop=workshop, shelf=shelf_for(workshop))

    def save() -> str:
        made = reserve_kinds(
            by=request.user,
            workshop=workshop,
            wanted=form.wanted(),
            seen=form.cleaned_data["seen"],
        )
        return reserved_words([row.unit for row in made])

    return _done(request, workshop, form, save, "numbers")


def _ticks(request: HttpRequest, workshop: Workshop) -> HttpResponse:
    form = KitListForm(request.POST, instance=workshop, house=request.house)

    def save() -> str:
        set_kit(
            by=request.user,
            workshop=workshop,
            units=form.cleaned_data["units"],
            seen=form.cleaned_data["seen"],
        )
        return _("The kit list of %(workshop)s is saved.") % {"workshop": workshop}

    return _done(request, workshop, form, save, "ticks")


def _release(request: HttpRequest, workshop: Workshop) -> HttpResponse:
    form = ReleaseForm(request.POST, workshop=workshop)

    def save() -> str:
        units = list(form.cleaned_data["gone"])
        release(by=request.user, workshop=workshop, units=units)
        tags = ", ".join(unit.tag for unit in units)
        return _("Free again: %(tags)s.") % {"tags": tags}

    return _done(request, workshop, form, save, "released")


def _done(
    request: HttpRequest,
    workshop: Workshop,
    form: forms.Form,
    save: Callable[[], str],
    name: str,
) -> HttpResponse:
    """Save what a form of the page asks, or show the page with it and the refusal."""
    more, status = {}, BAD
    if form.is_valid():
        try:
            messages.success(request, save())
            return redirect("workshop-kit", workshop.pk)
        except Stale as reason:
            form.add_error(None, reason.messages)
            status, more = STALE, _newer(form, workshop)
        except ValidationError as refusal:
            add_refusal(form, refusal)
    return _page(request, workshop, status=status, **{name: form}, **more)


def _newer(form: forms.Form, workshop: Workshop) -> dict:
    """Let the form carry the newer version: sent again, it is saved knowingly."""
    if isinstance(form, KitListForm):
        return stale_context(form)
    form.data = form.data.copy()
    form.data["seen"] = Workshop.objects.get(pk=workshop.pk).changed_at.isoformat()
    return {}


def _page(
    request: HttpRequest,
    workshop: Workshop,
    *,
    numbers: NumbersForm | None = None,
    ticks: KitListForm | None = None,
    released: ReleaseForm | None = None,
    status: int = 200,
    **more,
) -> HttpResponse:
    shelf = numbers.shelf if numbers else shelf_for(workshop)
    ticks = ticks or KitListForm(instance=workshop, house=request.house)
    context = {
        "workshop": workshop,
        "shelf": shelf,
        "needs": kit_needs(workshop) if workshop.status in COMING else [],
        "span": promised_span(workshop, request.house),
        "mass_kg": carried_kg(shelf),
        "numbers": numbers or NumbersForm(workshop=workshop, shelf=shelf),
        "form": ticks,
        "ticked": ticks.ticked(),
        "released": released,
        "mine": seen_by(request.user),
        **more,
    }
    return render(request, "workshops/workshop_kit.html", context, status=status)


def reserved_words(units: list[KitUnit]) -> str:
    """Return what was reserved, for the message above the page."""
    words = ngettext(
        "%(n)d unit is reserved: %(tags)s.", "%(n)d units are reserved: %(tags)s.", len(units)
    )
    return words % {"n": len(units), "tags": ", ".join(unit.tag for unit in units)}
