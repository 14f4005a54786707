"""Issue invoices, and the credit notes that take them back."""

from datetime import datetime
from decimal import Decimal
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit, money
from workshops.errors import Refused
from workshops.models import Booking, Invoice, User
from workshops.selectors.house import house, issuer
from workshops.selectors.money import billed_for, cost_of
from workshops.services.again import again
from workshops.services.numbers import INVOICES, next_number
from workshops.words import decimals_refused, exact_money


@again
@transaction.atomic
def issue_invoice(
    *,
    by: User | None,
    booking: Booking,
    amount: Decimal,
    addressee: str,
    description: str,
    now: datetime,
    request_key: UUID | None = None,
) -> Invoice:
    """Return a new invoice with the house's tax taken out of ``amount``.

    The same ``request_key`` again returns the invoice made the first time. Raises Refused for an
    amount the currency cannot pay, a house without a name, or more than the booking costs.
    """
    Booking.objects.select_for_update().get(pk=booking.pk)
    booking = Booking.objects.select_related("workshop__terms", "person").get(pk=booking.pk)
    if request_key and (made := booking.invoices.filter(request_key=request_key).first()):
        return made
    currency, rules = booking.workshop.currency, house()
    if amount <= 0:
        raise Refused({"amount": _("Amount: enter more than 0.")})
    if not money.payable(amount, currency):
        raise Refused({"amount": decimals_refused(currency)})
    if not rules.name:
        raise Refused(_("Enter the name and address of the house in its settings first."))
    left = cost_of(booking) - billed_for(booking)
    if amount > left:
        told = {"left": exact_money(max(left, money.NOTHING), currency)}
        sentence = _(
            "Amount: %(left)s of what this booking costs is not billed yet; enter no more, or take "
            "an invoice back first."
        )
        raise Refused({"amount": sentence % told})
    return _issued(
        Invoice(
            booking=booking,
            issuer=issuer(rules),
            addressee=addressee,
            description=description,
            currency=currency,
            amount=amount,
            tax_name=rules.tax_name if rules.tax_percent else "",
            tax_percent=rules.tax_percent,
            tax_amount=money.tax_in(amount, rules.tax_percent, currency),
            request_key=request_key,
        ),
        by=by,
        now=now,
    )


@again
@transaction.atomic
def credit_invoice(*, by: User | None, invoice: Invoice, now: datetime, reason: str) -> Invoice:
    """Return the credit note that takes an invoice back in full.

    Raises Refused for a credit note, and for an invoice taken back already.
    """
    Booking.objects.select_for_update().get(pk=invoice.booking_id)
    invoice = Invoice.objects.select_related("booking", "credits").get(pk=invoice.pk)
    if invoice.credits:
        sentence = _("%(number)s is a credit note: issue a new invoice instead.")
        raise Refused(sentence % {"number": invoice})
    if credited := Invoice.objects.filter(credits=invoice).first():
        sentence = _("%(number)s was taken back by %(other)s already.")
        raise Refused(sentence % {"number": invoice, "other": credited})
    return _issued(
        Invoice(
            booking=invoice.booking,
            issuer=invoice.issuer,
            addressee=invoice.addressee,
            description=reason,
            currency=invoice.currency,
            amount=-invoice.amount,
            tax_name=invoice.tax_name,
            tax_percent=invoice.tax_percent,
            tax_amount=-invoice.tax_amount,
            credits=invoice,
        ),
        by=by,
        now=now,
    )


def _issued(invoice: Invoice, *, by: User | None, now: datetime) -> Invoice:
    rules = house()
    invoice.issued_on = money.local_date(now, rules.timezone_name)
    year = invoice.issued_on.year
    invoice.number = next_number(INVOICES, year=year, prefix=rules.invoice_prefix)
    return audit.write(invoice, by=by)
