"""How dates, clocks and money are written for people, in the language that is active."""

from datetime import datetime
from decimal import Decimal

from django.utils import formats
from django.utils.translation import gettext as _

from workshops.models.base import in_zone

NOT_KNOWN = "\N{EM DASH}"
NO_BREAK = "\N{NO-BREAK SPACE}"


def clock_text(at: datetime | None, timezone_name: str, hours: int) -> str:
    """Return the wall clock at a place, never later than the instant: "14:10" or "2:10 pm"."""
    if at is None:
        return NOT_KNOWN
    local = in_zone(at, timezone_name)
    if hours == 24:
        return f"{local:%H:%M}"
    half = _("am") if local.hour < 12 else _("pm")
    return f"{(local.hour - 1) % 12 + 1}:{local.minute:02d}{NO_BREAK}{half}"


def date_text(at: datetime | None, timezone_name: str) -> str:
    """Return the date at a place in the language's own order."""
    if at is None:
        return NOT_KNOWN
    return formats.date_format(in_zone(at, timezone_name), "DATE_FORMAT")


def money_text(amount: Decimal | None, currency: str) -> str:
    """Return an amount with its currency, without decimals where there are none: "120 EUR"."""
    if amount is None:
        return NOT_KNOWN
    text = formats.number_format(amount, 0 if amount == amount.to_integral_value() else 2)
    return f"{text}{NO_BREAK}{currency}"
