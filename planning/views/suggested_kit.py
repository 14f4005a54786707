"""The kit the planned sets ask for, and one press that reserves what is missing."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from planning.sheets.options import print_options
from planning.suggesting import suggested
from workshops.access import found_workshop, may, seen_by
from workshops.models import Workshop
from workshops.services.reservations import reserve_kinds
from workshops.views.workshop_kit import reserved_words


@may("view", "reservation")
@may("view", "plannedset", "planning")
def suggested_kit(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    if request.method == "POST":
        return _reserve(request, workshop)
    context = {
        "workshop": workshop,
        "suggested": suggested(workshop, request.house),
        "say": print_options(request.house).figures(workshop.timezone_name),
        "mine": seen_by(request.user),
    }
    return render(request, "planning/suggested_kit.html", context)


def _reserve(request: HttpRequest, workshop: Workshop) -> HttpResponse:
    """Reserve what is missing of one kind or of all, as far as it is free; say what is not."""
    if not request.user.has_perm("workshops.add_reservation"):
        raise PermissionDenied
    wanted = suggested(workshop, request.house).wanted(request.POST.get("kind", ""))
    try:
        # As read with the workshop: a second press finds it changed, and reserves nothing twice.
        made = reserve_kinds(
            by=request.user,
            workshop=workshop,
            wanted=wanted,
            seen=workshop.changed_at,
            partly=True,
        )
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
        return redirect("suggested-kit", workshop.pk)
    if made:
        messages.success(request, reserved_words([row.unit for row in made]))
    got = [row.unit.kind_id for row in made]
    lacking = [
        _("%(kind)s: %(n)d") % {"kind": kind, "n": number - got.count(kind.pk)}
        for kind, number in wanted.items()
        if number > got.count(kind.pk)
    ]
    if lacking:
        told = _("Not to be had in these hours: %(kinds)s.") % {"kinds": "; ".join(lacking)}
        messages.warning(request, told)
    elif not made:
        messages.info(request, _("Nothing is missing of it."))
    return redirect("suggested-kit", workshop.pk)
