"""Enter what was paid and paid back; an entry stays, and a counter-entry takes it back."""

from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit, money
from workshops.errors import Refused
from workshops.models import Booking, Payment, User, Workshop
from workshops.selectors.house import house, issuer
from workshops.selectors.money import paid_for
from workshops.services.again import again
from workshops.services.numbers import RECEIPTS, next_number
from workshops.words import decimals_refused, exact_money


@again
@transaction.atomic
def record_payment(
    *,
    by: User | None,
    booking: Booking,
    kind: str,
    amount: Decimal,
    now: datetime,
    paid_on: date | None = None,
    method: str = "",
    notes: str = "",
    request_key: UUID | None = None,
) -> Payment:
    """Return an entry of so much received, or paid back for the kind refund; ``amount`` above 0.

    The same ``request_key`` again returns the entry made the first time. Raises Refused for an
    amount the currency cannot pay, a date to come, or a refund of more than was paid.
    """
    booking = _locked(booking)
    if request_key and (made := booking.payments.filter(request_key=request_key).first()):
        return made
    today = money.local_date(now, house().timezone_name)
    currency = booking.workshop.currency
    if amount <= 0:
        raise Refused({"amount": _("Amount: enter more than 0; what it is for says which way.")})
    if not money.payable(amount, currency):
        raise Refused({"amount": decimals_refused(currency)})
    if paid_on and paid_on > today:
        raise Refused({"paid_on": _("Paid on: enter today or a day before, not one to come.")})
    if kind == Payment.Kind.REFUND:
        _check_refund(booking, amount)
        amount = -amount
    rules = house()
    payment = Payment(
        booking=booking,
        kind=kind,
        amount=amount,
        tax_name=rules.tax_name if rules.tax_percent else "",
        tax_percent=rules.tax_percent,
        tax_amount=money.tax_in(amount, rules.tax_percent, currency),
        paid_on=paid_on or today,
        method=method,
        notes=notes,
        request_key=request_key,
    )
    return _entered(payment, by=by, today=today)


@again
@transaction.atomic
def correct_payment(
    *, by: User | None, payment: Payment, now: datetime, notes: str = ""
) -> Payment:
    """Return the counter-entry that takes an entry back in full.

    Raises Refused for an entry taken back already, for a counter-entry, and where more would
    then have been refunded than was paid.
    """
    booking = _locked(payment.booking)
    payment = booking.payments.select_related("corrects").get(pk=payment.pk)
    if payment.kind == Payment.Kind.CORRECTION:
        sentence = _("%(number)s takes back %(other)s: enter that payment anew instead.")
        raise Refused(sentence % {"number": payment, "other": payment.corrects})
    if taken_back := Payment.objects.filter(corrects=payment).first():
        sentence = _("%(number)s was taken back by %(other)s already.")
        raise Refused(sentence % {"number": payment, "other": taken_back})
    if paid_for(booking) < payment.amount:
        sentence = _("%(number)s was paid back since: take back that refund first.")
        raise Refused(sentence % {"number": payment})
    today = money.local_date(now, house().timezone_name)
    counter = Payment(
        booking=booking,
        kind=Payment.Kind.CORRECTION,
        amount=-payment.amount,
        tax_name=payment.tax_name,
        tax_percent=payment.tax_percent,
        tax_amount=-payment.tax_amount,
        paid_on=today,
        method=payment.method,
        notes=notes,
        corrects=payment,
    )
    return _entered(counter, by=by, today=today)


def check_currency(workshop: Workshop) -> None:
    """Raise Refused for another currency than the one money of the workshop was entered in."""
    stored = Workshop.objects.filter(pk=workshop.pk).values_list("currency", flat=True).first()
    if stored in (None, workshop.currency):
        return
    if Payment.objects.filter(booking__workshop=workshop).exists():
        sentence = _("Currency: payments are entered in %(currency)s already; keep it.")
        raise Refused({"currency": sentence % {"currency": stored}})


def _locked(booking: Booking) -> Booking:
    """Return the booking as it is now, nobody else entering money for it until we are done."""
    Booking.objects.select_for_update().get(pk=booking.pk)
    return Booking.objects.select_related("workshop__terms", "person").get(pk=booking.pk)


def _check_refund(booking: Booking, amount: Decimal) -> None:
    paid = paid_for(booking)
    if amount > paid:
        told = {
            "amount": exact_money(amount, booking.workshop.currency),
            "paid": exact_money(paid, booking.workshop.currency),
        }
        sentence = _("Amount: %(amount)s is more than was paid; refund %(paid)s at the most.")
        if not paid:
            sentence = _("Amount: nothing has been paid, so nothing can be refunded.")
        raise Refused({"amount": sentence % told})


def _entered(payment: Payment, *, by: User | None, today: date) -> Payment:
    rules = house()
    prefix, payment.issuer = rules.receipt_prefix, issuer(rules)
    payment.number = next_number(RECEIPTS, year=today.year, prefix=prefix)
    return audit.write(payment, by=by)
