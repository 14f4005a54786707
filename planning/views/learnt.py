"""The house's own figures: what was learned, from what, and what of it is to count."""

from datetime import datetime, time
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from planning.forms.learnt import BeginAnewForm, LeaveOutForm
from planning.learnt_words import (
    drawing_of,
    figure_line,
    name_of,
    witness_choices,
    witness_lines,
)
from planning.models import CountsFrom, LeftOut
from planning.selectors.learnt import Figure, figure_of, figures, sets_named
from planning.services.learning import begin_anew, count_again, count_from_the_start, leave_out
from planning.sheets.options import print_options
from workshops.access import may, seen_by
from workshops.errors import NotFound
from workshops.models import KitKind
from workshops.views.edit import answer, delete


@may("view", "flashreading", "planning")
def learnt(request: HttpRequest) -> HttpResponse:
    """Every figure with its value, its spread, and how many measurements stand behind it.

    ``?kind=`` shows those of one kind of kit alone.
    """
    say = print_options(request.house).figures(request.house.timezone_name)
    asked = request.GET.get("kind", "")
    kind = KitKind.objects.filter(pk=asked).first() if asked.isdecimal() else None
    found = [one for one in figures() if kind is None or kind.pk in one.kinds]
    context = {"lines": [figure_line(one, say) for one in found], "kind": kind}
    return render(request, "planning/learnt.html", context)


@may("view", "flashreading", "planning")
def learnt_figure(request: HttpRequest, figure: str) -> HttpResponse:
    """One figure: every measurement of it, drawn and in a table."""
    found = _found(figure)
    say = print_options(request.house).figures(request.house.timezone_name)
    left = {one.witness: one for one in LeftOut.objects.filter(figure=found.key)}
    lines = witness_lines(found, sets_named(found), left, say)
    context = {
        "line": figure_line(found, say),
        "figure": found,
        "lines": lines,
        "drawing": drawing_of(found, lines, say),
        "own": seen_by(request.user),
        "say": say,
    }
    return render(request, "planning/learnt_figure.html", context)


@may("add", "leftout", "planning")
def leave_out_new(request: HttpRequest, figure: str) -> HttpResponse:
    found = _found(figure)
    back = reverse("learnt-figure", args=[figure])
    say = print_options(request.house).figures(request.house.timezone_name)
    form = LeaveOutForm(
        request.POST or None,
        instance=LeftOut(figure=found.key),
        witnesses=witness_choices(found, say),
        initial={"witness": request.GET.get("witness", "")},
    )
    return answer(
        request,
        form,
        template="planning/learnt_edit.html",
        save=lambda form: leave_out(by=request.user, figure=found, **form.cleaned_data),
        then=lambda _record: back,
        told=lambda _record: _("It does not count any more: plans are made without it."),
        context={
            "heading": _("Leave a measurement out"),
            "lead": name_of(found),
            "back": back,
            "back_to": name_of(found),
            "save_words": _("Leave it out"),
        },
    )


@may("delete", "leftout", "planning")
@require_POST
def leave_out_delete(request: HttpRequest, pk: int) -> HttpResponse:
    left = get_object_or_404(LeftOut, pk=pk)
    count_again(by=request.user, left=left)
    messages.success(request, _("It counts again."))
    return redirect("learnt-figure", left.figure)


@may("add", "countsfrom", "planning")
def counts_from_new(request: HttpRequest, figure: str) -> HttpResponse:
    found = _found(figure)
    back = reverse("learnt-figure", args=[figure])
    kept = CountsFrom.objects.filter(figure=found.key).first()
    zone = ZoneInfo(request.house.timezone_name)
    form = BeginAnewForm(
        request.POST or None,
        instance=kept or CountsFrom(figure=found.key),
        initial={"from_on": kept.from_at.astimezone(zone).date()} if kept else None,
    )
    return answer(
        request,
        form,
        template="planning/learnt_edit.html",
        save=lambda form: begin_anew(
            by=request.user,
            figure=found,
            from_at=datetime.combine(form.cleaned_data["from_on"], time(), zone),
            reason=form.cleaned_data["reason"],
        ),
        then=lambda _record: back,
        told=lambda _record: _("The figure begins anew: what was measured before does not count."),
        context={
            "heading": _("Begin a figure anew"),
            "lead": name_of(found),
            "back": back,
            "back_to": name_of(found),
            "save_words": _("Begin anew"),
        },
    )


@may("delete", "countsfrom", "planning")
def counts_from_delete(request: HttpRequest, pk: int) -> HttpResponse:
    begun = get_object_or_404(CountsFrom, pk=pk)
    where = reverse("learnt-figure", args=[begun.figure])
    return delete(
        request,
        begun,
        back=where,
        then=where,
        erase=lambda: count_from_the_start(by=request.user, begun=begun),
    )


def _found(figure: str) -> Figure:
    try:
        return figure_of(figure)
    except NotFound:
        raise Http404(figure) from None
