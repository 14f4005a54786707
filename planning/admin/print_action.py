"""Set sheets as PDF from the lists of planned sets and of workshops."""

from collections.abc import Sequence

from django.contrib import admin, messages
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from planning import selectors
from planning.admin.sets import PlannedSetAdmin
from planning.printing import bytes_of, sheets_of
from planning.sheets.options import print_options
from planning.sheets.worker import Busy, SheetFailed, time_limit
from planning.views.answers import PAGE_S, busy, pdf
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
    options = print_options(house())
    try:
        with time_limit(PAGE_S):
            printed = sheets_of(set_ids, options, for_s=PAGE_S)
            for set_id, reason in printed.missing.items():
                text = _("Set %(id)s is not printed: %(reason)s") % {"id": set_id, "reason": reason}
                modeladmin.message_user(request, text, messages.ERROR)
            if printed.left:
                raise SheetFailed(_too_many(len(set_ids), len(set_ids) - printed.left))
            if not printed.sheets:
                return None
            content = bytes_of(printed.sheets, options)
    except Busy as reason:
        return busy(request, reason)
    except SheetFailed as reason:
        modeladmin.message_user(request, str(reason), messages.ERROR)
        return None
    name = printed.sheets[0].file_name if len(printed.sheets) == 1 else "set-sheets.pdf"
    return pdf(content, name, disposition="attachment")


def _too_many(total: int, done: int) -> str:
    return _(
        "%(done)d of %(total)d set sheets are printed, more take too long for one page: print the "
        "same again to go on, fewer at once, or use print_sheets."
    ) % {"done": done, "total": total}


def _may_view_sets(self, request: HttpRequest) -> bool:
    """A sheet tells of the set, so seeing the workshop alone does not print it."""
    may_view = request.user.has_perm("planning.view_plannedset")
    return may_view and self.has_view_permission(request)


# Workshops know nothing of planning, so planning adds its action to their list.
PlannedSetAdmin.actions = (*PlannedSetAdmin.actions, print_sets)
WorkshopAdmin.has_view_sets_permission = _may_view_sets
WorkshopAdmin.actions = (*WorkshopAdmin.actions, print_workshops)
