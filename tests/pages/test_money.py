"""The pages of the money: accounts, ledgers, cancellations foreseen, invoices, costs of a day."""

import io
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.records.browser import filled
from workshops.models import AuditEntry, DayCost, House, Invoice, Payment, TermsRow
from workshops.services.payments import record_payment

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


def words(answer):
    return " ".join(answer.content.decode().replace("\N{NO-BREAK SPACE}", " ").split())


def page(client, name, *args):
    return words(client.get(reverse(name, args=args)))


def sent(client, name, record, /, **typed):
    place = reverse(name, args=[record.pk])
    return client.post(place, filled(client.get(place)) | typed)


def paid(booking, amount, kind="balance", **more):
    now = timezone.now()
    return record_payment(
        by=None, booking=booking, kind=kind, amount=Decimal(amount), now=now, **more
    )


@pytest.fixture
def terms():
    terms = make.TermsFactory(name="Usual", deposit_share=0.5, balance_days=14)
    for days_before, share in ((90, 1.0), (60, 0.5)):
        TermsRow.objects.create(terms=terms, days_before=days_before, refunded_share=share)
    return terms


@pytest.fixture
def booking(terms):
    """A seat at 240, booked now, of a workshop in 60 days and an hour."""
    start_at = timezone.now() + timedelta(days=60) + HOUR
    workshop = make.WorkshopFactory(
        start_at=start_at,
        end_at=start_at + 8 * HOUR,
        timezone_name="UTC",
        price=Decimal(240),
        terms=terms,
        minimum_to_run=4,
    )
    return make.BookingFactory(
        workshop=workshop, booked_at=timezone.now(), person=make.PersonFactory(name="Ana Quist")
    )


def test_nobody_but_the_office_sees_the_money(stranger, booking):
    for name, record in (
        ("workshop-money", booking.workshop),
        ("workshop-called-off", booking.workshop),
        ("booking-money", booking),
        ("payment-new", booking),
        ("invoice-new", booking),
        ("cost-new", booking.workshop),
    ):
        place = reverse(name, args=[record.pk])
        assert stranger.get(place).status_code == 403, name
        assert stranger.post(place, {"amount": "5", "kind": "deposit"}).status_code == 403, name
    assert not Payment.objects.exists()


def test_an_empty_page_says_what_to_do_first(office):
    shown = page(office, "workshop-money", make.WorkshopFactory().pk)
    assert "Nobody is booked yet: give a seat first" in shown
    assert "No cost is entered." in shown
    assert "No terms are chosen" in shown


def test_the_page_says_what_is_due_in_words(office, booking):
    assert "deposit of 120.00 EUR due today" in page(office, "workshop-money", booking.workshop_id)
    booking.booked_at -= timedelta(days=3)
    booking.save()
    shown = page(office, "workshop-money", booking.workshop_id)
    assert "deposit of 120.00 EUR overdue for 3 days, since" in shown
    paid(booking, 240)
    assert "paid in full" in page(office, "workshop-money", booking.workshop_id)
    paid(booking, 10)
    assert "10.00 EUR owed back" in page(office, "workshop-money", booking.workshop_id)


def test_a_payment_is_entered_with_its_receipt_and_who_did_it(office, booking):
    answer = sent(office, "payment-new", booking, method="cash")
    assert answer.status_code == 302
    payment = Payment.objects.get()
    assert (payment.kind, payment.amount, payment.method) == ("deposit", 120, "cash")
    assert AuditEntry.objects.get(record_type="workshops.payment").who == office.user
    shown = page(office, "booking-money", booking.pk)
    assert payment.number in shown
    assert "office@example.org" in shown


def test_a_double_click_enters_one_payment_and_one_invoice(office, booking):
    for name in ("payment-new", "invoice-new"):
        place = reverse(name, args=[booking.pk])
        typed = filled(office.get(place))
        assert [office.post(place, typed).status_code for _click in (1, 2)] == [302, 302]
    assert (Payment.objects.count(), Invoice.objects.count()) == (1, 1)


def test_too_large_a_refund_is_refused_with_everything_typed_kept(office, booking):
    paid(booking, 100)
    answer = sent(office, "payment-new", booking, kind="refund", amount="100,01", notes="by hand")
    assert answer.status_code == 422
    assert "100.01 EUR is more than was paid; refund 100.00 EUR at the most" in words(answer)
    assert filled(answer)["notes"] == "by hand"
    assert filled(answer)["amount"] == "100,01"


def test_what_each_would_be_owed_if_it_were_called_off_now(office, booking):
    paid(booking, 200)
    shown = page(office, "workshop-called-off", booking.workshop_id)
    assert "There are 60 whole days left until the start." in shown
    assert "the row for 60 days before or earlier counts: 50% of the price is refunded" in shown
    # By the attendee 200 - 240 x 0.5 = 80; by the house all 200.
    assert "80.00 EUR back" in shown
    assert "200.00 EUR back" in shown


def test_an_hour_later_the_next_row_counts(office, booking):
    paid(booking, 200)
    booking.workshop.start_at -= 2 * HOUR
    booking.workshop.save()
    shown = page(office, "workshop-called-off", booking.workshop_id)
    assert "There are 59 whole days left until the start." in shown
    assert "No row of the terms “Usual” reaches so close" in shown
    assert "nothing; still owes 40.00 EUR" in shown  # 240 - 200


def test_a_cancelled_booking_is_owed_until_its_refund_is_entered(office, booking):
    paid(booking, 240)
    booking.state, booking.seat, booking.cancelled_at = "cancelled", None, timezone.now()
    booking.cancelled_by, booking.refund_share = "house", 1.0
    booking.save()
    assert "Ana Quist is owed 240.00 EUR" in page(office, "booking-money", booking.pk)
    answer = sent(office, "payment-new", booking)  # the form asks for just that
    assert answer.status_code == 302
    assert Payment.objects.get(kind="refund").amount == -240
    assert "is owed" not in page(office, "booking-money", booking.pk)


def test_cancelling_says_before_and_after_what_somebody_is_owed(office, booking):
    paid(booking, 200)
    shown = page(office, "booking-cancel", booking.pk)
    # By the attendee 200 - 240 x 0.5 = 80; by the house all 200.
    assert "Owed: 80.00 EUR back" in shown
    assert "Owed: 200.00 EUR back" in shown
    assert "200.00 EUR owed back" in page(office, "workshop-call-off", booking.workshop_id)
    assert sent(office, "booking-cancel", booking, called_off_by="attendee").status_code == 302
    assert "80.00 EUR owed back" in page(office, "workshop", booking.workshop_id)
    paid(booking, 80, "refund")
    shown = page(office, "workshop", booking.workshop_id)
    assert "owed back" not in shown
    assert "settled" in shown


def test_an_instructor_sees_no_money_on_the_pages_of_the_own_workshop(client, booking):
    make.HouseFactory()
    lead = make.RoleFactory(workshop=booking.workshop, role="lead").person
    client.force_login(
        make.UserFactory(role="instructor", person=lead, is_staff=False, is_superuser=False)
    )
    paid(booking, 200)
    booking.state, booking.seat, booking.cancelled_at = "cancelled", None, timezone.now()
    booking.save()
    shown = page(client, "workshop", booking.workshop_id)
    assert "Ana Quist" in shown
    assert "owed" not in shown
    assert reverse("workshop-money", args=[booking.workshop_id]) not in shown
    assert client.get(reverse("booking-money", args=[booking.pk])).status_code == 403


def test_an_entry_is_taken_back_on_a_page_of_its_own(office, booking):
    payment = paid(booking, 50)
    assert sent(office, "payment-correct", payment).status_code == 422  # says why first
    assert sent(office, "payment-correct", payment, notes="wrong person").status_code == 302
    assert f"takes back {payment.number}" in page(office, "booking-money", booking.pk)
    again = sent(office, "payment-correct", payment, notes="again")
    assert again.status_code == 422
    assert "was taken back by" in words(again)


def text_of(answer) -> str:
    assert answer["Content-Type"] == "application/pdf"
    document = PdfReader(io.BytesIO(answer.content))
    assert document.trailer["/Root"]["/MarkInfo"]["/Marked"]
    return " ".join(" ".join(one.extract_text() for one in document.pages).split())


def test_an_invoice_prints_with_its_tax_line_and_is_taken_back_in_full(office, booking):
    House.objects.update(tax_name="VAT", tax_percent=20, postal_address="Quay 4\nPorth")
    answer = sent(office, "invoice-new", booking, addressee="Ana Quist\nHarbour Row 9")
    assert answer.status_code == 302
    invoice = Invoice.objects.get()
    printed = text_of(office.get(reverse("invoice-sheet", args=[invoice.pk])))
    for part in ("Quay 4", "Harbour Row 9", f"Invoice {invoice.number}", "VAT, 20%"):
        assert part in printed
    # 240 x 20 / 120
    for amount in ("200.00", "40.00", "240.00"):
        assert amount in printed.replace("\N{NO-BREAK SPACE}", " ")
    assert sent(office, "invoice-credit", invoice, description="Wrong name").status_code == 302
    note = Invoice.objects.get(credits=invoice)
    printed = text_of(office.get(reverse("invoice-sheet", args=[note.pk])))
    assert f"Credit note {note.number}" in printed
    assert f"invoice {invoice.number}" in printed


@pytest.mark.parametrize(("paper", "height_mm"), [("a4", 297), ("letter", 279.4)])
def test_a_receipt_prints_on_the_paper_of_the_house(office, booking, paper, height_mm):
    House.objects.update(
        name="Slate & Tide",
        postal_address="1 Old Quay",
        paper=paper,
        tax_name="VAT",
        tax_percent=20,
    )
    payment = paid(booking, 120, "deposit")
    # Another rate or address later changes no receipt.
    House.objects.update(tax_percent=25, name="Moved House", postal_address="9 New Quay")
    answer = office.get(reverse("payment-receipt", args=[payment.pk]))
    printed = text_of(answer).replace("\N{NO-BREAK SPACE}", " ")
    assert f"Receipt {payment.number}" in printed
    assert "Of it VAT, 20% 20.00 EUR" in printed  # 120 x 20 / 120
    assert "Slate & Tide 1 Old Quay" in printed
    assert "New Quay" not in printed
    height = PdfReader(io.BytesIO(answer.content)).pages[0].mediabox.height
    # ISO 216 and ANSI/ASME Y14.1; 72 points an inch.
    assert float(height) == pytest.approx(height_mm * 72 / 25.4, abs=0.5)


def test_costs_say_from_how_many_people_the_day_pays(office, booking):
    House.objects.update(tax_percent=20)
    workshop = booking.workshop
    assert sent(office, "cost-new", workshop, name="Model", amount="375,50").status_code == 302
    assert (
        sent(office, "cost-new", workshop, name="Food", amount="18", each="on").status_code == 302
    )
    shown = page(office, "workshop-money", workshop.pk)
    # 240 holds 40 of tax: 2 x (200 - 18) = 364 < 375.50 <= 3 x 182.
    assert "3 attendees pay for the day." in shown
    # Today one seat: 200 - 18 - 375.50.
    assert "a loss: −193.50 EUR" in shown
    food = DayCost.objects.get(name="Food")
    assert sent(office, "cost", food, amount="200").status_code == 302
    assert "Never: each attendee costs as much" in page(office, "workshop-money", workshop.pk)
    assert office.post(reverse("cost-delete", args=[food.pk])).status_code == 302
    assert not DayCost.objects.filter(name="Food").exists()


def test_a_price_and_a_cost_are_typed_as_the_currency_is_paid(office, booking):
    # ISO 4217: the minor unit of JPY is 0.
    answer = sent(office, "workshop-edit", booking.workshop, price="120.50", currency="JPY")
    assert answer.status_code == 422
    assert "JPY is paid without decimals" in words(answer)
    answer = sent(office, "workshop-edit", booking.workshop, price="12000", currency="JPY")
    assert answer.status_code == 302
    answer = sent(office, "cost-new", booking.workshop, name="Model", amount="300,5")
    assert "JPY is paid without decimals" in words(answer)
    assert "12000 JPY" in page(office, "workshop-money", booking.workshop_id).replace(",", "")


def test_the_table_asks_the_database_as_often_for_many_as_for_one(
    office, booking, django_assert_max_num_queries
):
    for other in make.BookingFactory.create_batch(12, workshop=booking.workshop):
        paid(other, 100)
    for name in ("workshop-money", "workshop-called-off"):
        with django_assert_max_num_queries(16):
            office.get(reverse(name, args=[booking.workshop_id]))


@pytest.mark.parametrize("text", ABSURD, ids=lambda text: repr(text[:12]))
def test_absurd_text_is_kept_or_refused_in_words(office, booking, text):
    payment = make.PaymentFactory(booking=booking, number="R1", amount=Decimal(1))
    invoice = make.InvoiceFactory(booking=booking, amount=Decimal(1))
    forms = [
        ("payment-new", booking),
        ("invoice-new", booking),
        ("cost-new", booking.workshop),
        ("payment-correct", payment),
        ("invoice-credit", invoice),
    ]
    for place in (reverse(name, args=[record.pk]) for name, record in forms):
        blank = filled(office.get(place))
        for name in set(blank) - {"csrfmiddlewaretoken"}:
            answer = office.post(place, blank | {"name": "Model", name: text})
            assert answer.status_code in (302, 422), (place, name)
            assert "<script>alert" not in answer.content.decode()
    for made in Invoice.objects.all():
        answer = office.get(reverse("invoice-sheet", args=[made.pk]))
        assert answer["Content-Type"] == "application/pdf", made.addressee[:40]
    assert (
        "<script>alert"
        not in office.get(reverse("booking-money", args=[booking.pk])).content.decode()
    )


def test_a_year_turns_on_the_clock_of_the_office(booking):
    make.HouseFactory(timezone_name="Pacific/Auckland")
    new_year_there = datetime(2027, 12, 31, 11, 30, tzinfo=UTC)  # 00:30 on 1 January in Auckland
    payment = record_payment(
        by=None, booking=booking, kind="deposit", amount=Decimal(1), now=new_year_there
    )
    assert payment.number == "R2028-0001"
