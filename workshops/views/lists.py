"""Lists in: the file, the preview, the import; lists out: CSV and workbook."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from workshops.access import found_workshop, may, own_people
from workshops.forms.imports import FileForm, ReadingForm, answers
from workshops.lists.exports import attendees_table, kit_table, people_table
from workshops.lists.outcome import KINDS, WORDS
from workshops.lists.preview import Preview, preview
from workshops.lists.writing import as_csv, as_xlsx
from workshops.models import ImportFile
from workshops.services.imports import forget_file, import_file, keep_file, set_reading
from workshops.views.edit import BAD, LIST_LENGTH, STALE

Kind = ImportFile.Kind
LISTS = {Kind.PEOPLE: "people", Kind.KIT: "kit"}  # where a list is shown once it is in


@may("add", "importfile")
def people_in(request: HttpRequest) -> HttpResponse:
    return _brought_in(request, Kind.PEOPLE, _("Bring in a list of attendees"))


@may("add", "importfile")
def kit_in(request: HttpRequest) -> HttpResponse:
    return _brought_in(request, Kind.KIT, _("Bring in a kit list"))


def _brought_in(request: HttpRequest, kind: str, heading: str) -> HttpResponse:
    given = (request.POST, request.FILES) if request.method == "POST" else ()
    form = FileForm(*given, kind=kind, initial={"workshop": request.GET.get("workshop")})
    if form.is_bound and form.is_valid():
        file = form.cleaned_data["file"]
        kept = keep_file(
            by=request.user,
            kind=kind,
            name=file.name,
            content=file.read(),
            now=timezone.now(),
            workshop=form.cleaned_data.get("workshop"),
        )
        return redirect("list", kept.pk)
    context = {"form": form, "heading": heading, "kind": kind, "back": reverse(LISTS[kind])}
    return render(request, "workshops/list_in.html", context, status=BAD if form.errors else 200)


@may("add", "importfile")
def list_preview(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what would happen; POST tells how the file is read, or who a namesake is."""
    file = _found(pk)
    if "done" in file.reading:
        return _told(request, file, file.reading["done"])
    shown = _preview(request, file)
    if request.method != "POST":
        return _page(request, shown, ReadingForm(shown=shown))
    if "answers" in request.POST:
        told = answers(request.POST, list(shown.plan.outcomes))
        set_reading(file=file, answers=file.reading.get("answers", {}) | told)
        return redirect(request.get_full_path())
    form = ReadingForm(request.POST, shown=shown)
    if not form.is_valid():
        return _page(request, shown, form, status=BAD)
    set_reading(file=file, **form.told())
    return redirect("list", pk)


@require_POST
@may("add", "importfile")
def list_import(request: HttpRequest, pk: int) -> HttpResponse:
    file, now = _found(pk), timezone.now()
    mark = request.POST.get("mark", "")
    try:
        counts = import_file(by=request.user, file=file, house=request.house, now=now, shown=mark)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
        shown = _preview(request, file)
        return _page(request, shown, ReadingForm(shown=shown), status=STALE)
    return _told(request, file, counts)


@require_POST
@may("delete", "importfile")
def list_forget(request: HttpRequest, pk: int) -> HttpResponse:
    file = _found(pk)
    forget_file(file=file)
    messages.success(request, _("%(file)s is forgotten; nothing was imported.") % {"file": file})
    return redirect(LISTS[file.kind])


def _found(pk: int) -> ImportFile:
    return get_object_or_404(ImportFile.objects.select_related("workshop", "by"), pk=pk)


def _preview(request: HttpRequest, file: ImportFile) -> Preview:
    return preview(file, house=request.house, now=timezone.now())


def _told(request: HttpRequest, file: ImportFile, counts: dict[str, int]) -> HttpResponse:
    """Say what an import did, and go where it is seen."""
    told = {"file": file, **counts}
    sentence = _("%(file)s is imported: %(new)d new, %(changed)d changed, %(same)d as they were.")
    messages.success(request, sentence % told)
    if file.workshop_id:
        return redirect("workshop", file.workshop_id)
    return redirect(LISTS[file.kind])


def _page(
    request: HttpRequest, shown: Preview, form: ReadingForm, *, status: int = 200
) -> HttpResponse:
    wanted = request.GET.get("show", "")
    rows = [one for one in shown.plan.in_order() if not wanted or one.kind == wanted]
    counts = shown.plan.counts
    page = Paginator(rows, LIST_LENGTH).get_page(request.GET.get("page"))
    context = {
        "shown": shown,
        "file": shown.file,
        "form": form,
        "wanted": wanted,
        "page": page,
        "asks": any(one.choices for one in page),
        "counts": [(kind, WORDS[kind], counts[kind]) for kind in KINDS if counts[kind]],
        "back": reverse(LISTS[shown.file.kind]),
    }
    return render(request, "workshops/list_preview.html", context, status=status)


@may("add", "importfile")
def people_csv(request: HttpRequest) -> HttpResponse:
    return csv_file(_("people"), *people_table(own_people(request.user).order_by("name", "pk")))


@may("add", "importfile")
def people_xlsx(request: HttpRequest) -> HttpResponse:
    return xlsx_file(_("people"), *people_table(own_people(request.user).order_by("name", "pk")))


@may("add", "importfile")
def kit_csv(request: HttpRequest) -> HttpResponse:
    return csv_file(_("kit"), *kit_table())


@may("add", "importfile")
def kit_xlsx(request: HttpRequest) -> HttpResponse:
    return xlsx_file(_("kit"), *kit_table())


@may("add", "importfile")
def workshop_csv(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    return csv_file(str(workshop), *attendees_table(workshop))


@may("add", "importfile")
def workshop_xlsx(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    return xlsx_file(str(workshop), *attendees_table(workshop))


def csv_file(title: str, header: list[str], rows: list) -> HttpResponse:
    return _file(as_csv(header, rows), title, "csv", "text/csv; charset=utf-8; header=present")


def xlsx_file(title: str, header: list[str], rows: list) -> HttpResponse:
    return book_file(as_xlsx(title, header, rows), title)


def book_file(content: bytes, title: str) -> HttpResponse:
    """Answer with a workbook, named after its title."""
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    return _file(content, title, "xlsx", kind)


def _file(content: bytes, title: str, ending: str, kind: str) -> HttpResponse:
    name = slugify(title)[:80] or "list"
    headers = {"Content-Disposition": f'attachment; filename="{name}.{ending}"'}
    return HttpResponse(content, content_type=kind, headers=headers)
