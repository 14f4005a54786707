"""Dates, clocks, money, figures on pages: ``{% day workshop.start_at workshop.timezone_name %}``.

The clock and the units are the house's, the zone that of the place.
"""

from datetime import date, datetime
from decimal import Decimal

from django import template
from django.utils import formats
from django.utils.translation import ngettext

from workshops import words

register = template.Library()


def _hours(context) -> int:
    house = context.get("house")
    return int(house.clock) if house else 24


@register.simple_tag(takes_context=True)
def clock(context, at: datetime | None, timezone_name: str) -> str:
    return words.clock_text(at, timezone_name, _hours(context))


@register.simple_tag
def day(at: datetime | None, timezone_name: str) -> str:
    return words.date_text(at, timezone_name)


@register.simple_tag(takes_context=True)
def when(context, at: datetime | None, timezone_name: str) -> str:
    """Return date and clock at a place."""
    return f"{day(at, timezone_name)}, {clock(context, at, timezone_name)}"


@register.simple_tag(takes_context=True)
def span(context, start_at: datetime, end_at: datetime, timezone_name: str) -> str:
    """Return "8 May 2027, 09:00 to 18:00"; both dates where they differ."""
    first, last = (day(at, timezone_name) for at in (start_at, end_at))
    begins, ends = (clock(context, at, timezone_name) for at in (start_at, end_at))
    if first == last:
        return f"{first}, {begins}\N{EN DASH}{ends}"
    return f"{first}, {begins} \N{EN DASH} {last}, {ends}"


@register.filter
def dated(value: date | None) -> str:
    return formats.date_format(value, "DATE_FORMAT") if value else words.NOT_KNOWN


@register.filter
def money(amount: Decimal | None, currency: str) -> str:
    return words.money_text(amount, currency)


@register.filter
def exact_money(amount: Decimal | None, currency: str) -> str:
    return words.exact_money(amount, currency)


@register.filter
def percent(part: float | None) -> str:
    return words.percent_text(part)


@register.filter
def number(value: float | None, places: int = 2) -> str:
    return words.number_text(value, places)


@register.filter
def signed(value: float | None, places: int = 2) -> str:
    return words.number_text(value, places, sign=True)


@register.filter
def in_stops(value: float | None, sign: str = "") -> str:
    """Return "1 stop", "0.33 stops", or with sign "+" "+1.5 stops"."""
    text = words.number_text(value, sign=bool(sign))
    one = value is not None and abs(value) == 1
    return ngettext("%(n)s stop", "%(n)s stops", 1 if one else 2) % {"n": text}


def _imperial(context) -> bool:
    house = context.get("house")
    return bool(house) and house.units == house.Units.IMPERIAL


# Tags, not filters: they ask the house for its units, and a filter ``length`` is Django's own.
@register.simple_tag(takes_context=True)
def length(context, value_m: float | None) -> str:
    return words.length_text(value_m, imperial=_imperial(context))


@register.simple_tag(takes_context=True)
def mass(context, value_kg: float | None) -> str:
    return words.mass_text(value_kg, imperial=_imperial(context))


@register.simple_tag(takes_context=True)
def speed(context, value_m_s: float | None) -> str:
    return words.speed_text(value_m_s, imperial=_imperial(context))


@register.simple_tag(takes_context=True)
def temperature(context, value_c: float | None) -> str:
    return words.temperature_text(value_c, imperial=_imperial(context))
