"""Questions about the money of one workshop: its accounts, a cancellation, its break-even."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db.models import Prefetch, QuerySet

from workshops import money, refunds
from workshops.models import LIVE, Booking, DayCost, House, Workshop
from workshops.money import Account, BreakEven, Settlement
from workshops.selectors.money import (
    account,
    paid_for,
    price_of,
    row_that_applies,
    share_back,
    with_money,
)


@dataclass(frozen=True)
class Line:
    """A booking, its price and its account."""

    booking: Booking
    price: Decimal
    account: Account


@dataclass(frozen=True)
class Totals:
    """The sums of the lines."""

    cost: Decimal
    paid: Decimal
    owed: Decimal
    owed_back: Decimal
    due: Decimal


def lines(workshop: Workshop, now: datetime) -> list[Line]:
    """Return every booking but the waitlist's unpaid, who holds a seat first, then by name."""
    found = _lines(Booking.objects.filter(workshop=workshop).order_by("person__name", "pk"), now)
    shown = [
        line
        for line in found
        if line.booking.state != Booking.State.WAITLISTED or line.booking.payments.all()
    ]
    return sorted(shown, key=lambda line: line.booking.state not in LIVE)


def cancelled_lines(workshop: Workshop, now: datetime) -> list[Line]:
    """Return the bookings called off, the first one first."""
    rows = workshop.bookings.filter(state=Booking.State.CANCELLED)
    return _lines(rows.order_by("cancelled_at", "pk"), now)


def _lines(rows: QuerySet[Booking], now: datetime) -> list[Line]:
    return [Line(one, price_of(one), account(one, now)) for one in with_money(rows)]


def totals(rows: Iterable[Line]) -> Totals:
    """Return the sums of a workshop's lines."""
    accounts = [line.account for line in rows]
    return Totals(
        cost=money.total(one.cost for one in accounts),
        paid=money.total(one.paid for one in accounts),
        owed=money.total(one.owed for one in accounts),
        owed_back=money.total(one.owed_back for one in accounts),
        due=money.total(one.due for one in accounts),
    )


@dataclass(frozen=True)
class CalledOff:
    """What one booking would come to, called off by the attendee or by the house."""

    booking: Booking
    paid: Decimal
    by_attendee: Settlement
    by_house: Settlement


def called_off(rows: QuerySet[Booking], now: datetime) -> list[CalledOff]:
    """Return what each of some bookings would come to if it were called off now."""
    return [
        CalledOff(
            booking=one,
            paid=paid_for(one),
            by_attendee=settled(one, now, by_house=False),
            by_house=settled(one, now, by_house=True),
        )
        for one in with_money(rows)
    ]


def settled(booking: Booking, now: datetime, *, by_house: bool) -> Settlement:
    """Return what a booking would come to, called off now by the attendee or by the house.

    Whoever only waits for a seat owes nothing.
    """
    free = by_house or booking.state == Booking.State.WAITLISTED
    back = share_back(booking, now, by_house=free)
    kept = money.kept(price_of(booking), back, booking.workshop.currency)
    return Settlement(paid=paid_for(booking), kept=kept)


@dataclass(frozen=True)
class Rule:
    """The row of the terms that a cancellation falls under, both None where none does."""

    days_left: int
    days_before: int | None
    refunded_share: float | None


def rule(workshop: Workshop, now: datetime) -> Rule:
    """Return the row that a cancellation now falls under."""
    left = refunds.whole_days_left(workshop.start_at, now, workshop.timezone_name)
    days_before, share = row_that_applies(workshop, now) or (None, None)
    return Rule(left, days_before, share)


@dataclass(frozen=True)
class Heads:
    """A number of people, why it is told, and what a day with so many comes to."""

    count: int
    reasons: tuple[str, ...]  # "today", "minimum", "break-even", "full"
    costs: Decimal
    result: Decimal


@dataclass(frozen=True)
class DayResult:
    """What a day costs and brings: from how many people it pays, and as it stands."""

    even: BreakEven
    heads: int  # live bookings
    takings: Decimal  # their agreed prices without the tax
    result: Decimal
    rows: list[Heads]


def day_result(
    workshop: Workshop, rows: Iterable[Line], costs: Iterable[DayCost], house: House
) -> DayResult:
    """Return the break-even of a workshop and its result as it is booked."""
    prices = [line.price for line in rows if line.booking.state in LIVE]
    return _result(workshop, prices, costs, house)


def day_results(workshops: Iterable[Workshop], house: House) -> dict[int, DayResult]:
    """Return the results of workshops by their numbers, in as many queries as for one."""
    found = Workshop.objects.filter(pk__in=[one.pk for one in workshops])
    live = Booking.objects.live().select_related("workshop")
    found = found.prefetch_related(Prefetch("bookings", live), "costs", "seats")
    return {
        one.pk: _result(
            one, [price_of(held) for held in one.bookings.all()], one.costs.all(), house
        )
        for one in found
    }


def _result(
    workshop: Workshop, prices: list[Decimal], costs: Iterable[DayCost], house: House
) -> DayResult:
    """Return what a day costs and brings at the agreed ``prices``."""
    costs, currency = list(costs), workshop.currency

    def net(gross: Decimal) -> Decimal:
        return gross - money.tax_in(gross, house.tax_percent, currency)

    even = BreakEven(
        net=net(money.rounded(workshop.price, currency)),
        fixed=money.total(cost.amount for cost in costs if not cost.each),
        each=money.total(cost.amount for cost in costs if cost.each),
    )
    takings = money.total(net(price) for price in prices)
    counts = {
        "minimum": workshop.minimum_to_run,
        "break-even": even.heads,
        "full": workshop.seats.count(),
    }
    told = [
        Heads(
            count,
            tuple(name for name, one in counts.items() if one == count),
            even.costs(count),
            even.result(count),
        )
        for count in sorted({one for one in counts.values() if one is not None})
    ]
    result = takings - even.costs(len(prices))
    return DayResult(even, len(prices), takings, result, told)
