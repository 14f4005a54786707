"""The ledger of a booking, its receipts and its invoices: entered once, never changed."""

from datetime import UTC, date, datetime
from decimal import Decimal
from importlib import import_module
from uuid import UUID

import pytest
from django.apps import apps

from tests import factories as make
from workshops.errors import Refused
from workshops.models import AuditEntry, Booking, House, Invoice, NumberSeries, Payment
from workshops.selectors.money import account, cost_of, paid_for
from workshops.services.invoices import credit_invoice, issue_invoice
from workshops.services.payments import correct_payment, record_payment
from workshops.services.transfers import transfer_to_workshop
from workshops.services.workshops import save_workshop

pytestmark = pytest.mark.django_db

NOW = make.NOW  # 1 April 2027
KEY = UUID("3f2b0c1e-0000-4000-8000-000000000001")


@pytest.fixture
def booking():
    make.HouseFactory(tax_name="VAT", tax_percent=Decimal(20), tax_number="12 345")
    return make.BookingFactory(workshop=make.WorkshopFactory(price=Decimal(240)))


def paid(booking, amount, kind="balance", **more):
    given = {"by": None, "now": NOW, "kind": kind, "amount": Decimal(amount)}
    return record_payment(booking=booking, **given | more)


def billed(booking, amount, **more):
    texts = {"addressee": "Ana Quist", "description": "One seat"}
    given = {"by": None, "now": NOW, "amount": Decimal(amount), **texts}
    return issue_invoice(booking=booking, **given | more)


def test_receipts_are_numbered_by_year_and_begin_anew(booking):
    new_year = datetime(2028, 1, 1, 0, 30, tzinfo=UTC)
    assert paid(booking, 100).number == "R2027-0001"
    assert paid(booking, 100).number == "R2027-0002"
    assert paid(booking, 40, now=new_year).number == "R2028-0001"
    assert billed(booking, 240, now=new_year).number == "2028-0001"


def test_a_refused_entry_takes_no_number(booking):
    paid(booking, 100)
    with pytest.raises(Refused):
        paid(booking, 101, "refund")
    assert paid(booking, 100, "refund").number == "R2027-0002"
    assert NumberSeries.objects.get(series="receipt").last == 2


def test_what_is_paid_back_counts_below_nothing(booking):
    paid(booking, 120, "deposit")
    assert paid(booking, 20, "refund").amount == -20
    assert paid_for(booking) == 100


@pytest.mark.parametrize(
    ("before", "amount", "words"),
    [
        (0, "10", "nothing has been paid, so nothing can be refunded"),
        (100, "100.01", "is more than was paid; refund 100.00\N{NO-BREAK SPACE}EUR at the most"),
    ],
)
def test_no_more_is_refunded_than_was_paid(booking, before, amount, words):
    if before:
        paid(booking, before)
    with pytest.raises(Refused, match=words):
        paid(booking, amount, "refund")
    assert paid_for(booking) == before


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"amount": Decimal(0)}, "enter more than 0"),
        ({"amount": Decimal(-5)}, "enter more than 0"),
        ({"amount": Decimal("0.005")}, "EUR is paid with 2 decimals at the most"),
        ({"amount": Decimal(5), "paid_on": date(2027, 4, 2)}, "today or a day before"),
    ],
)
def test_an_entry_nobody_could_pay_is_refused(booking, given, words):
    with pytest.raises(Refused, match=words):
        paid(booking, given.pop("amount"), **given)
    assert not Payment.objects.exists()


def test_a_currency_without_cents_takes_none(booking):
    booking.workshop.currency = "JPY"  # ISO 4217: minor unit 0
    booking.workshop.save()
    with pytest.raises(Refused, match="JPY is paid without decimals"):
        paid(booking, "100.50")
    assert paid(booking, "100").amount == 100


def test_the_currency_stays_once_money_is_entered(booking):
    workshop = booking.workshop
    given = {"by": None, "workshop": workshop, "seats": 1, "places": [], "lead": None, "now": NOW}
    workshop.currency = "USD"
    assert save_workshop(**given).currency == "USD"
    paid(booking, 100)
    workshop.currency = "EUR"
    with pytest.raises(Refused, match="payments are entered in USD already"):
        save_workshop(**given)


def test_a_booking_that_was_paid_moves_to_no_other_currency(booking):
    elsewhere = make.WorkshopFactory(currency="JPY")
    make.SeatFactory(workshop=elsewhere)
    paid(booking, 100)
    with pytest.raises(Refused, match="EUR was paid; choose one of that currency"):
        transfer_to_workshop(by=None, booking=booking, workshop=elsewhere, now=NOW)


def test_a_second_click_makes_no_second_entry(booking):
    first = paid(booking, 100, request_key=KEY)
    assert paid(booking, 100, request_key=KEY) == first
    assert billed(booking, 100, request_key=KEY) == billed(booking, 100, request_key=KEY)
    assert (Payment.objects.count(), Invoice.objects.count()) == (1, 1)


def test_a_wrong_entry_is_taken_back_by_a_counter_entry_once(booking):
    wrong = paid(booking, "12.50")
    counter = correct_payment(by=None, payment=wrong, now=NOW, notes="wrong person")
    assert (counter.amount, counter.corrects) == (Decimal("-12.50"), wrong)
    # 12.50 x 20 / 120 = 2.083
    assert (wrong.tax_amount, counter.tax_amount) == (Decimal("2.08"), Decimal("-2.08"))
    assert paid_for(booking) == 0
    with pytest.raises(Refused, match="was taken back by R2027-0002 already"):
        correct_payment(by=None, payment=wrong, now=NOW)
    with pytest.raises(Refused, match="enter that payment anew"):
        correct_payment(by=None, payment=counter, now=NOW)


def test_a_payment_refunded_since_is_not_taken_back_before_its_refund(booking):
    payment = paid(booking, 100)
    refund = paid(booking, 60, "refund")
    with pytest.raises(Refused, match="take back that refund first"):
        correct_payment(by=None, payment=payment, now=NOW)
    correct_payment(by=None, payment=refund, now=NOW)
    correct_payment(by=None, payment=payment, now=NOW)
    assert paid_for(booking) == 0


def test_entries_and_invoices_are_never_changed_or_deleted(booking):
    for record in (paid(booking, 100), billed(booking, 100)):
        record.amount = Decimal(1)
        for act in (record.save, record.delete):
            with pytest.raises(Refused, match="stays as it is"):
                act()
        record.refresh_from_db()
        assert record.amount == 100


def test_the_audit_says_who_entered_what(booking):
    office = make.UserFactory(email="office@example.org")
    paid(booking, 100, by=office)
    entry = AuditEntry.objects.get(record_type="workshops.payment")
    assert (entry.who, entry.action) == (office, "created")
    assert entry.changes["amount"] == [None, "100.00"]


def test_an_invoice_takes_the_tax_out_of_the_price_and_keeps_who_issued_it(booking):
    invoice = billed(booking, 240)
    # 240 x 20 / 120 = 40
    assert (invoice.tax_name, invoice.tax_percent, invoice.tax_amount) == ("VAT", 20, 40)
    assert invoice.issuer == "Slate & Tide\nTax number 12 345"


def test_a_house_without_a_name_issues_no_invoice(booking):
    House.objects.all().delete()
    with pytest.raises(Refused, match="the name and address of the house in its settings first"):
        billed(booking, 240)


def test_no_more_is_billed_than_the_booking_costs_until_a_credit_note_takes_it_back(booking):
    first = billed(booking, 200)
    with pytest.raises(Refused, match="of what this booking costs is not billed yet"):
        billed(booking, 41)
    note = credit_invoice(by=None, invoice=first, now=NOW, reason="Wrong address")
    assert (note.amount, note.number, note.credits) == (-200, "2027-0002", first)
    assert note.tax_amount == -first.tax_amount
    assert billed(booking, 240).number == "2027-0003"
    with pytest.raises(Refused, match="was taken back by 2027-0002 already"):
        credit_invoice(by=None, invoice=first, now=NOW, reason="again")
    with pytest.raises(Refused, match="is a credit note"):
        credit_invoice(by=None, invoice=note, now=NOW, reason="again")


@pytest.mark.parametrize(
    ("by", "share", "cost", "owed_back"),
    # 240 paid: by the attendee 240 x (1 - share) is kept, by the house nothing.
    [("attendee", 0.5, 120, 120), ("attendee", 0.0, 240, 0), ("house", 1.0, 0, 240)],
)
def test_after_a_cancellation_somebody_is_owed_until_the_refund(
    booking, by, share, cost, owed_back
):
    paid(booking, 240)
    changes = {"state": "cancelled", "seat": None, "cancelled_at": NOW, "cancelled_by": by}
    Booking.objects.filter(pk=booking.pk).update(refund_share=share, **changes)
    booking.refresh_from_db()
    assert cost_of(booking) == cost
    assert account(booking, NOW).owed_back == owed_back
    if owed_back:
        paid(booking, owed_back, "refund")
        assert account(booking, NOW).owed_back == 0


def test_a_receipt_given_out_before_issuers_were_kept_gets_the_houses_of_that_day(booking):
    House.objects.update(name="Slate & Tide", postal_address="1 Old Quay\n", tax_number="T 7")
    payment = make.PaymentFactory(booking=booking)
    import_module("workshops.migrations.0011_receipt_issuer").keep_issuers(apps, None)
    payment.refresh_from_db()
    assert payment.issuer == "Slate & Tide\n1 Old Quay\nTax number T 7"
