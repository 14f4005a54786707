"""Who changed what, and when: readable on the record."""

from django.apps import apps
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from workshops.access import KEPT_APART, may
from workshops.models.base import Record
from workshops.selectors.history import history, told
from workshops.views.edit import LIST_LENGTH


@may("view", "auditentry")
def record_history(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Show the changes of one record and of its parts; ``kind`` is the model's label."""
    try:
        model = apps.get_model(kind)
    except (LookupError, ValueError):
        raise Http404 from None
    if not issubclass(model, Record) or model._meta.model_name in KEPT_APART:
        raise Http404
    record = get_object_or_404(model._base_manager, pk=pk)
    page = Paginator(history(record), LIST_LENGTH).get_page(request.GET.get("page"))
    context = {"record": record, "page": page, "changes": told(page)}
    return render(request, "workshops/history.html", context)
