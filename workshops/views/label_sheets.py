"""The sheets of labels a house buys."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from workshops.access import may
from workshops.forms.label_sheets import LabelSheetForm
from workshops.models import LabelSheet
from workshops.views.edit import answer, delete, saved_by


@may("view", "labelsheet")
def label_sheets(request: HttpRequest) -> HttpResponse:
    context = {"sheets": LabelSheet.objects.order_by("paper", "name")}
    return render(request, "workshops/label_sheets.html", context)


@may("add", "labelsheet")
def label_sheet_new(request: HttpRequest) -> HttpResponse:
    made = LabelSheet(paper=request.house.paper)
    return _edit(request, made, {"heading": _("A sheet of labels")})


@may("change", "labelsheet")
def label_sheet_edit(request: HttpRequest, pk: int) -> HttpResponse:
    sheet = get_object_or_404(LabelSheet, pk=pk)
    context = {"heading": str(sheet), "remove": reverse("label-sheet-delete", args=[pk])}
    return _edit(request, sheet, context)


def _edit(request: HttpRequest, sheet: LabelSheet, context: dict) -> HttpResponse:
    back = reverse("label-sheets")
    return answer(
        request,
        LabelSheetForm(request.POST or None, instance=sheet, house=request.house),
        template="edit.html",
        save=saved_by(request.user),
        then=lambda _saved: back,
        context={
            "back": back,
            "back_to": _("Sheets of labels"),
            "lead": _("Measure from the edges of the paper to the first label, in millimetres."),
            **context,
        },
    )


@may("delete", "labelsheet")
def label_sheet_delete(request: HttpRequest, pk: int) -> HttpResponse:
    sheet = get_object_or_404(LabelSheet, pk=pk)
    back = reverse("label-sheet-edit", args=[pk])
    return delete(request, sheet, back=back, then=reverse("label-sheets"))
