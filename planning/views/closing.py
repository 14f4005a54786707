"""The page on which a workshop is closed, and opened again."""

from datetime import datetime

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from planning.forms.closing import OpenAgainForm, ReasonsForm
from planning.selectors.closing import checklist, closing_of, foretold, refusal_to_close
from planning.services.closing import close_workshop, open_again
from workshops.access import found_workshop, may
from workshops.models import Closing, Workshop
from workshops.views.edit import BAD, add_refusal


@may("view", "closing")
def workshop_close(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what is open before the workshop is closed, or how it was closed; POST does either."""
    workshop, now = found_workshop(request, pk), timezone.now()
    if request.method == "POST":
        right = "change" if "open" in request.POST else "add"
        if not request.user.has_perm(f"workshops.{right}_closing"):
            raise PermissionDenied
    if closing := closing_of(workshop):
        return _closed(request, workshop, closing, now)
    typed = request.POST if request.method == "POST" else None
    form = ReasonsForm(typed, checks=_checks(request, workshop, now))
    if request.method == "POST" and form.is_valid():
        try:
            close_workshop(by=request.user, workshop=workshop, reasons=form.cleaned_data, now=now)
        except ValidationError as refusal:
            add_refusal(form, refusal)
        else:
            messages.success(request, _("%(workshop)s is closed.") % {"workshop": workshop})
            return redirect("workshop-close", pk)
    context = {
        "form": form,
        "refusal": refusal_to_close(workshop, now),
        "wanting": sum(one.wanting for one in form.checks),
    }
    return _page(request, workshop, context, bad=request.method == "POST")


def _checks(request: HttpRequest, workshop: Workshop, now: datetime):
    """What is owed is told to whoever may see the money."""
    money = request.user.has_perm("workshops.view_payment")
    return [one for one in checklist(workshop, now) if money or one.name != "money"]


def _closed(
    request: HttpRequest, workshop: Workshop, closing: Closing, now: datetime
) -> HttpResponse:
    """The same press again finds it closed: that is fine."""
    asked = request.method == "POST" and "open" in request.POST
    if request.method == "POST" and not asked:
        return redirect("workshop-close", workshop.pk)
    form = OpenAgainForm(request.POST if asked else None)
    if asked and form.is_valid():
        try:
            open_again(by=request.user, workshop=workshop, now=now, **form.cleaned_data)
        except ValidationError as refusal:
            add_refusal(form, refusal)
        else:
            messages.success(request, _("%(workshop)s is open again.") % {"workshop": workshop})
            return redirect("workshop-close", workshop.pk)
    return _page(request, workshop, {"closing": closing, "form": form}, bad=asked)


def _page(request: HttpRequest, workshop: Workshop, context: dict, *, bad: bool) -> HttpResponse:
    context |= {
        "workshop": workshop,
        "told": foretold(workshop),
        "before": workshop.closings.exclude(reopened_at=None).select_related("by", "reopened_by"),
    }
    return render(request, "planning/closing.html", context, status=BAD if bad else 200)
