"""Labels of the kit, and the list to sign when it is handed out."""

from urllib.parse import urlsplit

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from planning.forms.labels import LabelsForm
from planning.selectors import kit_papers as asks
from planning.sheets.kit_papers import SignOutLine, labels_pdf, sign_out_pdf
from planning.sheets.labels import Label, LabelFormat
from planning.sheets.options import PrintOptions, print_options
from planning.sheets.worker import SheetFailed, time_limit
from planning.views.answers import PAGE_S, pdf, pdf_answer
from workshops.access import found_workshop, may
from workshops.models import LabelSheet
from workshops.words import date_text

BAD = 422  # HTTP: unprocessable content
THIS_MACHINE = ("localhost", "127.0.0.1", "::1")


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
        "here_only": urlsplit(site).hostname in THIS_MACHINE,
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
    workshop = found_workshop(request, pk)
    rows = [
        SignOutLine(unit.tag, unit.kind.name, person, condition)
        for unit, person, condition in asks.signed_lines(workshop)
    ]
    day = date_text(workshop.start_at, workshop.timezone_name)
    title = _("Kit signed out: %(workshop)s") % {"workshop": workshop}

    def made(options: PrintOptions) -> bytes:
        foot = " · ".join(part for part in (options.house, str(workshop)[:80], day) if part)
        return sign_out_pdf(rows, options, title=title, lead=day, foot=foot)

    return pdf_answer(request, made, "sign-out.pdf", back=("workshop-checkouts", pk))
