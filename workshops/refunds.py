"""What is not kept of the price when a booking is called off: pure, no clock, no database."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

BY_THE_HOUSE = 1.0  # whoever is called off by the house owes nothing


def whole_days_left(start_at: datetime, now: datetime, timezone_name: str) -> int:
    """Return the whole days from now to the start on the clock of the place; below 0 after it.

    Counted on the wall clock: the same time of day two weeks before is 14 days before, also
    across a change to summer time.
    """
    zone = ZoneInfo(timezone_name)
    start, read = (at.astimezone(zone).replace(tzinfo=None) for at in (start_at, now))
    return (start - read) // timedelta(days=1)


def refund_row(rows: Iterable[tuple[int, float]], days_left: int) -> tuple[int, float] | None:
    """Return the row of (days before, share) that applies: of the last day passed, or None.

    That is the row with the largest ``days_before`` not above ``days_left``.
    """
    return max((row for row in rows if row[0] <= days_left), default=None)


def refund_share(rows: Iterable[tuple[int, float]], days_left: int) -> float:
    """Return the share refunded by the row that applies; 0 where there is none."""
    row = refund_row(rows, days_left)
    return row[1] if row else 0.0
