"""Labels of the kit, and the kit sheet signed when it is handed out."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.text import slugify

from planning.forms.labels import LabelsForm
from planning.kit_sheet import kit_sheet
from planning.selectors import kit_papers as asks
from planning.sheets.kit import kit_pdf
from planning.sheets.labels import Label, LabelFormat, labels_pdf
from planning.sheets.options import print_options
from planning.sheets.worker import SheetFailed, time_limit
from planning.views.answers import PAGE_S, pdf, pdf_answer
from workshops.access import found_workshop, may
from workshops.models import LabelSheet

BAD = 422  # HTTP: unprocessable content


@may("view", "kitunit")
def labels(request: HttpRequest) -> HttpResponse:
    """Ask which labels, and answer with their PDF."""
    units = asks.label_units()
    ticked = request.GET.get("kind", "")
    form = LabelsForm(
        request.POST or None,
        units=units,
        sheet=_usual_sheet(request),
        initial={"kinds": [ticked] if ticked else []},
    )
    if form.is_bound and form.is_valid():
        try:
            with time_limit(PAGE_S):
                return pdf(_labels_pdf(request, form), "labels.pdf")
        except SheetFailed as reason:
            form.add_error(None, str(reason))
    site = settings.SITE_URL or asks.HERE
    context = {
        "form": form,
        "groups": asks.by_kind(form.all_units),
        "site": site,
        "here_only": asks.opens_here_only(),
    }
    status = BAD if request.method == "POST" else 200
    return render(request, "planning/labels.html", context, status=status)


def _usual_sheet(request: HttpRequest) -> LabelSheet | None:
    """Return the house's sheet of labels, else the first there is for its paper."""
    if request.house.label_sheet:
        return request.house.label_sheet
    return LabelSheet.objects.filter(paper=request.house.paper).order_by("name").first()


def _labels_pdf(request: HttpRequest, form: LabelsForm) -> bytes:
    sheet = form.cleaned_data["sheet"]
    said = [Label(asks.unit_address(one), one.tag, one.kind.name) for one in form.chosen()]
    measures = LabelFormat(
        LabelSheet.PAPER_MM[sheet.paper],
        sheet.columns,
        sheet.rows,
        sheet.label_width_mm,
        sheet.label_height_mm,
        sheet.left_mm,
        sheet.top_mm,
        sheet.column_step_mm,
        sheet.row_step_mm,
    )
    return labels_pdf(
        said,
        measures,
        print_options(request.house),
        first=form.cleaned_data["first"],
        phone=request.house.phone,
    )


@may("view", "checkout")
def sign_out_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """The kit sheet of a workshop, to sign at the briefing."""
    workshop = found_workshop(request, pk)
    sheet = kit_sheet(workshop)
    name = f"kit-{slugify(workshop.title)[:60] or pk}.pdf"
    back = ("workshop-checkouts", pk)
    return pdf_answer(request, lambda options: kit_pdf(sheet, options), name, back=back)
