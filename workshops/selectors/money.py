"""Questions about money: what bookings cost, what was paid, what is due."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from django.db.models import F, QuerySet, Sum
from django.db.models.functions import Coalesce

from workshops import money, refunds
from workshops.models import LIVE, AuditEntry, Booking, Terms, Workshop
from workshops.models.base import Record
from workshops.money import Account

REMINDED = (Workshop.Status.OPEN, Workshop.Status.CONFIRMED, Workshop.Status.RUN)
LONGEST = timedelta(days=367)  # the most days before the start a balance can be due, and a day


def price_of(booking: Booking) -> Decimal:
    """Return what was agreed with somebody, or else the workshop's price."""
    agreed = booking.workshop.price if booking.price is None else booking.price
    return money.rounded(Decimal(agreed), booking.workshop.currency)


def paid_for(booking: Booking) -> Decimal:
    """Return the sum of a booking's entries, refunds and corrections with their sign."""
    return money.total(entry.amount for entry in booking.payments.all())


def billed_for(booking: Booking) -> Decimal:
    """Return what a booking's invoices come to, credit notes with their sign."""
    return money.total(invoice.amount for invoice in booking.invoices.all())


def share_back(booking: Booking, at: datetime, *, by_house: bool) -> float:
    """Return the share of the price not kept if a booking is called off at ``at``."""
    if by_house:
        return refunds.BY_THE_HOUSE
    row = row_that_applies(booking.workshop, at)
    return row[1] if row else 0.0


def row_that_applies(workshop: Workshop, at: datetime) -> tuple[int, float] | None:
    """Return the row of the terms, (days before, share), that a cancellation now falls under."""
    left = refunds.whole_days_left(workshop.start_at, at, workshop.timezone_name)
    return refunds.refund_row(rows_of(workshop.terms), left)


def rows_of(terms: Terms | None) -> list[tuple[int, float]]:
    """Return the rows of booking terms as (days before, share), the earliest day first."""
    return [(row.days_before, row.refunded_share) for row in terms.rows.all()] if terms else []


def cost_of(booking: Booking) -> Decimal:
    """Return what a booking costs as it stands: on the waitlist nothing, cancelled what is kept."""
    if booking.state == Booking.State.WAITLISTED:
        return money.NOTHING
    if booking.state in LIVE:
        return price_of(booking)
    if booking.cancelled_by == Booking.CalledOffBy.HOUSE:
        return money.NOTHING
    back = booking.refund_share
    if back is None:  # called off before shares were kept: by the terms as they are
        back = share_back(booking, booking.cancelled_at, by_house=False)
    return money.kept(price_of(booking), back, booking.workshop.currency)


def account(booking: Booking, now: datetime) -> Account:
    """Return what a booking comes to now; it comes from ``with_money``."""
    workshop, terms = booking.workshop, booking.workshop.terms
    zone = workshop.timezone_name
    live = booking.state in LIVE
    if booking.cancelled_at:
        due_on = money.local_date(booking.cancelled_at, zone)
    else:
        due_on = money.due_on(workshop.start_at, zone, terms.balance_days if terms else 0)
    asked = terms.deposit_share if terms and live else 0
    return Account(
        currency=workshop.currency,
        cost=cost_of(booking),
        paid=paid_for(booking),
        deposit=money.deposit(price_of(booking), asked, workshop.currency),
        booked_on=money.local_date(booking.booked_at, zone),
        due_on=due_on,
        today=money.local_date(now, zone),
    )


def with_money(rows: QuerySet[Booking]) -> QuerySet[Booking]:
    """Return the bookings with what their accounts are worked out from."""
    return rows.select_related("workshop__terms", "person").prefetch_related(
        "payments", "workshop__terms__rows"
    )


def balances_due(now: datetime) -> list[Booking]:
    """Return the live bookings whose balance is due today or overdue, the first due first.

    What each owes, and since when, says ``account(booking, now)``.
    """
    paid = Coalesce(Sum("payments__amount"), Decimal(0))
    price = Coalesce("price", F("workshop__price"))
    rows = Booking.objects.live().filter(
        workshop__status__in=REMINDED, workshop__start_at__lt=now + LONGEST
    )
    # SQLite adds decimals as floats: so near to the price is looked at exactly below.
    rows = rows.annotate(agreed=price, sum_paid=paid).filter(sum_paid__lt=F("agreed"))
    found = [(account(booking, now), booking) for booking in with_money(rows)]
    due = [(one, booking) for one, booking in found if one.standing == money.Standing.BALANCE]
    return [booking for one, booking in sorted(due, key=lambda pair: pair[0].due_since)]


@dataclass(frozen=True)
class Entered:
    """A record of money, with who entered it and when."""

    record: Record
    entry: AuditEntry | None


def entered_by(records: list[Record]) -> list[Entered]:
    """Return records of one kind, each with the audit entry of its making, in one question."""
    if not records:
        return []
    rows = AuditEntry.objects.filter(
        record_type=records[0]._meta.label_lower,
        record_id__in=[str(one.pk) for one in records],
        action=AuditEntry.Action.CREATED,
    )
    made = {entry.record_id: entry for entry in rows}
    return [Entered(one, made.get(str(one.pk))) for one in records]
