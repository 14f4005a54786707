"""Exposure: light into EV, EV into settings, settings into the marks a camera shows.

A setting is an exact member of its series (apertures 2^(k/6), times 2^(-k/3) s, ISO
100 x 2^(k/3)); its mark is only its name ("f/11" is 11.314, "1/125" is 1/128 s). Half-stop
members exist where no third-stop mark comes near: 1/45, 1/90, 1/180 and f/6.7.
"""

import math
import re
from collections.abc import Callable

from planning.physics.constants import INCIDENT_CALIBRATION_FLAT, REFLECTED_CALIBRATION
from planning.physics.errors import OutOfRange
from planning.physics.ranges import require_between, require_finite, require_positive

# Two values closer than this are the same setting: far above rounding, far below any dial.
SAME_STOP = 1e-6

_F_TABLE = (  # k = -3 to 42; ISO 517 names f/1 to f/32, the rest are the trade's
    "0.7 0.8 0.9 1 1.1 1.2 1.4 1.6 1.8 2 2.2 2.5 2.8 3.2 3.5 4 4.5 5 5.6 6.3 7.1 8 9 10 11 13"
    " 14 16 18 20 22 25 29 32 36 40 45 51 57 64 72 81 90 102 114 128"
)
F_MARKS = _F_TABLE.split()
F_FIRST_K = -3
F_HALF_MARKS = {"6.7": 2 ** (5.5 / 2)}

_SHUTTER_TABLE = (  # k = -15 to 45; ISO 516 names the whole stops
    "30 25 20 15 13 10 8 6 5 4 3.2 2.5 2 1.6 1.3 1 0.8 0.6 0.5 0.4 0.3 1/4 1/5 1/6 1/8 1/10"
    " 1/13 1/15 1/20 1/25 1/30 1/40 1/50 1/60 1/80 1/100 1/125 1/160 1/200 1/250 1/320 1/400"
    " 1/500 1/640 1/800 1/1000 1/1250 1/1600 1/2000 1/2500 1/3200 1/4000 1/5000 1/6400 1/8000"
    " 1/10000 1/12800 1/16000 1/20000 1/25600 1/32000"
)
SHUTTER_MARKS = _SHUTTER_TABLE.split()
SHUTTER_FIRST_K = -15
SHUTTER_HALF_MARKS = {"1/45": 2**-5.5, "1/90": 2**-6.5, "1/180": 2**-7.5}

_ISO_TABLE = (  # k = -6 to 30
    "25 32 40 50 64 80 100 125 160 200 250 320 400 500 640 800 1000 1250 1600 2000 2500 3200"
    " 4000 5000 6400 8000 10000 12800 16000 20000 25600 32000 40000 51200 64000 80000 102400"
)
ISO_MARKS = _ISO_TABLE.split()
ISO_FIRST_K = -6


def ev100(f_number: float, shutter_s: float, iso: float = 100.0) -> float:
    """Return the exposure value at ISO 100 that these settings render as mid-grey.

    Any real number. Raises OutOfRange unless all three are finite and above 0.

    Source: ISO 2720:1974, EV = log2(N^2 / t), less log2(S / 100).
    """
    require_positive(f_number=f_number, shutter_s=shutter_s, iso=iso)
    return 2 * math.log2(f_number) - math.log2(shutter_s) - math.log2(iso / 100)


def ev100_from_lx(illuminance_lx: float, calibration: float = INCIDENT_CALIBRATION_FLAT) -> float:
    """Return the incident exposure value at ISO 100 of an illuminance, flat receptor.

    Raises OutOfRange unless both are finite and above 0. ``calibration`` is the meter's C.

    Source: ISO 2720:1974, N^2 / t = E S / C.
    """
    require_positive(illuminance_lx=illuminance_lx, calibration=calibration)
    return math.log2(illuminance_lx * 100 / calibration)


def ev100_from_cd_m2(luminance_cd_m2: float, calibration: float = REFLECTED_CALIBRATION) -> float:
    """Return the reflected exposure value at ISO 100 of a luminance.

    Raises OutOfRange unless both are finite and above 0. ``calibration`` is the meter's K.

    Source: ISO 2720:1974, N^2 / t = L S / K.
    """
    require_positive(luminance_cd_m2=luminance_cd_m2, calibration=calibration)
    return math.log2(luminance_cd_m2 * 100 / calibration)


def f_number_for(ev100: float, shutter_s: float, iso: float = 100.0) -> float:
    """Return the f-number, not snapped, that renders ``ev100`` as mid-grey.

    Raises OutOfRange for an ``ev100`` that is not finite, or a shutter or ISO not above 0.
    """
    require_finite(ev100=ev100)
    require_positive(shutter_s=shutter_s, iso=iso)
    return math.sqrt(2**ev100 * shutter_s * iso / 100)


def shutter_s_for(ev100: float, f_number: float, iso: float = 100.0) -> float:
    """Return the exposure time in seconds, not snapped, that renders ``ev100`` as mid-grey.

    Raises OutOfRange for an ``ev100`` that is not finite, or an f-number or ISO not above 0.
    """
    require_finite(ev100=ev100)
    require_positive(f_number=f_number, iso=iso)
    return f_number**2 / (2**ev100 * iso / 100)


def sum_stops(*stops: float) -> float:
    """Return the level in stops of several lights together: light adds, stops do not.

    Minus infinity stands for no light. Raises OutOfRange when nothing is summed, or for a
    level that is not a number or infinitely bright.
    """
    if not stops:
        raise OutOfRange("stops must hold at least one level: nothing has no brightness")
    for level in stops:
        if math.isnan(level) or level == math.inf:
            raise OutOfRange(f"stops must be numbers or minus infinity, not {level}")
    top = max(stops)
    if top == -math.inf:
        return top
    return top + math.log2(math.fsum(2 ** (level - top) for level in stops))


def nearest_f_number(f_number: float) -> float:
    """Return the exact third-stop aperture nearest to ``f_number``; a tie closes down.

    Raises OutOfRange unless it is finite and above 0.
    """
    return 2 ** (_f_k(f_number) / 6)


def nearest_shutter_s(shutter_s: float) -> float:
    """Return the exact third-stop time nearest to ``shutter_s``; a tie goes slower.

    Raises OutOfRange unless it is finite and above 0.
    """
    return 2 ** (-_shutter_k(shutter_s) / 3)


def nearest_iso(iso: float) -> float:
    """Return the exact third-stop ISO nearest to ``iso``; a tie goes lower.

    Raises OutOfRange unless it is finite and above 0.
    """
    return 100 * 2 ** (_iso_k(iso) / 3)


def floor_shutter_s(shutter_s: float) -> float:
    """Return the exact third-stop time nearest to ``shutter_s`` and not faster than it.

    1/143 gives 1/128, the mark 1/125. A time within a millionth of a stop of a member is
    that member. Raises OutOfRange unless it is finite and above 0.
    """
    require_positive(shutter_s=shutter_s)
    return 2 ** (-math.floor(3 * (SAME_STOP - math.log2(shutter_s))) / 3)


def exact_shutter_s(shutter_s: float) -> float:
    """Return the exact member a time written as on a camera means: 0.005 is 1/203, not 1/200.

    A time on no mark comes back as it is. Raises OutOfRange unless it is finite and above 0.
    """
    mark = shutter_mark(shutter_s)
    on_the_mark = abs(math.log2(shutter_s / _written(mark.removesuffix(" s")))) < 1e-3
    if not on_the_mark:
        return shutter_s
    return SHUTTER_HALF_MARKS.get(mark) or nearest_shutter_s(shutter_s)


def f_mark(f_number: float) -> str:
    """Return the nearest aperture mark as a lens shows it: "f/11" for 11.314 (and 11.3).

    f/6.7 is named where it is meant. Outside f/0.7 to f/128 the member itself is written.
    Raises OutOfRange unless it is finite and above 0.
    """
    k = _f_k(f_number) - F_FIRST_K
    half = _half_mark(2 * math.log2(f_number), F_HALF_MARKS, lambda value: 2 * math.log2(value))
    if half:
        return f"f/{half}"
    if 0 <= k < len(F_MARKS):
        return f"f/{F_MARKS[k]}"
    member = nearest_f_number(f_number)
    return f"f/{member:.0f}" if member > 1 else f"f/{member:.2g}"


def shutter_mark(shutter_s: float) -> str:
    """Return the nearest shutter mark as a camera shows it: "1/125", "0.8 s", "30 s".

    1/45, 1/90 and 1/180 are named where they are meant. Outside 30 s to 1/32000 the member
    itself is written. Raises OutOfRange unless it is finite and above 0.
    """
    k = _shutter_k(shutter_s) - SHUTTER_FIRST_K
    half = _half_mark(math.log2(shutter_s), SHUTTER_HALF_MARKS, math.log2)
    if half:
        return half
    if 0 <= k < len(SHUTTER_MARKS):
        mark = SHUTTER_MARKS[k]
        return mark if "/" in mark else f"{mark} s"
    member = nearest_shutter_s(shutter_s)
    return f"{member:.0f} s" if member > 1 else f"1/{1 / member:.0f}"


def iso_mark(iso: float) -> str:
    """Return the nearest ISO mark, digits only, as a camera shows it: "200".

    Outside 25 to 102400 the member itself is written. Raises OutOfRange unless it is finite
    and above 0.
    """
    k = _iso_k(iso) - ISO_FIRST_K
    return ISO_MARKS[k] if 0 <= k < len(ISO_MARKS) else f"{nearest_iso(iso):.0f}"


def parse_f_mark(text: str) -> float:
    """Return the exact aperture named by a mark as typed: "f/11", "F11", "11", "5,6".

    f/6.7 gives its half-stop member. Raises OutOfRange when it is no aperture from f/0.7 to
    f/128.
    """
    digits = re.fullmatch(r"\s*(?:[fF]\s*/?\s*)?(\d+(?:[.,]\d+)?)\s*", text)
    if not digits:
        raise OutOfRange(f"aperture {text!r} is not a mark: write it like f/11 or 11")
    value = float(digits[1].replace(",", "."))
    if not 0.65 <= value <= 130:
        raise OutOfRange(f"aperture {text!r} must lie from f/0.7 to f/128")
    half = _half_mark(2 * math.log2(value), F_HALF_MARKS, lambda n: 2 * math.log2(n))
    return F_HALF_MARKS[half] if half else nearest_f_number(value)


def parse_shutter_mark(text: str) -> float:
    """Return the exact time in seconds named by a mark as typed: "1/160", "0.8 s", "2".

    1/45, 1/90 and 1/180 give their half-stop members. Raises OutOfRange when it is no time
    from 1/32000 to 30 s: a bare "125" is refused rather than taken for two minutes.
    """
    parts = re.fullmatch(r"\s*(?:(\d+)\s*/\s*)?(\d+(?:[.,]\d+)?)\s*(?:s|sec|\")?\s*", text)
    number = float(parts[2].replace(",", ".")) if parts else 0.0
    if number == 0:
        raise OutOfRange(f"shutter {text!r} is not a mark: write it like 1/160 or 0.8 s")
    value = number if parts[1] is None else int(parts[1]) / number
    if not 1 / 33000 <= value <= 33:
        raise OutOfRange(
            f"shutter {text!r} must lie from 1/32000 to 30 s: write a hundredth as 1/100"
        )
    half = _half_mark(math.log2(value), SHUTTER_HALF_MARKS, math.log2)
    return SHUTTER_HALF_MARKS[half] if half else nearest_shutter_s(value)


def meter_f_number(mark: str | float, tenths: float = 0.0) -> float:
    """Return the f-number of a meter reading shown as a mark and tenths of a stop.

    "11 and 3" is 11.314 x 2^(0.3/2), not 11.3. Raises OutOfRange for a mark that is none, or
    tenths outside 0 to 10.
    """
    require_between(0, 10, tenths=tenths)
    exact = parse_f_mark(mark) if isinstance(mark, str) else nearest_f_number(mark)
    return exact * 2 ** (tenths / 20)


def _f_k(f_number: float) -> int:
    require_positive(f_number=f_number)
    return math.floor(6 * math.log2(f_number) + 0.5 + 3 * SAME_STOP)


def _shutter_k(shutter_s: float) -> int:
    require_positive(shutter_s=shutter_s)
    return math.ceil(-3 * math.log2(shutter_s) - 0.5 - 3 * SAME_STOP)


def _iso_k(iso: float) -> int:
    require_positive(iso=iso)
    return math.ceil(3 * math.log2(iso / 100) - 0.5 - 3 * SAME_STOP)


def _half_mark(stops: float, members: dict[str, float], stops_of: Callable[[float], float]) -> str:
    """The half-stop mark meant: the exact member, or the number written on the mark."""
    for mark, member in members.items():
        meant = (member, _written(mark))
        if any(abs(stops - stops_of(value)) < SAME_STOP for value in meant):
            return mark
    return ""


def _written(mark: str) -> float:
    top, _, bottom = mark.partition("/")
    return float(top) / float(bottom or 1)
