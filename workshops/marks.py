"""The marks of cameras and meters as people type them, and the exact figures behind them.

A mark is a name: "1/125" stands for 1/128 s, "f/11" for 11.314. Everything typed is snapped to
the nearest exact third-stop member; the half-stop members 1/45, 1/90, 1/180 and f/6.7 are kept
only where they are meant. Pure: no Django, no database.

Source: ISO 516 and ISO 517 name the whole stops; the third-stop marks between and beyond are
those of cameras and meters, common practice, no source. The plan prints the same marks.
"""

import math
from dataclasses import dataclass
from fractions import Fraction

from workshops.typed import NotUnderstood
from workshops.typed import gettext_noop as _

NO_NUMBER = _("%(typed)s is not a number above 0")
SAME_STOP = 1e-6  # closer than this is the same setting, or a tie between two
LEAST_POWER = 2.0**-13
# Every printed mark lies within this of its member, and so does every figure between two.
NEAR_STOPS = 1 / 6 + 0.01


@dataclass(frozen=True)
class Series:
    """The exact members a dial has, each with its mark; nothing beyond its ends."""

    thirds: dict[float, str]
    halves: dict[float, str]
    stops_an_octave: int  # an f-number doubles in two stops, a time or a speed in one
    tie: int  # of two members as near: 1 the larger figure, -1 the smaller

    @property
    def members(self) -> dict[float, str]:
        return dict(sorted({**self.thirds, **self.halves}.items()))

    @property
    def ends(self) -> tuple[float, float]:
        return min(self.thirds), max(self.thirds)

    def snapped(self, value: float, typed: str | float = "") -> float:
        """Return the half-stop member meant, else the nearest third.

        Raises ValueError, naming what was ``typed``, for no positive finite number or one
        beyond the ends.
        """
        if not (math.isfinite(value) and value > 0):
            raise NotUnderstood(NO_NUMBER, typed=repr(value))
        for member, mark in self.halves.items():
            if min(self._apart(value, member), self._apart(value, written(mark))) < SAME_STOP:
                return member
        least = min(self._apart(value, member) for member in self.thirds)
        if least > NEAR_STOPS:
            low, high = (self.thirds[end] for end in self.ends)
            raise NotUnderstood(
                _("%(typed)s lies outside the marks %(low)s to %(high)s"),
                typed=typed or value,
                low=low,
                high=high,
            )
        near = [one for one in self.thirds if self._apart(value, one) < least + SAME_STOP]
        return max(near, key=lambda member: self.tie * member)

    def mark(self, exact: float) -> str:
        """Return the mark of a member, as typed back into a form. Raises ValueError as above."""
        return self.members[self.snapped(exact)]

    def _apart(self, one: float, other: float) -> float:
        return abs(math.log2(one / other)) * self.stops_an_octave


_SLOW = "30 25 20 15 13 10 8 6 5 4 3.2 2.5 2 1.6 1.3 1 0.8 0.6 0.5 0.4 0.3"
_FAST = (
    "4 5 6 8 10 13 15 20 25 30 40 50 60 80 100 125 160 200 250 320 400 500 640 800 1000 1250 "
    "1600 2000 2500 3200 4000 5000 6400 8000 10000 12800 16000 20000 25600 32000"
)
_TIMES = [f"{mark} s" for mark in _SLOW.split()] + [f"1/{mark}" for mark in _FAST.split()]
_APERTURES = (
    "0.7 0.8 0.9 1 1.1 1.2 1.4 1.6 1.8 2 2.2 2.5 2.8 3.2 3.5 4 4.5 5 5.6 6.3 7.1 8 9 10 11 13 14 "
    "16 18 20 22 25 29 32 36 40 45 51 57 64 72 81 90"
)
_ISOS = (
    "25 32 40 50 64 80 100 125 160 200 250 320 400 500 640 800 1000 1250 1600 2000 2500 3200 "
    "4000 5000 6400 8000 10000 12800 16000 20000 25600 32000 40000 51200 64000 80000 102400"
)

SHUTTERS = Series(
    {2.0 ** (-k / 3): mark for k, mark in enumerate(_TIMES, start=-15)},
    {2.0**-5.5: "1/45", 2.0**-6.5: "1/90", 2.0**-7.5: "1/180"},
    stops_an_octave=1,
    tie=1,  # the slower shutter
)
APERTURES = Series(
    {2.0 ** (k / 6): f"f/{mark}" for k, mark in enumerate(_APERTURES.split(), start=-3)},
    {2.0**2.75: "f/6.7"},
    stops_an_octave=2,
    tie=1,  # the smaller opening
)
ISOS = Series(
    {100 * 2.0 ** (k / 3): mark for k, mark in enumerate(_ISOS.split(), start=-6)},
    {},
    stops_an_octave=1,
    tie=-1,  # the lower speed
)


def number(text: str) -> float:
    """Return the number a text such as "1/160", "0.8" or "11" stands for.

    Raises ValueError for anything that is not a positive finite number.
    """
    try:
        value = float(Fraction(text.replace(" ", "").replace(",", ".")))
    except (ValueError, ZeroDivisionError, OverflowError):
        raise NotUnderstood(NO_NUMBER, typed=repr(text)) from None
    if not (math.isfinite(value) and value > 0):
        raise NotUnderstood(NO_NUMBER, typed=repr(text))
    return value


def written(mark: str) -> float:
    """Return the figure written on a mark, which is not the member it stands for."""
    return number(mark.removeprefix("f/").removesuffix("s").strip())


def shutter_s(typed: str | float) -> float:
    """Return the exact time in seconds for a mark such as "1/160", "0.8 s" or a number.

    Raises ValueError when it is no time or lies outside 1/32000 to 30 s.
    """
    value = typed
    if isinstance(typed, str):
        text = typed.strip().lower().replace('"', "").removesuffix("sec").removesuffix("s").strip()
        value = number(text)
    return SHUTTERS.snapped(float(value), typed)


def f_number(typed: str | float) -> float:
    """Return the exact f-number for a mark such as "f/11", "11" or a number.

    Raises ValueError when it is no f-number or lies outside f/0.7 to f/90.
    """
    value = typed
    if isinstance(typed, str):
        value = number(typed.strip().lower().removeprefix("f").lstrip("/ "))
    return APERTURES.snapped(float(value), typed)


def iso(typed: str | float) -> float:
    """Return the exact arithmetic speed for a mark such as "ISO 200", "200" or a number.

    Raises ValueError when it is no speed or lies outside ISO 25 to ISO 102400.
    """
    value = typed
    if isinstance(typed, str):
        value = number(typed.strip().lower().removeprefix("iso").strip())
    return ISOS.snapped(float(value), typed)


def power(typed: str | float) -> float:
    """Return the share of full power for "1/4", "1/4 +0.3", "full" or "8.3" of a scale of ten.

    A number above 1 is read on the scale of heads that count down from 10.0 by one a stop.
    Raises ValueError when it is no power or lies outside 1/8192 to full.
    """
    value = typed
    if isinstance(typed, str):
        text = " ".join(typed.split()).lower()
        share, plus, stops = text.partition("+")
        if text in ("full", "1/1"):
            return 1.0
        value = number(share)
        if plus:
            value *= 2.0 ** number(stops)
    share = float(value)
    if 1.0 < share <= 10.0:
        share = 2.0 ** (share - 10.0)
    if not (math.isfinite(share) and LEAST_POWER <= share <= 1.0):
        raise NotUnderstood(_("%(typed)s is no power from 1/8192 to full"), typed=typed)
    return share
