"""How dates, clocks, money and figures are written for people, in the language that is active."""

import math
from datetime import datetime
from decimal import Decimal

from django.utils import formats
from django.utils.translation import gettext as _

from workshops.models.base import in_zone
from workshops.money import as_percent, places
from workshops.units import (
    CELSIUS_A_FAHRENHEIT,
    FREEZING_F,
    KILOGRAMS_A_POUND,
    METRES_A_FOOT,
    METRES_A_SECOND_A_MILE_AN_HOUR,
)

NOT_KNOWN = "\N{EM DASH}"
NO_BREAK = "\N{NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"


def counted(count: int, one: str, many: str) -> str:
    """Return "1 person" or "3 people" for a line of the log or the terminal, which is English."""
    return f"{count} {one if count == 1 else many}"


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


def exact_money(amount: Decimal | None, currency: str) -> str:
    """Return an amount as accounts show it, all its decimals and a true minus: "−120.00 EUR"."""
    if amount is None:
        return NOT_KNOWN
    text = formats.number_format(abs(amount), places(currency))
    return f"{MINUS if amount < 0 else ''}{text}{NO_BREAK}{currency}"


def decimals_refused(currency: str) -> str:
    """Return why an amount is not taken that its currency cannot pay."""
    if places(currency):
        return _("%(currency)s is paid with 2 decimals at the most; round it.") % {
            "currency": currency
        }
    return _("%(currency)s is paid without decimals; round it.") % {"currency": currency}


def percent_text(part: float | None) -> str:
    """Return a share as percent, as it was typed: 0.5 is "50 %" in the page's language."""
    if part is None:
        return NOT_KNOWN
    return _("%(n)s%%") % {"n": number_text(as_percent(part), 4)}


def number_text(value: float | None, places: int = 2, *, sign: bool = False) -> str:
    """Return a number to so many places, no zeros at its end, with a true minus: "−0.25"."""
    if value is None or not math.isfinite(value):
        return NOT_KNOWN
    text = f"{abs(value):.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    lead = "" if text == "0" else MINUS if value < 0 else "+" if sign else ""
    return lead + text.replace(".", formats.get_format("DECIMAL_SEPARATOR"))


def length_text(value_m: float | None, *, imperial: bool) -> str:
    """Return the size of a thing: "0.42 m", "2.8 m", or "1 ft 5 in"."""
    if value_m is None or not math.isfinite(value_m):
        return NOT_KNOWN
    if not imperial:
        return f"{number_text(value_m, 2 if abs(value_m) < 2 else 1)}{NO_BREAK}m"
    whole = round(abs(value_m) / METRES_A_FOOT * 12)
    feet, inches = divmod(whole, 12)
    parts = [f"{feet}{NO_BREAK}ft"] if feet else []
    parts += [f"{inches}{NO_BREAK}in"] if inches or not feet else []
    return (MINUS if value_m < 0 and whole else "") + NO_BREAK.join(parts)


def mass_text(value_kg: float | None, *, imperial: bool) -> str:
    """Return the mass of a thing: "0.35 kg", "2.9 kg", or "6.4 lb"."""
    if value_kg is None or not math.isfinite(value_kg):
        return NOT_KNOWN
    value, unit = (value_kg / KILOGRAMS_A_POUND, "lb") if imperial else (value_kg, "kg")
    return f"{number_text(value, 2 if value < 1 else 1)}{NO_BREAK}{unit}"


def speed_text(value_m_s: float | None, *, imperial: bool) -> str:
    """Return a wind speed as forecast: "8.2 m/s" or "18 mph"."""
    if value_m_s is None or not math.isfinite(value_m_s):
        return NOT_KNOWN
    if imperial:
        return f"{number_text(value_m_s / METRES_A_SECOND_A_MILE_AN_HOUR, 0)}{NO_BREAK}mph"
    return f"{number_text(value_m_s, 1)}{NO_BREAK}m/s"


def temperature_text(value_c: float | None, *, imperial: bool) -> str:
    """Return an air temperature: "13 °C" or "55 °F"."""
    if value_c is None or not math.isfinite(value_c):
        return NOT_KNOWN
    value = value_c / CELSIUS_A_FAHRENHEIT + FREEZING_F if imperial else value_c
    return f"{number_text(value, 0)}{NO_BREAK}{'°F' if imperial else '°C'}"
