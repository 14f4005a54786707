"""Invoices of a booking and the credit notes that take them back."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from workshops.access import found, may
from workshops.forms.money import CreditForm, InvoiceForm
from workshops.models import Booking, Invoice
from workshops.selectors.money import billed_for, cost_of, with_money
from workshops.services.invoices import credit_invoice, issue_invoice
from workshops.views.edit import answer


@may("add", "invoice")
def invoice_new(request: HttpRequest, pk: int) -> HttpResponse:
    booking = found(request, with_money(Booking.objects.prefetch_related("invoices")), pk)
    form = InvoiceForm(
        request.POST or None,
        instance=Invoice(booking=booking),
        house=request.house,
        booking=booking,
        left=cost_of(booking) - billed_for(booking),
    )
    return answer(
        request,
        form,
        template="edit.html",
        save=lambda form: issue_invoice(
            by=request.user, booking=booking, now=timezone.now(), **form.cleaned_data
        ),
        then=lambda _made: reverse("booking-money", args=[pk]),
        context=_context(booking, _("An invoice"))
        | {
            "lead": _("Once issued it is never changed; a credit note takes it back."),
            "save_words": _("Issue the invoice"),
        },
    )


@may("add", "invoice")
def invoice_credit(request: HttpRequest, pk: int) -> HttpResponse:
    rows = Invoice.objects.select_related("booking__workshop", "booking__person")
    invoice = found(request, rows, pk, "booking__workshop")
    return answer(
        request,
        CreditForm(request.POST or None, instance=Invoice(), house=request.house),
        template="edit.html",
        save=lambda form: credit_invoice(
            by=request.user,
            invoice=invoice,
            now=timezone.now(),
            reason=form.cleaned_data["description"],
        ),
        then=lambda _made: reverse("booking-money", args=[invoice.booking_id]),
        context=_context(invoice.booking, _("Take back %(number)s") % {"number": invoice})
        | {
            "lead": _("A credit note of the whole amount is issued; both stay on record."),
            "save_words": _("Issue the credit note"),
        },
    )


def _context(booking: Booking, heading: str) -> dict:
    return {
        "heading": heading,
        "back": reverse("booking-money", args=[booking.pk]),
        "back_to": _("Money of %(person)s") % {"person": booking.person},
    }
