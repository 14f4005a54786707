"""What a booking comes to, worked out from what was agreed and paid: decimals, never floats.

Every amount is rounded once, half up, to what its currency pays in.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from enum import StrEnum
from zoneinfo import ZoneInfo

NOTHING = Decimal(0)
ALL = Decimal(1)
# Currencies paid in whole units. Source: ISO 4217:2015, list one (current currencies), minor unit
# 0. Those with a minor unit of 3 or 4 are kept in hundredths, as the records hold every amount.
WHOLE = {
    "BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI", "VND",
    "VUV", "XAF", "XOF", "XPF",
}  # fmt: skip


def places(currency: str) -> int:
    """Return how many decimals an amount of a currency has: 0 or 2."""
    return 0 if currency.upper() in WHOLE else 2


def rounded(amount: Decimal, currency: str) -> Decimal:
    """Return an amount as it can be paid, a half rounded up (away from nothing)."""
    return amount.quantize(Decimal(1).scaleb(-places(currency)), ROUND_HALF_UP)


def payable(amount: Decimal, currency: str) -> bool:
    """Return whether an amount can be paid in a currency: no half cents, no cents of a yen."""
    return rounded(amount, currency) == amount


def share(value: float | Decimal) -> Decimal:
    """Return a share as it was typed: 0.1 is a tenth, not the binary fraction nearest to it."""
    return Decimal(str(value))


def as_percent(part: float) -> float:
    """Return a share as percent: 0.07 is 7, not 7.000000000000001."""
    return float(share(part) * 100)


def of_percent(percent: float) -> float:
    """Return a percentage as the share it was typed for."""
    return float(share(percent) / 100)


def deposit(price: Decimal, deposit_share: float | Decimal, currency: str) -> Decimal:
    """Return what is asked for when the seat is given."""
    return rounded(price * share(deposit_share), currency)


def kept(price: Decimal, refund_share: float | Decimal, currency: str) -> Decimal:
    """Return what the house keeps of the price after a cancellation."""
    return rounded(price * (ALL - share(refund_share)), currency)


def tax_in(gross: Decimal, percent: Decimal, currency: str) -> Decimal:
    """Return the tax that stands in a price which includes it; its sign is the price's.

    gross = net + net * percent / 100, so tax = gross * percent / (100 + percent).
    """
    return rounded(gross * percent / (100 + percent), currency)


def local_date(at: datetime, timezone_name: str) -> date:
    """Return the date of an instant on the clock of a place."""
    return at.astimezone(ZoneInfo(timezone_name)).date()


class Standing(StrEnum):
    """What an account asks for."""

    SETTLED = "settled"
    LATER = "later"  # the balance is not due yet
    DEPOSIT = "deposit"  # asked for since the seat was given
    BALANCE = "balance"  # due today or earlier
    BACK = "back"  # more was paid than it costs


@dataclass(frozen=True)
class Account:
    """One booking on one day: ``cost`` is what it costs now, ``paid`` the sum of its entries.

    The cost is the price while the booking lives, what is kept after a cancellation, and nothing
    on the waitlist. Dates are of the workshop's place.
    """

    currency: str
    cost: Decimal
    paid: Decimal
    deposit: Decimal
    booked_on: date
    due_on: date
    today: date

    @property
    def owed(self) -> Decimal:
        """What is still to be paid, now or later."""
        return max(self.cost - self.paid, NOTHING)

    @property
    def owed_back(self) -> Decimal:
        """What was paid beyond the cost."""
        return max(self.paid - self.cost, NOTHING)

    @property
    def standing(self) -> Standing:
        if self.owed_back:
            return Standing.BACK
        if not self.owed:
            return Standing.SETTLED
        if self.today >= self.due_on:
            return Standing.BALANCE
        return Standing.DEPOSIT if self.paid < self.deposit else Standing.LATER

    @property
    def due(self) -> Decimal:
        """What is to be paid today."""
        if self.standing == Standing.BALANCE:
            return self.owed
        return self.deposit - self.paid if self.standing == Standing.DEPOSIT else NOTHING

    @property
    def due_since(self) -> date:
        """The day what is due now fell due: no earlier than the day of the booking."""
        if self.standing == Standing.DEPOSIT:
            return self.booked_on
        return max(self.due_on, self.booked_on)

    @property
    def days_over(self) -> int:
        """How many days ago that was; 0 today, and where nothing is due."""
        return (self.today - self.due_since).days if self.due else 0


def due_on(start_at: datetime, timezone_name: str, balance_days: int) -> date:
    """Return the day the balance is due: so many days before the day of the start."""
    return local_date(start_at, timezone_name) - timedelta(days=balance_days)


@dataclass(frozen=True)
class Settlement:
    """What a cancellation comes to: ``kept`` stays with the house, the rest of ``paid`` goes back.

    Where less was paid than is kept, the rest is still owed.
    """

    paid: Decimal
    kept: Decimal

    @property
    def owed_back(self) -> Decimal:
        return max(self.paid - self.kept, NOTHING)

    @property
    def owed(self) -> Decimal:
        return max(self.kept - self.paid, NOTHING)


@dataclass(frozen=True)
class BreakEven:
    """From how many people a day pays for itself: ``fixed`` once, ``each`` for everybody.

    ``net`` is one price without its tax.
    """

    net: Decimal
    fixed: Decimal
    each: Decimal

    @property
    def heads(self) -> int | None:
        """The smallest n with n * net >= fixed + n * each; None: never, each costs its price."""
        if self.net <= self.each:
            return None
        return int((self.fixed / (self.net - self.each)).to_integral_value(ROUND_CEILING))

    def costs(self, heads: int) -> Decimal:
        """Return what a day with so many people costs."""
        return self.fixed + heads * self.each

    def result(self, heads: int) -> Decimal:
        """Return what is left of so many full prices, below 0 for a loss."""
        return heads * self.net - self.costs(heads)


def total(amounts: Iterable[Decimal]) -> Decimal:
    """Return the sum of signed amounts, 0 of none."""
    return sum(amounts, NOTHING)
