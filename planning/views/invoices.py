"""Invoices, credit notes and receipts as PDF."""

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from planning.sheets.pdf import letter_pdf
from planning.views.answers import pdf_answer
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
    plain = "".join(sign for sign in name if sign.isascii() and (sign.isalnum() or sign == "-"))
    return pdf_answer(
        request,
        lambda options: letter_pdf(template, context, options),
        f"{plain}.pdf",
        back=("booking-money", booking),
    )
