"""Every figure on a page as a filter: ``{{ light.distance_m|distance:say }}``.

``say`` is the house's ``Figures``. Marks of cameras and heads come from physics.
"""

import math
import re
from collections.abc import Iterable
from datetime import datetime

from django import template
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.drawings import labels
from planning.figures import NO_BREAK, NOT_KNOWN, Figures
from planning.physics import exposure, flash
from planning.physics.errors import OutOfRange
from planning.plan.result import Remedy
from planning.plan.words import Words

register = template.Library()

ON_A_STEP_STOPS = 1e-6
# Where a line may break; a figure and its unit are held together by other spaces.
BREAKS = re.compile(r"[^\S\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}]+")
LETTERS = {"metered": "m", "own": "o", "measured": "o", "estimate": "e"}


def _mark(make, value) -> str:
    if value is None:
        return NOT_KNOWN
    try:
        return make(value)
    except OutOfRange:
        return NOT_KNOWN


@register.filter
def f_number(value: float | None) -> str:
    return _mark(exposure.f_mark, value)


@register.filter
def shutter(value_s: float | None) -> str:
    return _mark(exposure.shutter_mark, value_s)


@register.filter
def iso(value: float | None) -> str:
    return _mark(exposure.iso_mark, value)


@register.filter
def power(value: float | None, head: object = None) -> str:
    """Return a power as its ``head`` shows it, else in thirds; what stands on a tenth, so."""
    step, scale = (head.power_step_stops, head.power_scale) if head else (1 / 3, "fraction")
    if not _stands_on(value, step) and _stands_on(value, 1 / 10):
        step = 1 / 10
    return _mark(lambda share: flash.power_mark(share, step, scale), value)


def _stands_on(power: float | None, step_stops: float) -> bool:
    return bool(power) and (
        abs(math.remainder(math.log2(abs(power)), step_stops)) < ON_A_STEP_STOPS
    )


@register.filter
def letter(source: str) -> str:
    """Return m, o or e: metered, own measurement, estimate. What is not known is an estimate."""
    return LETTERS.get(source, "e")


@register.filter
def stops(value: float | None, say: Figures) -> str:
    """Return signed tenths of a stop: "+0.6", "−1.0", "0.0"."""
    return say.number(value, 1, sign=True)


@register.filter
def tenths(value: float | None, say: Figures) -> str:
    """Return unsigned tenths: an amount of stops, of minutes, of anything counted so."""
    return say.number(value, 1)


@register.filter
def ratio(value: float | None, say: Figures) -> str:
    """Return lit to shadow as "4:1", "2.9:1", "16:1"; no light in the shadow is a dash."""
    if value is None:
        return NOT_KNOWN
    places = 0 if value >= 9.95 or abs(value - round(value)) < 0.05 else 1
    return f"{say.number(value, places)}:1"


@register.filter
def share(value: float | None, say: Figures) -> str:
    return NOT_KNOWN if value is None else f"{say.number(value * 100)}{NO_BREAK}%"


@register.filter
def whole(value: float | None, say: Figures) -> str:
    return say.number(value)


@register.filter
def whole_signed(value: float | None, say: Figures) -> str:
    """Return a difference in whole ones: "+12", "−3", "0"."""
    return say.number(value, sign=True)


@register.filter
def kelvin(value: float | None, say: Figures) -> str:
    """Return a white balance to the nearest 100 K, as cameras set it: "5500"."""
    return NOT_KNOWN if value is None else say.number(round(value / 100) * 100)


@register.filter
def distance(value_m: float | None, say: Figures) -> str:
    return say.length(value_m)


@register.filter
def mass(value_kg: float | None, say: Figures) -> str:
    return say.mass(value_kg)


@register.filter
def need_mass(value_kg: float | None, say: Figures) -> str:
    """Return ballast that must hang or lie: never rounded down."""
    return say.need_mass(value_kg)


@register.filter
def need_length(value_m: float | None, say: Figures) -> str:
    """Return ground that must stay clear: never rounded down."""
    return say.need_length(value_m)


@register.filter
def limit_speed(value_m_s: float | None, say: Figures) -> str:
    """Return the wind something comes down at: never rounded up."""
    return say.limit_speed(value_m_s)


@register.filter
def force(value_n: float | None, say: Figures) -> str:
    return say.force(value_n)


@register.filter
def speed(value_m_s: float | None, say: Figures) -> str:
    return say.speed(value_m_s)


@register.filter
def temperature(value_c: float | None, say: Figures) -> str:
    return say.temperature(value_c)


@register.filter
def clock(at: datetime | None, say: Figures) -> str:
    return say.clock(at)


@register.filter
def day(at: datetime | None, say: Figures) -> str:
    return say.date(at)


@register.filter
def bearing(value_deg: float | None, say: Figures) -> str:
    return say.bearing(value_deg)


@register.filter
def degrees(value_deg: float | None, say: Figures) -> str:
    return say.degrees(value_deg)


@register.filter
def minutes(value_min: float | None, say: Figures) -> str:
    return NOT_KNOWN if value_min is None else say.number(value_min) + NO_BREAK + _("min")


@register.filter
def signed_minutes(value_min: float | None, say: Figures) -> str:
    """Return minutes over a plan, or under it: "+8 min", "−3 min", "0 min"."""
    if value_min is None:
        return NOT_KNOWN
    return say.number(value_min, sign=True) + NO_BREAK + _("min")


@register.filter
def some_minutes(value_min: float | None, say: Figures) -> str:
    """Return minutes that there are, for a column of them: "164", "under 1"."""
    return say.whole_minutes(value_min)


@register.filter
def whole_minutes(value_min: float | None, say: Figures) -> str:
    """Return minutes something may last at the most: never rounded up."""
    return minutes(None if value_min is None else math.floor(value_min), say)


@register.filter
def span(value_min: float | None, say: Figures) -> str:
    """Return a planned length of time as it was entered, half minutes with it: "1.5 min"."""
    if value_min is None:
        return NOT_KNOWN
    places = 0 if abs(value_min - round(value_min)) < 0.05 else 1
    return say.number(value_min, places) + NO_BREAK + _("min")


@register.filter
def aside(value_deg: float | None) -> str:
    """Return an angle off an axis in words: "45° left", "27° right", "straight on"."""
    if value_deg is None:
        return NOT_KNOWN
    size = round(abs(value_deg))
    if size == 0:
        return _("straight on")
    return _("%d° right") % size if value_deg > 0 else _("%d° left") % size


@register.filter
def words(value: Words | str, say: Figures) -> str:
    return say.words(value)


@register.filter
def term(value: str) -> str:
    """Return one of the plan's own words in the reader's language; another text as it is."""
    return Figures().term(str(value))


@register.filter
def remedy(value: Remedy, say: Figures) -> str:
    """Return a remedy with its number in the house's units."""
    what = say.words(value.what)
    return what if value.number is None else f"{what} {say.amount(value.number, value.unit)}"


@register.filter
def short(name: str, limit: int) -> str:
    """Return a name for a narrow place; a text somebody must read whole goes through ``cut``."""
    return labels.short(str(name), limit)


@register.filter
def joined(texts: Iterable[object], between: str) -> str:
    """Return texts as one, not escaped: what ``join`` returns, ``cut`` would have escaped twice."""
    return between.join(map(str, texts))


@register.filter
def cut(text: str, limit: int) -> str:
    """Return the text on one line, cut with a visible count of what is missing."""
    return _cut(BREAKS.sub(" ", str(text)).strip(), limit)


@register.filter
def cut_lines(text: str, limit: int) -> str:
    """Return the text in its own lines, empty ones left out, cut as ``cut`` does."""
    lines = (BREAKS.sub(" ", line).strip() for line in str(text).splitlines())
    return _cut("\n".join(line for line in lines if line), limit)


def fewer(lines: Iterable[str], most: int) -> tuple[str, ...]:
    """Return as many lines as a paper holds, the last one saying how many it does not."""
    kept = tuple(lines)
    rest = len(kept) - most
    if rest <= 1:  # one line more takes as much room as the remark
        return kept
    missing = ngettext(
        "…(%(count)d line more, see the record)", "…(%(count)d lines more, see the record)", rest
    )
    return (*kept[:most], missing % {"count": rest})


def _cut(text: str, limit: int) -> str:
    rest = len(text) - limit
    missing = ngettext(
        "…(%(count)d character more, see the record)",
        "…(%(count)d characters more, see the record)",
        rest,
    ) % {"count": rest}
    # A text a few characters over is shorter whole than with the remark.
    if rest <= max(12, min(len(missing), limit // 4)):
        return text
    return text[:limit].rstrip() + missing
