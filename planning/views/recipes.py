"""Lock the recipe of a set: what the handout will say was shot."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from planning.forms.readings import on_the_day
from planning.forms.recipe import RecipeForm
from planning.models import PlannedSet
from planning.selectors import inputs_of
from planning.selectors.recipes import locked_recipe
from planning.services.recipes import lock_recipe
from planning.showing import planned
from workshops.access import found, may
from workshops.views.edit import BAD, add_refusal


@may("add", "tallyevent", "planning")
def recipe(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask what is set on camera and heads, filled with what was locked last or is planned."""
    planned_set = found(request, PlannedSet.objects.select_related("location"), pk)
    settings, powers = _known(planned_set)
    form = RecipeForm(
        request.POST or None,
        planned_set=planned_set,
        powers=powers,
        house=request.house,
        initial=settings | {"at": on_the_day(planned_set, timezone.now())},
    )
    if request.method == "POST" and form.is_valid():
        try:
            lock_recipe(
                by=request.user,
                planned_set=planned_set,
                powers=form.powers(),
                **{name: form.cleaned_data[name] for name in ("key", *form.Meta.fields)},
            )
        except ValidationError as refusal:
            add_refusal(form, refusal)
        else:
            messages.success(request, _("The recipe is locked: handouts say it."))
            return redirect("set", pk)
    context = {
        "form": form,
        "heading": _("Lock the recipe of %(set)s") % {"set": planned_set.title},
        "lead": _("What camera and heads are really set to. Lock it again when it changes."),
        "save_words": _("Lock the recipe"),
        "back": reverse("set", args=[pk]),
        "back_to": planned_set,
    }
    return render(request, "edit.html", context, status=BAD if form.errors else 200)


def _known(planned_set: PlannedSet) -> tuple[dict, dict[str, float]]:
    """Return aperture, shutter, ISO and the powers locked last, else as planned."""
    last = locked_recipe(planned_set, planned_set.events.all())
    if last:
        settings = {"f_number": last.f_number, "shutter_s": last.shutter_s, "iso": last.iso}
        return settings, dict(last.powers)
    plan = planned(inputs_of([planned_set.pk])[planned_set.pk]).plan
    if plan is None:
        return {}, {}
    exposure = plan.exposure
    settings = {
        "f_number": exposure.working_f_number,
        "shutter_s": exposure.start_s,
        "iso": exposure.iso,
    }
    return settings, {light.name: light.set_power for light in plan.lights}
