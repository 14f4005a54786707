"""Invoices, credit notes and receipts as PDF."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _

from planning.sheets.options import print_options
from workshops.access import found, may
from workshops.models import Invoice, Payment
from workshops.words import number_text


@may("view", "invoice")
def invoice_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    rows = Invoice.objects.select_related("credits", "booking")
    invoice = found(request, rows, pk, "booking__workshop")
    kind = _("Credit note %(number)s") if invoice.credits else _("Invoice %(number)s")
    context = {
        "invoice": invoice,
        "title": kind % {"number": invoice},
        "net": invoice.amount - invoice.tax_amount,
        "shown_tax": bool(invoice.tax_percent),
        "tax_words": _tax_words(invoice),
    }
    return _letter(request, "sheets/invoice.html", context, invoice.booking_id, invoice.number)


@may("view", "payment")
def payment_receipt(request: HttpRequest, pk: int) -> HttpResponse:
    rows = Payment.objects.select_related(
        "booking__workshop", "booking__person", "corrects", "corrected_by"
    )
    payment = found(request, rows, pk, "booking__workshop")
    workshop = payment.booking.workshop
    context = {
        "payment": payment,
        "title": _("Receipt %(number)s") % {"number": payment},
        "currency": workshop.currency,
        "workshop": workshop,
        "person": payment.booking.person,
        "shown_tax": bool(payment.tax_percent),
        "tax_words": _tax_words(payment),
    }
    return _letter(request, "sheets/receipt.html", context, payment.booking_id, payment.number)


def _tax_words(record: Invoice | Payment) -> str:
    told = {
        "tax": record.tax_name or _("Tax"),
        "percent": number_text(float(record.tax_percent)),
    }
    return _("%(tax)s, %(percent)s%%") % told


def _letter(
    request: HttpRequest, template: str, context: dict, booking: int, name: str
) -> HttpResponse:
    # Only here: few pages need the page renderer, and it takes a second to load.
    from planning.sheets.pdf import SheetFailed, letter_pdf

    try:
        content = letter_pdf(template, context, print_options(request.house))
    except SheetFailed as reason:
        messages.error(request, str(reason))
        return redirect("booking-money", booking)
    plain = "".join(sign for sign in name if sign.isascii() and (sign.isalnum() or sign == "-"))
    headers = {
        "Content-Disposition": f'inline; filename="{plain}.pdf"',
        "Cache-Control": "private, no-store",
    }
    return HttpResponse(content, content_type="application/pdf", headers=headers)
