"""Teaching points: the list, and one in the house's own words with a preview beside."""

from dataclasses import replace

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from planning.forms.points import PointForm, WithSetForm
from planning.lesson.figure_names import NAMES
from planning.lesson_text import lesson
from planning.models import PlannedSet, TeachingPoint
from planning.selectors import inputs_of
from planning.selectors.points import inputs_of_point, point_lines, sets_that_teach
from planning.services.points import erase_point
from planning.sheets.options import print_options
from planning.showing import planned
from workshops.access import may, own
from workshops.views.edit import answer, delete, saved_by


@may("view", "teachingpoint", "planning")
def points(request: HttpRequest) -> HttpResponse:
    return render(request, "planning/points.html", {"lines": point_lines()})


@may("add", "teachingpoint", "planning")
def point_new(request: HttpRequest) -> HttpResponse:
    return _edit(request, TeachingPoint(), {"heading": _("A teaching point of our own")})


@may("change", "teachingpoint", "planning")
def point(request: HttpRequest, pk: int) -> HttpResponse:
    record = get_object_or_404(TeachingPoint, pk=pk)
    taught_on = own(request.user, sets_that_teach(record))
    context = {"heading": str(record), "taught_on": taught_on, "record": record}
    if not record.code and request.user.has_perm("planning.delete_teachingpoint"):
        context["remove"] = reverse("point-delete", args=[pk])
    return _edit(request, record, context)


@may("delete", "teachingpoint", "planning")
def point_delete(request: HttpRequest, pk: int) -> HttpResponse:
    record = get_object_or_404(TeachingPoint, pk=pk)
    return delete(
        request,
        record,
        back=reverse("point", args=[pk]),
        then=reverse("points"),
        erase=lambda: erase_point(by=request.user, point=record),
    )


def _edit(request: HttpRequest, record: TeachingPoint, context: dict) -> HttpResponse:
    form = PointForm(request.POST or None, instance=record, house=request.house)
    sets = own(request.user, PlannedSet.objects.select_related("workshop").order_by("-start_at"))
    chosen = WithSetForm(request.POST or request.GET or None, sets=sets)
    context |= {
        "back": reverse("points"),
        "back_to": _("Teaching points"),
        "with_set": chosen,
        "names": NAMES.items(),
    }
    if request.method == "POST" and "show" not in request.POST:
        return answer(
            request,
            form,
            template="planning/point.html",
            save=saved_by(request.user),
            then=lambda saved: reverse("point", args=[saved.pk]),
            context=context,
        )
    # A look at what stands in the form: nothing of it is saved.
    if request.method != "POST" or form.is_valid():
        context |= _filled(request, form.instance, chosen)
    return render(request, "planning/point.html", {"form": form, **context})


def _filled(request: HttpRequest, record: TeachingPoint, chosen: WithSetForm) -> dict:
    """Return the point filled with the figures of a chosen set, or why it cannot be."""
    one = chosen.is_valid() and chosen.cleaned_data["with_set"]
    if not one:
        return {}
    found = planned(inputs_of([one.pk])[one.pk], request.house)
    if found.plan is None:
        return {"not_filled": found.reason}
    inputs = replace(found.inputs, points=(inputs_of_point(record),))
    say = print_options(request.house).figures(inputs.location.timezone)
    return {"points": lesson(found.plan, inputs, say), "filled_with": one}
