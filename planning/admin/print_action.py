"""Set sheets as PDF from the lists of planned sets and of workshops."""

from collections.abc import Sequence

from django.contrib import admin, messages
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from planning import selectors
from planning.admin.sets import PlannedSetAdmin
from planning.sheets.options import print_options
from workshops.admin.workshops import WorkshopAdmin
from workshops.selectors.house import house


@admin.action(description=gettext_lazy("Print set sheets (PDF)"), permissions=["view"])
def print_sets(modeladmin, request: HttpRequest, queryset):
    ordered = queryset.order_by("workshop", "position", "pk")
    return _answer(modeladmin, request, list(ordered.values_list("pk", flat=True)))


@admin.action(description=gettext_lazy("Print set sheets (PDF)"), permissions=["view_sets"])
def print_workshops(modeladmin, request: HttpRequest, queryset):
    workshop_ids = queryset.order_by("start_at", "pk").values_list("pk", flat=True)
    set_ids = [set_id for pk in workshop_ids for set_id in selectors.sets_of(pk)]
    if not set_ids:
        modeladmin.message_user(
            request, _("There are no sets to print: plan one first."), messages.WARNING
        )
        return None
    return _answer(modeladmin, request, set_ids)


def _answer(modeladmin, request: HttpRequest, set_ids: Sequence[int]) -> HttpResponse | None:
    """Return the PDF of what can be printed, and say which sets cannot and why."""
    # Only here: every command loads this module, and few need the page renderer.
    from planning.printing import NotPrintable, bytes_of, sheet_of
    from planning.sheets.pdf import SheetFailed

    options = print_options(house())
    sheets = []
    for set_id in set_ids:
        try:
            sheets.append(sheet_of(set_id, options))
        except NotPrintable as reason:
            text = _("Set %(id)s is not printed: %(reason)s") % {"id": set_id, "reason": reason}
            modeladmin.message_user(request, text, messages.ERROR)
    if not sheets:
        return None
    try:
        content = bytes_of(sheets, options)
    except SheetFailed as reason:
        modeladmin.message_user(request, str(reason), messages.ERROR)
        return None
    name = sheets[0].file_name if len(sheets) == 1 else "set-sheets.pdf"
    return HttpResponse(
        content,
        content_type="application/pdf",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


def _may_view_sets(self, request: HttpRequest) -> bool:
    """A sheet tells of the set, so seeing the workshop alone does not print it."""
    may_view = request.user.has_perm("planning.view_plannedset")
    return may_view and self.has_view_permission(request)


# Workshops know nothing of planning, so planning adds its action to their list.
PlannedSetAdmin.actions = (*PlannedSetAdmin.actions, print_sets)
WorkshopAdmin.has_view_sets_permission = _may_view_sets
WorkshopAdmin.actions = (*WorkshopAdmin.actions, print_workshops)
