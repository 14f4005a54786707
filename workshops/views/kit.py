"""The shelf: kinds of kit, their units, and what was metered with them."""

from zoneinfo import ZoneInfo

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshops.access import asked, may, seen_by
from workshops.forms.kit import KIND_FORMS, facts, kind_form
from workshops.forms.kit_units import GuideNumberForm, UnitForm, UnitsForm
from workshops.forms.ready_made import ReadyMadeForm
from workshops.models import GuideNumberReading, KitKind, KitUnit, Modifier, Strobe
from workshops.selectors.kit import (
    free_tags,
    kind_on_shelf,
    kinds,
    names_on_shelf,
    own_figures,
    readings_of,
    shelf,
)
from workshops.selectors.promises import coming_promises
from workshops.services.kit import add_ready_made, add_units
from workshops.views.edit import BAD, LIST_LENGTH, add_refusal, answer, delete, saved_by


@may("view", "kitkind")
def kit_list(request: HttpRequest) -> HttpResponse:
    page = Paginator(kinds(asked(request)), LIST_LENGTH).get_page(request.GET.get("page"))
    context = {"page": page, "shelf": shelf(page), "asked": asked(request)}
    return render(request, "workshops/kit.html", context)


@may("view", "kitkind")
def kind(request: HttpRequest, pk: int) -> HttpResponse:
    found = kind_on_shelf(pk)
    if found is None:
        raise Http404
    metered = isinstance(found.own, Strobe | Modifier)
    context = {
        "found": found,
        "kind": found.own,
        "sections": facts(kind_form(found.own, house=request.house)),
        "units": found.kind.units.order_by("tag", "pk"),
        "readings": readings_of(found.own) if metered else None,
        "is_strobe": isinstance(found.own, Strobe),
        "promises": coming_promises(found.kind, timezone.now()),
        "mine": seen_by(request.user),
    }
    return render(request, "workshops/kind.html", context)


@may("add", "kitkind")
def kind_new(request: HttpRequest) -> HttpResponse:
    """Ask what the new kind is."""
    choices = [(_slug(one), one.label) for one in [*KIND_FORMS, *KitKind.PLAIN]]
    return render(request, "workshops/kind_new.html", {"choices": choices})


def _slug(category: KitKind.Category) -> str:
    return category.value.replace(" ", "-")


@may("add", "kitkind")
def kind_new_of(request: HttpRequest, what: str) -> HttpResponse:
    category = {_slug(one): one for one in KitKind.Category}.get(what)
    if category is None:
        raise Http404
    model = KIND_FORMS[category]._meta.model if category in KIND_FORMS else KitKind
    back = reverse("kind-new")
    return answer(
        request,
        kind_form(model(category=category), house=request.house, data=request.POST or None),
        template="edit.html",
        save=saved_by(request.user),
        then=lambda made: reverse("kind", args=[made.pk]),
        context={
            "heading": _("A new kind: %(what)s") % {"what": category.label},
            "back": back,
            "back_to": _("What is it?"),
        },
    )


@may("change", "kitkind")
def kind_edit(request: HttpRequest, pk: int) -> HttpResponse:
    found = own_figures(get_object_or_404(KitKind, pk=pk))
    back = reverse("kind", args=[pk])
    return answer(
        request,
        kind_form(found, house=request.house, data=request.POST or None),
        template="edit.html",
        save=saved_by(request.user),
        then=lambda _saved: back,
        context={
            "heading": str(found),
            "back": back,
            "back_to": str(found),
            "remove": reverse("kind-delete", args=[pk]),
        },
    )


@may("delete", "kitkind")
def kind_delete(request: HttpRequest, pk: int) -> HttpResponse:
    found = own_figures(get_object_or_404(KitKind, pk=pk))
    return delete(request, found, back=reverse("kind", args=[pk]), then=reverse("kit"))


@may("add", "kitunit")
def unit_new(request: HttpRequest, pk: int) -> HttpResponse:
    """Add one unit or several, all of them or none."""
    found = get_object_or_404(KitKind, pk=pk)
    form = UnitsForm(request.POST or None, instance=KitUnit(kind=found), house=request.house)
    back = reverse("kind", args=[pk])
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        tags = given["tags"] or free_tags(given["prefix_text"], given["count"])
        try:
            made = add_units(by=request.user, kind=found, tags=tags, **form.details())
        except ValidationError as refusal:
            add_refusal(form, refusal)
        else:
            messages.success(request, _added(made))
            return redirect(back)
    context = {
        "form": form,
        "heading": _("Units of %(kind)s") % {"kind": found},
        "back": back,
        "back_to": str(found),
        "save_words": _("Add"),
    }
    return render(request, "edit.html", context, status=BAD if form.is_bound else 200)


def _added(units: list[KitUnit]) -> str:
    tags = ", ".join(unit.tag for unit in units)
    words = ngettext("Added one unit: %(tags)s.", "Added %(n)s units: %(tags)s.", len(units))
    return words % {"n": len(units), "tags": tags}


@may("change", "kitunit")
def unit_edit(request: HttpRequest, pk: int) -> HttpResponse:
    unit = get_object_or_404(KitUnit.objects.select_related("kind"), pk=pk)
    back = reverse("kind", args=[unit.kind_id])
    return answer(
        request,
        UnitForm(request.POST or None, instance=unit, house=request.house),
        template="edit.html",
        save=saved_by(request.user),
        then=lambda _saved: back,
        context={
            "heading": str(unit),
            "back": back,
            "back_to": str(unit.kind),
            "remove": reverse("unit-delete", args=[pk]),
        },
    )


@may("delete", "kitunit")
def unit_delete(request: HttpRequest, pk: int) -> HttpResponse:
    unit = get_object_or_404(KitUnit.objects.select_related("kind"), pk=pk)
    then = reverse("kind", args=[unit.kind_id])
    return delete(request, unit, back=reverse("unit-edit", args=[pk]), then=then)


@may("add", "guidenumberreading")
def guide_number_new(request: HttpRequest, pk: int) -> HttpResponse:
    strobe = get_object_or_404(Strobe, id=pk)  # the kind's own column refuses absurd numbers
    back = reverse("kind", args=[pk])
    today = timezone.localdate(timezone=ZoneInfo(request.house.timezone_name))
    return answer(
        request,
        GuideNumberForm(
            request.POST or None,
            instance=GuideNumberReading(strobe=strobe, read_on=today),
            house=request.house,
        ),
        template="workshops/kit_reading.html",
        save=saved_by(request.user),
        then=lambda _made: back,
        context={
            "heading": _("A reading of %(strobe)s") % {"strobe": strobe},
            "lead": _("One flash, read with the meter at a measured distance, on the axis."),
            "back": back,
            "back_to": str(strobe),
        },
    )


@may("delete", "guidenumberreading")
def guide_number_delete(request: HttpRequest, pk: int) -> HttpResponse:
    reading = get_object_or_404(GuideNumberReading.objects.select_related("strobe"), pk=pk)
    back = reverse("kind", args=[reading.strobe_id])
    return delete(request, reading, back=back, then=back)


@may("add", "kitkind")
def kit_ready_made(request: HttpRequest) -> HttpResponse:
    """Put ready-made kinds on the shelf."""
    form = ReadyMadeForm(request.POST or None, house=request.house, there=names_on_shelf())
    if request.method == "POST" and form.is_valid():
        try:
            made = add_ready_made(by=request.user, counts=form.counts())
        except ValidationError as refusal:
            add_refusal(form, refusal)
        else:
            words = ngettext("Added one kind.", "Added %(n)s kinds.", len(made))
            messages.success(request, words % {"n": len(made)})
            return redirect("kit")
    status = BAD if form.is_bound else 200
    return render(request, "workshops/kit_ready_made.html", {"form": form}, status=status)
