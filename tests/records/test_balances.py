"""Whose balance is due: what the reminders ask."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from tests import factories as make
from workshops.selectors.money import account, balances_due

pytestmark = pytest.mark.django_db

START = datetime(2027, 5, 8, 8, 0, tzinfo=UTC)  # 09:00 at the place, British Summer Time
LATE_ON_23 = datetime(2027, 4, 23, 22, 59, tzinfo=UTC)  # 23:59 on 23 April at the place
MIDNIGHT_24 = datetime(2027, 4, 23, 23, 0, tzinfo=UTC)  # 00:00 on 24 April there


@pytest.fixture
def booking():
    terms = make.TermsFactory(deposit_share=0.5, balance_days=14)
    day = make.WorkshopFactory(start_at=START, price=Decimal("240.00"), terms=terms)
    return make.BookingFactory(workshop=day, booked_at=datetime(2027, 3, 1, 9, 0, tzinfo=UTC))


def test_a_balance_falls_due_at_midnight_of_the_place(booking):
    # 8 May less 14 days is 24 April.
    assert account(booking, LATE_ON_23).due_on == date(2027, 4, 24)
    assert balances_due(LATE_ON_23) == []
    assert balances_due(MIDNIGHT_24) == [booking]


def test_nobody_who_paid_or_gave_up_is_asked(booking):
    make.PaymentFactory(booking=booking, amount=Decimal("239.90"))
    assert balances_due(MIDNIGHT_24) == [booking]
    make.PaymentFactory(booking=booking, kind="balance", amount=Decimal("0.10"))
    assert balances_due(MIDNIGHT_24) == []
    for state in ({"state": "waitlisted", "seat": None}, {"price": Decimal(0)}):
        make.BookingFactory(workshop=booking.workshop, **state)
    cancelled = {"state": "cancelled", "seat": None, "cancelled_at": MIDNIGHT_24}
    make.BookingFactory(workshop=booking.workshop, **cancelled)
    assert balances_due(MIDNIGHT_24) == []


def test_a_workshop_called_off_reminds_nobody(booking):
    day = booking.workshop
    day.status, day.cancelled_reason = "cancelled", "too few"
    day.save()
    assert balances_due(MIDNIGHT_24) == []


def test_a_booking_after_the_due_date_is_due_on_its_own_day(booking):
    booking.booked_at = datetime(2027, 5, 1, 9, 0, tzinfo=UTC)
    booking.save()
    now = datetime(2027, 5, 3, 9, 0, tzinfo=UTC)
    assert account(booking, now).due_since == date(2027, 5, 1)
    assert account(booking, now).days_over == 2
    assert account(booking, now).due == Decimal(240)


def test_the_one_who_owes_longest_comes_first_in_few_questions(
    booking, django_assert_max_num_queries
):
    sooner = make.TermsFactory(balance_days=60)
    day = make.WorkshopFactory(start_at=START, price=100, terms=sooner)
    others = make.BookingFactory.create_batch(
        4, workshop=day, booked_at=datetime(2027, 1, 1, 9, 0, tzinfo=UTC)
    )
    with django_assert_max_num_queries(4):
        found = balances_due(MIDNIGHT_24)
        assert [account(one, MIDNIGHT_24).owed for one in found] == [100] * 4 + [240]
    assert {one.pk for one in found[:4]} == {one.pk for one in others}
