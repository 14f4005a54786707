"""What a booking comes to, with the sums written out: pure, and in decimals."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshops import money
from workshops.money import Account, BreakEven, Settlement, Standing

derandomised = settings(derandomize=True, max_examples=200, deadline=None)
amounts = st.decimals(min_value=0, max_value=9_999_999, places=2)
percents = st.decimals(min_value=0, max_value=100, places=2)
currencies = st.sampled_from(["EUR", "JPY", "ISK", "USD"])
shares = st.integers(0, 100).map(lambda percent: percent / 100)


def account(**changes) -> Account:
    """An account of 240 with half of it asked for at the booking on 1 March, due on 24 April."""
    usual = {
        "currency": "EUR",
        "cost": Decimal(240),
        "paid": Decimal(0),
        "deposit": Decimal(120),
        "booked_on": date(2027, 3, 1),
        "due_on": date(2027, 4, 24),
        "today": date(2027, 3, 1),
    }
    return Account(**usual | changes)


@pytest.mark.parametrize(
    ("currency", "places"),
    # ISO 4217:2015, list one, column "minor unit": JPY 392 has 0, ISK 352 has 0, CLP 152 has 0,
    # KRW 410 has 0, EUR 978, GBP 826 and HUF 348 have 2. KWD 414 has 3, kept in hundredths here.
    [
        ("JPY", 0),
        ("ISK", 0),
        ("CLP", 0),
        ("KRW", 0),
        ("EUR", 2),
        ("GBP", 2),
        ("HUF", 2),
        ("KWD", 2),
        ("jpy", 0),
    ],
)
def test_a_currency_is_paid_in_its_minor_unit(currency, places):
    assert money.places(currency) == places


@pytest.mark.parametrize(
    ("amount", "currency", "rounded"),
    # Half up, not half to even: 0.125 is 0.13 and 2.5 yen are 3, also below nothing.
    [
        ("0.125", "EUR", "0.13"),
        ("0.135", "EUR", "0.14"),
        ("2.5", "JPY", "3"),
        ("-0.125", "EUR", "-0.13"),
        ("0.1249", "EUR", "0.12"),
    ],
)
def test_a_half_is_rounded_up(amount, currency, rounded):
    assert money.rounded(Decimal(amount), currency) == Decimal(rounded)


@pytest.mark.parametrize(
    ("price", "part", "currency", "deposit"),
    [
        ("240", 0.5, "EUR", "120.00"),
        ("99.99", 0.5, "EUR", "50.00"),  # 49.995
        ("0.35", 0.1, "EUR", "0.04"),  # 0.035; the float 0.1 * 0.35 is below it
        ("12345", 0.3, "JPY", "3704"),  # 3703.5
    ],
)
def test_a_deposit_is_its_share_of_the_price(price, part, currency, deposit):
    assert money.deposit(Decimal(price), part, currency) == Decimal(deposit)


@pytest.mark.parametrize(
    ("paid", "back", "kept", "owed_back", "still_owed"),
    [
        ("240", 1.0, "0", "240", "0"),  # 240 x (1 - 1)
        ("240", 0.5, "120", "120", "0"),  # 240 x (1 - 0.5), 240 - 120
        ("120", 0.5, "120", "0", "0"),  # 120 - 120
        ("120", 0.25, "180", "0", "60"),  # 240 x 0.75 = 180, 60 more than was paid
        ("120", 0.0, "240", "0", "120"),
        ("120", 1.0, "0", "120", "0"),
    ],
)
def test_a_cancellation_keeps_its_share_of_the_price(paid, back, kept, owed_back, still_owed):
    settled = Settlement(Decimal(paid), money.kept(Decimal(240), back, "EUR"))
    assert settled.kept == Decimal(kept)
    assert settled.owed_back == Decimal(owed_back)
    assert settled.owed == Decimal(still_owed)


@pytest.mark.parametrize(
    ("gross", "percent", "currency", "tax"),
    [
        ("240", "20", "EUR", "40.00"),  # 240 x 20 / 120
        ("100", "19", "EUR", "15.97"),  # 100 x 19 / 119 = 15.966
        ("11000", "10", "JPY", "1000"),  # 11000 x 10 / 110
        ("100", "10", "JPY", "9"),  # 9.09
        ("-240", "20", "EUR", "-40.00"),
        ("240", "0", "EUR", "0"),
    ],
)
def test_the_tax_is_taken_out_of_a_price_that_includes_it(gross, percent, currency, tax):
    assert money.tax_in(Decimal(gross), Decimal(percent), currency) == Decimal(tax)


@pytest.mark.parametrize(
    ("price", "fixed", "each", "heads"),
    [
        ("200", "375.50", "18", 3),  # 2 x 182 = 364 < 375.50 <= 3 x 182 = 546
        ("200", "364", "18", 2),  # exactly 2 x 182
        ("200", "364.01", "18", 3),
        ("200", "0", "18", 0),
        ("18", "100", "18", None),  # everybody costs the whole price
        ("17.99", "100", "18", None),
    ],
)
def test_a_day_breaks_even_from_the_smallest_number_that_pays(price, fixed, each, heads):
    even = BreakEven(net=Decimal(price), fixed=Decimal(fixed), each=Decimal(each))
    assert even.heads == heads
    if heads:
        assert even.result(heads) >= 0 > even.result(heads - 1)


@pytest.mark.parametrize(
    ("changes", "standing", "due", "days_over"),
    [
        ({}, Standing.DEPOSIT, "120", 0),
        ({"today": date(2027, 3, 4)}, Standing.DEPOSIT, "120", 3),
        ({"paid": Decimal(50)}, Standing.DEPOSIT, "70", 0),
        ({"paid": Decimal(120), "today": date(2027, 4, 23)}, Standing.LATER, "0", 0),
        ({"paid": Decimal(120), "today": date(2027, 4, 24)}, Standing.BALANCE, "120", 0),
        ({"paid": Decimal(120), "today": date(2027, 4, 26)}, Standing.BALANCE, "120", 2),
        ({"paid": Decimal(240), "today": date(2027, 5, 1)}, Standing.SETTLED, "0", 0),
        ({"paid": Decimal(250), "today": date(2027, 5, 1)}, Standing.BACK, "0", 0),
        ({"cost": Decimal(0), "deposit": Decimal(0)}, Standing.SETTLED, "0", 0),
    ],
)
def test_an_account_says_what_is_due_and_since_when(changes, standing, due, days_over):
    one = account(**changes)
    assert (one.standing, one.due, one.days_over) == (standing, Decimal(due), days_over)


def test_a_balance_is_due_so_many_days_before_by_the_calendar_of_the_place():
    # 00:30 on 28 March in Berlin is 23:30 on the 27th in UTC; clocks go forward that night.
    start_at = datetime(2027, 3, 27, 23, 30, tzinfo=UTC)
    assert money.due_on(start_at, "Europe/Berlin", 14) == date(2027, 3, 14)
    assert money.due_on(start_at, "UTC", 14) == date(2027, 3, 13)


@pytest.mark.parametrize("percent", [0, 7, 12.5, 33.3, 50, 100])
def test_a_percentage_comes_back_as_it_was_typed(percent):
    assert money.as_percent(money.of_percent(percent)) == percent


@derandomised
@given(gross=amounts, percent=percents, currency=currencies)
def test_tax_and_net_are_the_price(gross, percent, currency):
    gross = money.rounded(gross, currency)
    tax = money.tax_in(gross, percent, currency)
    assert 0 <= tax <= gross
    assert (gross - tax) + tax == gross
    assert money.payable(tax, currency)
    assert money.tax_in(-gross, percent, currency) == -tax


@derandomised
@given(price=amounts, paid=amounts, back=shares, currency=currencies)
def test_a_cancellation_loses_no_cent(price, paid, back, currency):
    price, paid = (money.rounded(one, currency) for one in (price, paid))
    settled = Settlement(paid, money.kept(price, back, currency))
    assert paid - settled.owed_back + settled.owed == settled.kept
    assert 0 <= settled.kept <= price
    assert min(settled.owed, settled.owed_back) == 0
    generous = Settlement(paid, money.kept(price, 1.0, currency))
    assert generous.owed_back == paid >= settled.owed_back


@derandomised
@given(net=amounts, fixed=amounts, each=amounts)
def test_no_smaller_number_of_people_breaks_even(net, fixed, each):
    even = BreakEven(net=net, fixed=fixed, each=each)
    if even.heads is None:
        assert net <= each
        return
    assert even.result(even.heads) >= 0
    assert even.heads == 0 or even.result(even.heads - 1) < 0
