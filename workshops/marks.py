"""The marks of cameras and meters as people type them, and the exact figures behind them.

A mark is a name: "1/125" stands for 1/128 s, "f/11" for 11.314. Everything typed is snapped
to the exact third-stop member, or to the half-stop member where only that series carries
the mark (1/180, f/6.7). Pure: no Django, no database.

Source: the third-stop and half-stop series of ISO 2720 and ISO 2721 as cameras show them;
the rounding of each mark is common practice, no source.
"""

import math
from fractions import Fraction

_SLOW = "30 25 20 15 13 10 8 6 5 4 3.2 2.5 2 1.6 1.3 1 0.8 0.6 0.5 0.4 0.3"
_FAST = (
    "4 5 6 8 10 13 15 20 25 30 40 50 60 80 100 125 160 200 250 320 400 500 640 800 1000 1250 "
    "1600 2000 2500 3200 4000 5000 6400 8000 10000 13000 16000 20000 25000 32000"
)
_HALF_FAST = "6 11 22 45 90 180 350 750 1500 3000 6000 12000"  # from 2.5 doublings up
_APERTURES = (
    "0.7 0.8 0.9 1 1.1 1.2 1.4 1.6 1.8 2 2.2 2.5 2.8 3.2 3.5 4 4.5 5 5.6 6.3 7.1 8 9 10 11 13 14 "
    "16 18 20 22 25 29 32 36 40 45 51 57 64 72 80 90"
)
_HALF_APERTURES = "1.2 1.7 2.4 3.3 4.8 6.7 9.5 13 19 27 38 54 76"  # from half a stop over f/1 up
_ISOS = (
    "25 32 40 50 64 80 100 125 160 200 250 320 400 500 640 800 1000 1250 1600 2000 2500 3200 "
    "4000 5000 6400 8000 10000 12800 16000 20000 25600 32000 40000 51200 64000 80000 102400"
)


def _shutter_table() -> dict[float, str]:
    """Exact time for each mark; the half-stop marks only where no third has the same name."""
    texts = [f"{mark} s" for mark in _SLOW.split()] + [f"1/{mark}" for mark in _FAST.split()]
    table = {2.0 ** (-k / 3): text for k, text in enumerate(texts, start=-15)}
    halves = {
        2.0 ** -(k + 2.5): f"1/{mark}"
        for k, mark in enumerate(_HALF_FAST.split())
        if f"1/{mark}" not in texts
    }
    return table | halves | {2.0**-0.5: "0.7 s", 2.0**0.5: "1.5 s"}


def _aperture_table() -> dict[float, str]:
    texts = [f"f/{mark}" for mark in _APERTURES.split()]
    table = {2.0 ** (k / 6): text for k, text in enumerate(texts, start=-3)}
    halves = {
        2.0 ** ((k + 0.5) / 2): f"f/{mark}"
        for k, mark in enumerate(_HALF_APERTURES.split())
        if f"f/{mark}" not in texts
    }
    return table | halves


SHUTTERS = _shutter_table()
APERTURES = _aperture_table()
ISOS = {100 * 2.0 ** (k / 3): mark for k, mark in enumerate(_ISOS.split(), start=-6)}


def number(text: str) -> float:
    """Return the number a text such as "1/160", "0.8" or "11" stands for.

    Raises ValueError for anything that is not a positive finite number.
    """
    try:
        value = float(Fraction(text.replace(" ", "").replace(",", ".")))
    except (ValueError, ZeroDivisionError, OverflowError):
        raise ValueError(f"{text!r} is not a number above 0") from None
    if not (math.isfinite(value) and value > 0):
        raise ValueError(f"{text!r} is not a number above 0")
    return value


def _snapped(value: float, table: dict[float, str], typed: str = "") -> float:
    """Return the member that bears the mark typed, else the one nearest in stops."""
    for exact, mark in table.items():
        if typed and mark == typed:
            return exact
    if not (math.isfinite(value) and value > 0):
        raise ValueError(f"{value!r} is not a number above 0")
    nearest = min(table, key=lambda exact: abs(math.log2(value / exact)))
    if abs(math.log2(value / nearest)) > 0.5:
        raise ValueError(f"{typed or value} lies outside the marks {_ends(table)}")
    return nearest


def _ends(table: dict[float, str]) -> str:
    return f"{table[min(table)]} to {table[max(table)]}"


def shutter_s(typed: str | float) -> float:
    """Return the exact time in seconds for a mark such as "1/160", "0.8 s" or a number.

    Raises ValueError when it is no time or lies outside 1/32000 to 30 s.
    """
    if not isinstance(typed, str):
        named = f"1/{round(1 / typed)}" if 0 < typed < 0.26 else f"{typed:g} s"
        return _snapped(float(typed), SHUTTERS, named)
    text = typed.strip().lower().replace('"', "").removesuffix("sec").removesuffix("s").strip()
    return shutter_s(number(text))


def f_number(typed: str | float) -> float:
    """Return the exact f-number for a mark such as "f/11", "11" or a number.

    Raises ValueError when it is no f-number or lies outside f/0.7 to f/90.
    """
    if not isinstance(typed, str):
        return _snapped(float(typed), APERTURES, f"f/{typed:g}")
    return f_number(number(typed.strip().lower().removeprefix("f").lstrip("/ ")))


def iso(typed: str | float) -> float:
    """Return the exact arithmetic speed for a mark such as "ISO 200", "200" or a number.

    Raises ValueError when it is no speed or lies outside ISO 25 to ISO 102400.
    """
    if not isinstance(typed, str):
        return _snapped(float(typed), ISOS, f"{typed:g}")
    return iso(number(typed.strip().lower().removeprefix("iso").strip()))


def mark(exact: float, table: dict[float, str]) -> str:
    """Return the mark of a series member, as typed back into a form."""
    return table[_snapped(exact, table)]
