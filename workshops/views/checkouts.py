"""Kit handed out: one unit's page, one workshop's list, and the workshops of the account."""

import re
from collections.abc import Callable

from django import forms
from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from workshops.access import found_workshop, may, own, own_workshops
from workshops.errors import AlreadyOut, Refused
from workshops.forms.checkouts import (
    BackForm,
    BriefingForm,
    MendForm,
    NoteForm,
    ReturnsForm,
    SignOutForm,
)
from workshops.models import Checkout, KitUnit, Workshop
from workshops.selectors import checkouts as asks
from workshops.selectors.checkouts import Whereabouts
from workshops.services import checkouts as acts
from workshops.views.edit import BAD, add_refusal

RIGHTS = {  # what a press on a unit's page asks for
    "out": "workshops.add_checkout",
    "back": "workshops.change_checkout",
    "over": "workshops.change_checkout",
    "fault": "workshops.change_checkout",
    "mend": "workshops.change_kitunit",
}


@may("view", "checkout")
def handed_out(request: HttpRequest) -> HttpResponse:
    week, later = asks.with_kit_out(own_workshops(request.user), timezone.now())
    return render(request, "workshops/handed_out.html", {"week": week, "later": later})


@may("view", "checkout")
def unit_page(request: HttpRequest, pk: int) -> HttpResponse:
    """The page a unit's label opens: who has it, and one button to change that."""
    unit = get_object_or_404(KitUnit.objects.select_related("kind"), pk=pk)
    pressed = request.POST.get("do", "")
    if request.method == "POST":
        if pressed not in PRESSES:
            return redirect(request.get_full_path())
        _check_press(request, unit, pressed)
    wanted = request.POST.get("workshop") or request.GET.get("workshop") or ""
    where = asks.whereabouts(unit, own_workshops(request.user), timezone.now(), wanted)
    shown = _forms(request, where, pressed)
    if request.method == "POST" and shown[pressed].is_valid():
        try:
            told = PRESSES[pressed](request, where, shown[pressed].cleaned_data)
        except AlreadyOut as reason:  # perhaps the same button twice: the page says who has it
            messages.warning(request, str(reason))
            return _again(where)
        except ValidationError as refusal:
            add_refusal(shown[pressed], refusal)
            # Somebody else may have had it meanwhile: show it as it is now.
            unit.refresh_from_db()
            where = asks.whereabouts(unit, own_workshops(request.user), timezone.now(), wanted)
        else:
            messages.success(request, told)
            return _again(where)
    context = {"where": where, "unit": unit, "forms": shown, "bound": shown.get(pressed)}
    status = BAD if request.method == "POST" else 200
    return render(request, "workshops/unit_page.html", context, status=status)


def _check_press(request: HttpRequest, unit: KitUnit, pressed: str) -> None:
    """Answer 403 for a press the account may not make."""
    where = asks.whereabouts(unit, own_workshops(request.user), timezone.now())
    at_home = request.user.has_perm("workshops.change_kitunit")
    if not request.user.has_perm(RIGHTS[pressed]) or not (where.concerns or at_home):
        raise PermissionDenied


def _forms(request: HttpRequest, where: Whereabouts, pressed: str) -> dict[str, forms.Form]:
    """Return the forms of a unit's page by their button, the pressed one with what was typed."""
    workshop = where.holder.workshop if where.holder else where.workshop
    takers = asks.takers(workshop) if workshop else []
    holder = where.holder and where.holder.person_id
    likely = next((one.person for one in takers if one.trigger_id == where.unit.pk), None)
    first = {"person": str(likely.pk)} if likely and not holder else None
    typed = {pressed: request.POST} if request.method == "POST" else {}
    return {
        "out": SignOutForm(typed.get("out"), takers=takers, initial=first),
        "back": BackForm(typed.get("back"), prefix="back"),
        "over": SignOutForm(
            typed.get("over"),
            takers=[one for one in takers if one.person.pk != holder],
            prefix="over",
        ),
        "fault": NoteForm(typed.get("fault"), prefix="fault"),
        "mend": MendForm(typed.get("mend"), prefix="mend"),
    }


def _again(where: Whereabouts) -> HttpResponse:
    place = reverse("unit-page", args=[where.unit.pk])
    return redirect(f"{place}?workshop={where.workshop.pk}" if where.workshop else place)


def _out(request: HttpRequest, where: Whereabouts, given: dict) -> str:
    made = acts.sign_out(
        by=request.user,
        unit=where.unit,
        person=given["person"],
        workshop=where.workshop,
        condition=given["condition"],
        now=timezone.now(),
    )
    return _("%(person)s has %(unit)s now.") % {"person": made.person, "unit": made.unit.tag}


def _back(request: HttpRequest, where: Whereabouts, given: dict) -> str:
    back = acts.take_back(by=request.user, checkout=_meant(request), now=timezone.now(), **given)
    words = _("%(unit)s is back with a fault: it is off the free list.")
    words = words if back.fault else _("%(unit)s is back.")
    return words % {"unit": back.unit.tag}


def _over(request: HttpRequest, where: Whereabouts, given: dict) -> str:
    made = acts.hand_over(
        by=request.user,
        checkout=_meant(request),
        person=given["person"],
        condition=given["condition"],
        now=timezone.now(),
    )
    return _("%(person)s has %(unit)s now.") % {"person": made.person, "unit": made.unit.tag}


def _meant(request: HttpRequest) -> Checkout:
    """Return the check-out the page was about when it was shown, not one made meanwhile."""
    number = request.POST.get("checkout", "")
    rows = own(request.user, Checkout.objects.all())
    meant = rows.filter(pk=int(number)).first() if re.fullmatch(r"[0-9]{1,18}", number) else None
    if meant is None:
        raise Refused(_("Nobody has it by this page: open it again."))
    return meant


def _fault(request: HttpRequest, where: Whereabouts, given: dict) -> str:
    unit = acts.tag_fault(by=request.user, unit=where.unit, now=timezone.now(), **given)
    return _("%(unit)s has a fault: it is off the free list.") % {"unit": unit.tag}


def _mend(request: HttpRequest, where: Whereabouts, given: dict) -> str:
    unit = acts.mend(by=request.user, unit=where.unit, now=timezone.now(), **given)
    return _("%(unit)s is ready again.") % {"unit": unit.tag}


PRESSES: dict[str, Callable] = {
    "out": _out,
    "back": _back,
    "over": _over,
    "fault": _fault,
    "mend": _mend,
}


@may("view", "checkout")
def workshop_checkouts(request: HttpRequest, pk: int) -> HttpResponse:
    """Who has what at one workshop: hand out at the briefing, count before anyone leaves."""
    workshop = found_workshop(request, pk)
    pressed = request.POST.get("do", "")
    if request.method == "POST":
        if pressed not in ("out", "back"):
            return redirect("workshop-checkouts", pk)
        if not request.user.has_perm(RIGHTS[pressed]):
            raise PermissionDenied
    briefing = BriefingForm(
        request.POST if pressed == "out" else None,
        takers=asks.takers(workshop),
        listed=asks.listed_units(workshop),
    )
    returns = ReturnsForm(
        request.POST if pressed == "back" else None, checkouts=workshop.checkouts.all()
    )
    bound = {"out": briefing, "back": returns}.get(pressed)
    if bound and bound.is_valid():
        try:
            messages.success(request, _handed(request, workshop, bound.cleaned_data))
        except AlreadyOut as reason:
            if bound.is_done_already(asks.still_out(workshop.checkouts)):
                messages.warning(request, str(reason))  # the same button twice
                return redirect("workshop-checkouts", pk)
            add_refusal(bound, reason)
        except ValidationError as refusal:
            add_refusal(bound, refusal)
        else:
            return redirect("workshop-checkouts", pk)
    context = {
        "workshop": workshop,
        "briefing": briefing,
        "returns": returns,
        "bound": bound,
        "free": asks.free_units(workshop),
        "out": list(asks.still_out(workshop.checkouts)),
        "came_back": asks.came_back(workshop),
        "faults": asks.faulty_units(workshop),
    }
    return render(request, "workshops/checkouts.html", context, status=BAD if bound else 200)


def _handed(request: HttpRequest, workshop: Workshop, given: dict) -> str:
    """Sign out or take back what was ticked, and return what happened in words."""
    now = timezone.now()
    if "checkouts" in given:
        n = acts.take_back_all(by=request.user, checkouts=given["checkouts"], now=now)
        if n == 0:
            return _("That is back already.")
        return ngettext("%(n)d unit is back.", "%(n)d units are back.", n) % {"n": n}
    made = acts.sign_out_all(
        by=request.user,
        units=given["units"],
        person=given["person"],
        workshop=workshop,
        condition=given["condition"],
        now=now,
    )
    tags = ", ".join(one.unit.tag for one in made)
    return _("%(person)s has %(units)s now.") % {"person": made[0].person, "units": tags}
