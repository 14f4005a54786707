"""How a house writes its figures: its units, its clock, the reader's language.

Rounding for people happens here and in the filters of ``templatetags.figures``, once.
"""

import math
from dataclasses import dataclass
from datetime import datetime

from django.utils import formats
from django.utils.translation import gettext

from planning.plan.words import TERMS, UNITS, Words
from workshops.units import (
    KILOGRAMS_A_POUND,
    METRES_A_FOOT,
    METRES_A_SECOND_A_MILE_AN_HOUR,
    NEWTONS_A_POUND_FORCE,
)
from workshops.words import NO_BREAK, NOT_KNOWN, clock_text, date_text

MINUS = "\N{MINUS SIGN}"
SIDES = ("lit", "shaded")
FLOAT_SLACK = 1e-6  # of the shown unit: 12.000000001 kg is 12 kg


@dataclass(frozen=True)
class Figures:
    """How one house writes its figures; ``None`` is written as a dash everywhere."""

    units: str = "metric"  # metric, imperial
    clock_hours: int = 24  # 24, 12
    timezone: str = "UTC"  # of the place the sheet is for

    def number(self, value: float | None, places: int = 0, *, sign: bool = False) -> str:
        """Return the number with a true minus and the language's decimal mark."""
        if value is None or not math.isfinite(value):
            return NOT_KNOWN
        text = f"{abs(value):.{places}f}"
        zero = float(text) == 0
        lead = MINUS if value < 0 and not zero else "+" if sign and not zero else ""
        mark = formats.get_format("DECIMAL_SEPARATOR")
        return lead + text.replace(".", mark)

    def _with(self, value: float | None, places: int, unit: str) -> str:
        text = self.number(value, places)
        return text if text == NOT_KNOWN else f"{text}{NO_BREAK}{unit}"

    def length(self, value_m: float | None) -> str:
        """Return "2.0 m", "35 m", or "6 ft 7 in", "115 ft"."""
        if value_m is None or not math.isfinite(value_m):
            return NOT_KNOWN
        if self.units == "metric":
            return self._with(value_m, 1 if abs(value_m) < 9.95 else 0, "m")
        inches = round(abs(value_m) / METRES_A_FOOT * 12)
        lead = MINUS if value_m < 0 and inches else ""
        feet, rest = divmod(inches, 12)
        if feet >= 30 or not rest:
            return f"{lead}{round(inches / 12)}{NO_BREAK}ft"
        small = f"{rest}{NO_BREAK}in"
        return f"{lead}{feet}{NO_BREAK}ft{NO_BREAK}{small}" if feet else lead + small

    def need_length(self, value_m: float | None) -> str:
        """Return ground to keep clear in tenths of a metre or whole inches, never rounded down."""
        if value_m is None or not math.isfinite(value_m):
            return NOT_KNOWN
        unit_m = METRES_A_FOOT / 12
        if self.units == "metric":
            unit_m = 0.1 if value_m < 9.95 else 1.0
        elif value_m >= 30 * METRES_A_FOOT:
            unit_m = METRES_A_FOOT
        return self.length(math.ceil(value_m / unit_m - FLOAT_SLACK) * unit_m)

    def bar_lengths_m(self) -> tuple[float, ...]:
        """Return the lengths a scale bar may have, in metres, round in the house's unit."""
        unit_m = 1.0 if self.units == "metric" else METRES_A_FOOT
        return tuple(size * unit_m for size in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000))

    def bar_length(self, value_m: float) -> str:
        unit_m, unit = (1.0, "m") if self.units == "metric" else (METRES_A_FOOT, "ft")
        return self._with(value_m / unit_m, 0, unit)

    def mass(self, value_kg: float | None) -> str:
        """Return a mass to two figures or so: "12 kg", "3.1 kg", "0.05 kg"."""
        unit_kg, unit = (1.0, "kg") if self.units == "metric" else (KILOGRAMS_A_POUND, "lb")
        value = None if value_kg is None else value_kg / unit_kg
        places = 1
        if value and value >= 9.95:
            places = 0
        elif value and value < 0.095:
            places = 2
        return self._with(value, places, unit)

    def need_mass(self, value_kg: float | None) -> str:
        """Return ballast to hang or lay in whole kg or lb, never less than the need."""
        if value_kg is None or not math.isfinite(value_kg):
            return NOT_KNOWN
        unit_kg, unit = (1.0, "kg") if self.units == "metric" else (KILOGRAMS_A_POUND, "lb")
        return self._with(math.ceil(value_kg / unit_kg - FLOAT_SLACK), 0, unit)

    def force(self, value_n: float | None) -> str:
        if value_n is None or self.units == "metric":
            return self._with(value_n, 0, "N")
        return self._with(value_n / NEWTONS_A_POUND_FORCE, 0, "lbf")

    def speed(self, value_m_s: float | None) -> str:
        """Return "9 m/s", "9.6 m/s" or "21 mph"."""
        if value_m_s is None or self.units == "metric":
            whole = value_m_s is not None and abs(value_m_s - round(value_m_s)) < 0.05
            return self._with(value_m_s, 0 if whole else 1, "m/s")
        return self._with(value_m_s / METRES_A_SECOND_A_MILE_AN_HOUR, 0, "mph")

    def speed_change(self, value_m_s: float | None) -> str:
        """Return how far one speed lies from another, signed: "+2.4 m/s", "−3 mph"."""
        if value_m_s is None or not math.isfinite(value_m_s):
            return NOT_KNOWN
        if self.units == "metric":
            return f"{self.number(value_m_s, 1, sign=True)}{NO_BREAK}m/s"
        value_mph = value_m_s / METRES_A_SECOND_A_MILE_AN_HOUR
        return f"{self.number(value_mph, 0, sign=True)}{NO_BREAK}mph"

    def limit_speed(self, value_m_s: float | None) -> str:
        """Return a wind limit in tenths of m/s or whole mph, never above the limit."""
        if value_m_s is None or not math.isfinite(value_m_s):
            return NOT_KNOWN
        if self.units == "metric":
            tenths = math.floor(value_m_s * 10 + FLOAT_SLACK)
            return self._with(tenths / 10, 1 if tenths % 10 else 0, "m/s")
        mph = math.floor(value_m_s / METRES_A_SECOND_A_MILE_AN_HOUR + FLOAT_SLACK)
        return self._with(mph, 0, "mph")

    def temperature(self, value_c: float | None) -> str:
        if value_c is None or self.units == "metric":
            return self._with(value_c, 0, "°C")
        return self._with(value_c * 9 / 5 + 32, 0, "°F")

    def clock(self, at: datetime | None) -> str:
        """Return the wall clock at the place, never later than the instant: "14:10", "2:10 pm"."""
        return clock_text(at, self.timezone, self.clock_hours)

    def need_minutes(self, value_min: float | None) -> str:
        """Return minutes that are lacking in whole ones, never fewer than they are."""
        if value_min is None or not math.isfinite(value_min):
            return NOT_KNOWN
        return self._with(math.ceil(value_min - FLOAT_SLACK), 0, gettext("min"))

    def whole_minutes(self, value_min: float | None) -> str:
        """Return minutes there are without their unit; some that round to none are told so."""
        if value_min is not None and 0.0 < value_min <= 0.5:  # a half rounds to none too
            return gettext("under 1")
        return self.number(value_min)

    def date(self, at: datetime | None) -> str:
        return date_text(at, self.timezone)

    def bearing(self, value_deg: float | None) -> str:
        """Return three digits, as a compass shows it: "070"; 359.7 is "000"."""
        return NOT_KNOWN if value_deg is None else f"{round(value_deg) % 360:03d}"

    def degrees(self, value_deg: float | None) -> str:
        text = self.number(value_deg)
        return text if text == NOT_KNOWN else f"{text}°"

    def words(self, value: Words | str) -> str:
        """Return a sentence of the plan in the reader's language, its figures in our units."""
        if not isinstance(value, Words):
            return str(value)
        if not value:
            return ""
        shown = {name: self.amount(figure, kind) for name, figure, kind in value.figures}
        return gettext(value.message).format(**shown)

    def amount(self, value: object, kind: str) -> str:
        """Return one figure of a sentence: its kind is one of ``plan.words.UNITS``, or a text."""
        if isinstance(value, Words):
            return self.words(value)
        if isinstance(value, datetime):
            return self.clock(value)
        makers = {
            "m": self.length,
            "m_s": self.speed,
            "n": self.force,
            "kg": self.mass,
            "need_kg": self.need_mass,
            "need_min": self.need_minutes,
            "limit_m_s": self.limit_speed,
            "c": self.temperature,
            "deg": self.degrees,
        }
        if isinstance(value, str) or kind not in (*makers, *UNITS):
            return str(value)
        if kind in makers:
            return makers[kind](value)
        places, unit = UNITS[kind]
        if kind == "need_min":
            value = math.ceil(value - FLOAT_SLACK)
        return (
            self._with(value, places, gettext(unit.strip())) if unit else self.number(value, places)
        )

    def text(self, message: str) -> str:
        """Return the message in the reader's language; drawings ask for their words here."""
        return gettext(message)

    def term(self, value: str) -> str:
        """Return one of the plan's own words in the reader's language.

        A surface names its side last ("black coat lit"): what the house calls it stays.
        """
        surface, _space, side = value.rpartition(" ")
        if surface and side in SIDES:
            return f"{gettext(surface) if surface in TERMS else surface} {gettext(side)}"
        return gettext(value) if value in TERMS else value
