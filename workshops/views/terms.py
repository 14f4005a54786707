"""Booking terms: what is asked for, and what is refunded by when."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from workshops.access import may
from workshops.forms.terms import TermsForm
from workshops.models import Terms
from workshops.selectors.house import terms_with_rows
from workshops.services.house import save_terms
from workshops.views.edit import answer, delete


@may("view", "terms")
def terms_list(request: HttpRequest) -> HttpResponse:
    return render(request, "workshops/terms.html", {"all_terms": terms_with_rows()})


@may("add", "terms")
def terms_new(request: HttpRequest) -> HttpResponse:
    return _edit(request, Terms(), {"heading": _("New booking terms")})


@may("change", "terms")
def terms_edit(request: HttpRequest, pk: int) -> HttpResponse:
    terms = get_object_or_404(Terms, pk=pk)
    remove = reverse("terms-delete", args=[pk])
    return _edit(request, terms, {"heading": str(terms), "remove": remove})


def _edit(request: HttpRequest, terms: Terms, context: dict) -> HttpResponse:
    return answer(
        request,
        TermsForm(request.POST or None, instance=terms, house=request.house),
        template="edit.html",
        save=lambda form: save_terms(
            by=request.user,
            terms=form.instance,
            deposit_share=form.deposit_share(),
            rows=form.rows(),
            seen=form.cleaned_data["seen"],
        ),
        then=lambda _saved: reverse("terms"),
        context={
            "back": reverse("terms"),
            "back_to": _("Booking terms"),
            "lead": _(
                "“90” with “100” reads: whoever cancels 90 days before the start or earlier gets "
                "all of the price back. The row of the last day passed counts; later than every "
                "row, nothing is refunded. Called off by the house, all that was paid goes back."
            ),
            **context,
        },
    )


@may("delete", "terms")
def terms_delete(request: HttpRequest, pk: int) -> HttpResponse:
    terms = get_object_or_404(Terms, pk=pk)
    return delete(request, terms, back=reverse("terms-edit", args=[pk]), then=reverse("terms"))
