"""Units people type and read, and the metric ones that records are kept in. Pure.

A record's field names its unit at its end: ``distance_m``, ``mass_kg``. A house that thinks in feet
and pounds types those; "2 m" or "5 kg" with its unit is understood everywhere.
"""

import re
from dataclasses import dataclass

METRES_A_FOOT = 0.3048  # exact: international foot, NIST SP 811 (2008), appendix B
KILOGRAMS_A_POUND = 0.45359237  # exact, same place
NEWTONS_A_POUND_FORCE = 4.4482216  # same place
METRES_A_SECOND_A_MILE_AN_HOUR = 0.44704  # exact, same place
METRES_A_SECOND_A_KILOMETRE_AN_HOUR = 1 / 3.6
METRES_A_SECOND_A_KNOT = 1852 / 3600  # exact: nautical mile, same place
CELSIUS_A_FAHRENHEIT, FREEZING_F = 5 / 9, 32.0  # exact, same place
LONGEST = 40  # characters of a typed figure; more is no figure

MAJOR_MINOR = re.compile(
    r"^(\d+)\s*(?:'|′|’|ft|feet|foot)\s*(\d+(?:\.\d+)?)\s*(?:\"|″|”|''|in|inch(?:es)?)?$"
)
WITH_UNIT = re.compile(r"^([+-]?\d+(?:\.\d*)?|[+-]?\.\d+)\s*(.*)$")


@dataclass(frozen=True)
class Unit:
    """One quantity: its metric unit, its imperial one, and what else may be typed."""

    metric: str
    imperial: str
    scale: float  # metric units in one imperial unit
    words: dict[str, float]  # unit as typed -> metric units in one of it
    zero: float = 0.0  # the imperial figure at the metric zero


LENGTH = Unit(
    "m",
    "ft",
    METRES_A_FOOT,
    {
        **dict.fromkeys(("m", "metre", "metres", "meter", "meters", "metros"), 1.0),
        **dict.fromkeys(("cm",), 0.01),
        **dict.fromkeys(("mm",), 0.001),
        **dict.fromkeys(("km",), 1000.0),
        **dict.fromkeys(("ft", "feet", "foot", "'", "′", "’"), METRES_A_FOOT),
        **dict.fromkeys(("in", "inch", "inches", '"', "″", "”", "''"), METRES_A_FOOT / 12),
        **dict.fromkeys(("yd", "yards"), 3 * METRES_A_FOOT),
    },
)
MASS = Unit(
    "kg",
    "lb",
    KILOGRAMS_A_POUND,
    {"kg": 1.0, "g": 0.001, "lb": KILOGRAMS_A_POUND, "lbs": KILOGRAMS_A_POUND},
)
SPEED = Unit(
    "m/s",
    "mph",
    METRES_A_SECOND_A_MILE_AN_HOUR,
    {
        "m/s": 1.0,
        "mph": METRES_A_SECOND_A_MILE_AN_HOUR,
        "km/h": METRES_A_SECOND_A_KILOMETRE_AN_HOUR,
        "kmh": METRES_A_SECOND_A_KILOMETRE_AN_HOUR,
        "kt": METRES_A_SECOND_A_KNOT,
        "kn": METRES_A_SECOND_A_KNOT,
        "knots": METRES_A_SECOND_A_KNOT,
    },
)
FORCE = Unit("N", "lbf", NEWTONS_A_POUND_FORCE, {"n": 1.0, "lbf": NEWTONS_A_POUND_FORCE})
TEMPERATURE = Unit("°C", "°F", CELSIUS_A_FAHRENHEIT, {}, zero=FREEZING_F)
ENDINGS = {"_m": LENGTH, "_kg": MASS, "_m_s": SPEED, "_n": FORCE, "_c": TEMPERATURE}
# Guide numbers are quoted in metres at ISO 100 wherever the project speaks of them.
ALWAYS_METRIC = ("guide_number_m",)


def unit_of(field: str) -> Unit | None:
    """Return the unit a field's name ends in, None for a pure number or one kept metric."""
    if field in ALWAYS_METRIC:
        return None
    return next((unit for ending, unit in ENDINGS.items() if field.endswith(ending)), None)


def shown(value: float, unit: Unit | None, *, imperial: bool) -> str:
    """Return a stored figure as it stands in a form: metric exactly, imperial to a thousandth."""
    if unit is None or not imperial:
        return f"{value:.10g}"
    return f"{round(value / unit.scale + unit.zero, 3):.10g}"


def read(text: str, unit: Unit | None, *, imperial: bool) -> float:
    """Return the metric figure a text stands for; a bare number is in the house's unit.

    Raises ValueError when it is no figure, or carries a unit of another quantity.
    """
    plain = " ".join(text.replace("\N{MINUS SIGN}", "-").replace(",", ".").split())
    if len(plain) > LONGEST or not plain:
        raise ValueError(text)
    if unit is LENGTH and (pair := MAJOR_MINOR.match(plain)):
        return (float(pair[1]) + float(pair[2]) / 12) * METRES_A_FOOT
    match = WITH_UNIT.match(plain)
    if not match:
        raise ValueError(text)
    number, word = float(match[1]), match[2].strip().lower()
    if unit is None:
        if word:
            raise ValueError(text)
        return number
    if unit is TEMPERATURE and word:
        word = word.replace("°", "").replace("º", "").strip()
        if word not in ("c", "f"):
            raise ValueError(text)
        return number if word == "c" else (number - unit.zero) * unit.scale
    if word:
        if word not in unit.words:
            raise ValueError(text)
        return number * unit.words[word]
    return (number - unit.zero) * unit.scale if imperial else number


def relabelled(text: str, unit: Unit | None, *, imperial: bool) -> str:
    """Return a field's label with the unit a bare number is read in: "(m)" becomes "(ft)"."""
    if unit is None or not imperial:
        return text
    return text.replace(f"({unit.metric})", f"({unit.imperial})")
