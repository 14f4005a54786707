"""Sentences of the plan: marked for translation, their figures kept apart until a page says them.

A page asks ``figures`` for the house's units and the reader's language; everywhere else
``str()`` gives plain metric English.
"""

import math
from dataclasses import dataclass
from datetime import datetime

Value = object  # a number, a text, an instant, or Words within Words

UNITS = {  # kind of figure: decimals and unit in plain metric English
    "m": (1, " m"),
    "m_s": (1, " m/s"),
    "n": (0, " N"),
    "kg": (0, " kg"),
    "need_kg": (0, " kg"),  # never rounded down
    "limit_m_s": (1, " m/s"),  # never rounded up
    "c": (0, " C"),
    "deg": (0, " degrees"),
    "wh": (0, " Wh"),
    "ws": (0, " W.s"),
    "min": (0, " min"),
    "tenth_min": (1, " min"),
    "need_min": (0, " min"),  # never rounded down
    "s": (0, " s"),
    "stops": (1, " stops"),
    "percent": (0, " %"),
    "tenths": (1, ""),
    "whole": (0, ""),
}


def gettext_noop(message: str) -> str:
    """Mark a sentence for the translators; it is translated when a page says it."""
    return message


_ = gettext_noop

# The contract's own words, so that the translators see them: pages say them by ``term``.
TERMS = (
    *(_("key"), _("fill"), _("rim"), _("background")),
    *(_("bag"), _("hold"), _("modifier off"), _("strike"), _("no forecast")),
    *(_("fits"), _("too weak"), _("may be too weak"), _("too strong")),
    _("nothing to do: the light there is enough"),
    *(_("same"), _("opposite"), _("behind subject"), _("none"), _("changes")),
    *(_("ahead"), _("side"), _("behind"), _("down")),
    *(_("clear"), _("partly"), _("overcast"), _("sun out"), _("cloud over")),
    *(_("metered"), _("own"), _("estimate"), _("incident"), _("spot"), _("sky"), _("backdrop")),
    *(_("sync first"), _("aperture first"), _("simple"), _("advanced")),
    *(_("as planned"), _("nd"), _("hss"), _("shade")),
    *(_("skin"), _("white cloth"), _("black cloth"), _("wardrobe"), _("lit"), _("shaded")),
    *(_("blown"), _("holds"), _("blocked"), _("stop"), _("act"), _("note")),
    *(_("stops"), _("min"), _("caution"), _("extreme caution"), _("danger"), _("extreme danger")),
    *(_("low"), _("moderate"), _("high"), _("very high"), _("extreme"), _("off")),
    *(_("go"), _("look again"), _("no-go")),
)


@dataclass(frozen=True)
class Words:
    """A sentence with places for its figures, each (name, value, kind)."""

    message: str = ""
    figures: tuple[tuple[str, Value, str], ...] = ()

    def __str__(self) -> str:
        return self.message.format(
            **{name: plain(value, kind) for name, value, kind in self.figures}
        )

    def __bool__(self) -> bool:
        return bool(self.message)


NOTHING = Words()


def say(message: str, **figures: tuple[Value, str]) -> Words:
    """Return the sentence with its figures: ``say(_("gust {gust}"), gust=(9.1, "m_s"))``."""
    return Words(message, tuple((name, value, kind) for name, (value, kind) in figures.items()))


def own_measurement(count: int, within_stops: tuple[float, str]) -> Words:
    """Return "own measurement, 5 readings, ±0.2 stop"."""
    if count == 1:
        return say(_("own measurement, 1 reading, ±{within} stop"), within=within_stops)
    return say(
        _("own measurement, {count} readings, ±{within} stop"),
        count=(count, "whole"),
        within=within_stops,
    )


def own_span(count: int, low: tuple[float, str], high: tuple[float, str]) -> Words:
    """Return "own measurement, 8 sets, 7.4 to 8.6"."""
    if count == 1:
        return say(_("own measurement, 1 set, {low} to {high}"), low=low, high=high)
    return say(
        _("own measurement, {count} sets, {low} to {high}"),
        count=(count, "whole"),
        low=low,
        high=high,
    )


def plain(value: Value, kind: str) -> str:
    """Return one figure in plain metric English; kinds "text", "words", "clock" and marks as is."""
    if isinstance(value, datetime):
        return f"{value:%H:%M}"
    if kind in UNITS and not isinstance(value, str):
        places, unit = UNITS[kind]
        if kind in ("need_kg", "need_min"):
            value = math.ceil(value)
        if kind == "limit_m_s":
            value = math.floor(value * 10.0) / 10.0
        return f"{value:.{places}f}{unit}"
    return str(value)
