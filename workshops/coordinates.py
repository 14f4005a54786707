"""Coordinates as people paste them, and as they are shown back. Pure: no Django.

Decimal degrees, degrees and minutes, degrees minutes seconds, with signs or hemisphere letters on
either side, decimal point or comma; the geo URI (RFC 5870) and point strings of ISO 6709.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from workshops.typed import NotUnderstood
from workshops.typed import gettext_noop as _

LONGEST = 200  # characters: more is no pair of coordinates
MOST_LATITUDE_DEG, MOST_LONGITUDE_DEG = 90.0, 180.0
SAMPLES = "50.7351, -3.5320 / 50°44'06\"N 3°31'55\"W / geo:50.7351,-3.5320"

GEO = re.compile(
    r"^geo:(-?\d+(?:\.\d+)?),(-?\d+(?:\.\d+)?)(?:,-?\d+(?:\.\d+)?)?((?:;[^;]*)*)$", re.I
)
ISO_6709 = re.compile(
    r"^([+-]\d{2,6}(?:\.\d+)?)([+-]\d{3,7}(?:\.\d+)?)(?:[+-]\d+(?:\.\d+)?)?(?:CRS\w+)?/?$", re.I
)
WORDS = {  # what stands for a hemisphere; O is the Spanish oeste
    **dict.fromkeys(("n", "north", "norte"), "N"),
    **dict.fromkeys(("s", "south", "sur"), "S"),
    **dict.fromkeys(("e", "east", "este"), "E"),
    **dict.fromkeys(("w", "west", "o", "oeste"), "W"),
}
# In "50d44m06s N" the s means seconds; anywhere else it would be south.
SPELLED = re.compile(r"(\d)\s*d\s*(\d+(?:\.\d+)?)\s*m(?:\s*(\d+(?:\.\d+)?)\s*s)?", re.IGNORECASE)
LABELS = ("lat", "latitude", "latitud", "lon", "lng", "long", "longitude", "longitud")
UNITS = {
    **dict.fromkeys(("°", "º", "˚", "d", "deg", "degrees", "grados"), "°"),
    **dict.fromkeys(("'", "′", "’", "ʹ", "m", "min", "minutes", "minutos"), "'"),
    **dict.fromkeys(('"', "″", "”", "''", "′′", "’’", "sec", "seconds", "segundos"), '"'),
}
TOKEN = re.compile(r"[+-]?\d+(?:\.\d+)?|[^\W\d_]+|''|′′|’’|[°º˚'′’ʹ\"″”]|\S")
IGNORED = frozenset(",;:/=()[]|")


@dataclass(frozen=True)
class Coordinates:
    latitude_deg: float  # north positive
    longitude_deg: float  # east positive


@dataclass(frozen=True)
class _Half:
    """The numbers of one coordinate, as typed, and its hemisphere if one was named."""

    numbers: tuple[str, ...]
    letter: str = ""


def parse(text: str) -> Coordinates:
    """Return the point a text names.

    Raises NotUnderstood, saying what to enter, for anything that is not one latitude and one
    longitude. Source: RFC 5870 for geo URIs, ISO 6709:2008 annex H for point strings.
    """
    plain = text.replace("\N{MINUS SIGN}", "-").replace("\N{EN DASH}", "-").strip()
    if len(plain) > LONGEST:
        raise NotUnderstood(
            _("That is too long for coordinates: enter a pair such as %(s)s"), s=SAMPLES
        )
    if match := GEO.match(plain):
        return _geo(match)
    if match := ISO_6709.match("".join(plain.split())):
        return _checked(_iso_degrees(match[1], 2), _iso_degrees(match[2], 3))
    first, second = _halves(_tokens(plain))
    values = [_degrees(first), _degrees(second)]
    axes = [_axis(first, "NS"), _axis(second, "EW")]
    if axes[0] != axes[1]:
        raise NotUnderstood(
            _("Both are of one direction: enter a latitude (N or S) and a longitude (E or W).")
        )
    return _checked(*(values if axes[0] else reversed(values)))


def show(point: Coordinates, style: str = "decimal") -> str:
    """Return "50.73510, -3.53200", or with style "dms" "50°44′06.4″ N 3°31′55.2″ W"."""
    if style == "decimal":
        return f"{point.latitude_deg:.6f}, {point.longitude_deg:.6f}"
    pairs = ((point.latitude_deg, "NS"), (point.longitude_deg, "EW"))
    return " ".join(f"{_dms(value)} {letters[value < 0]}" for value, letters in pairs)


def _dms(value_deg: float) -> str:
    tenths = round(abs(value_deg) * 36000)  # of a second of arc
    degrees, rest = divmod(tenths, 36000)
    minutes, seconds = divmod(rest, 600)
    return f"{degrees}°{minutes:02d}′{seconds / 10:04.1f}″"


def _geo(match: re.Match) -> Coordinates:
    for parameter in match[3].lower().split(";"):
        name, _equals, value = parameter.partition("=")
        if name == "crs" and value != "wgs84":
            raise NotUnderstood(_("This geo address counts by another datum: only WGS 84 is read."))
    return _checked(float(match[1]), float(match[2]))


def _iso_degrees(text: str, width: int) -> float:
    """Degrees, DDMM or DDMMSS, told apart by the digits before the point."""
    sign, digits = (-1 if text[0] == "-" else 1), text[1:]
    whole, point, fraction = digits.partition(".")
    minutes = len(whole) - width
    if minutes not in (0, 2, 4):
        raise NotUnderstood(_("This reads like an ISO 6709 point, but its digits do not count up."))
    parts = [whole[:width], *(whole[at : at + 2] for at in range(width, len(whole), 2))]
    parts[-1] += point + fraction
    return sign * _summed(parts)


def _tokens(text: str) -> list[str]:
    """Numbers with a decimal point, hemisphere letters and unit marks, in their order."""
    if "." not in text and text.count(",") != 1:
        text = re.sub(r"(\d),(\d)", r"\1.\2", text)  # decimal commas
    text = SPELLED.sub(lambda match: f"{match[1]}° {match[2]}' {match[3] or ''} ", text)
    found = []
    for token in TOKEN.findall(text):
        low = token.lower()
        if token[-1].isdigit():
            found.append(token)
        elif low in WORDS:
            found.append(WORDS[low])
        elif low in UNITS:
            found.append(UNITS[low])
        elif low not in LABELS and token not in IGNORED:
            raise NotUnderstood(
                _("“%(word)s” is not part of coordinates: enter a pair such as %(s)s"),
                word=token[:20],
                s=SAMPLES,
            )
    return found


def _halves(tokens: Sequence[str]) -> tuple[_Half, _Half]:
    letters = [index for index, token in enumerate(tokens) if token in "NSEW"]
    if letters:
        return _by_letters(tokens, letters)
    starts = [index - 1 for index, token in enumerate(tokens) if token == "°"]
    if len(starts) == 2 and starts[0] == 0:
        parts = tokens[: starts[1]], tokens[starts[1] :]
        return _Half(_numbers(parts[0])), _Half(_numbers(parts[1]))
    numbers = _numbers(tokens)
    if len(numbers) not in (2, 4, 6):
        raise NotUnderstood(_("Enter one latitude and one longitude, such as %(s)s"), s=SAMPLES)
    middle = len(numbers) // 2
    return _Half(numbers[:middle]), _Half(numbers[middle:])


def _by_letters(tokens: Sequence[str], letters: list[int]) -> tuple[_Half, _Half]:
    if len(letters) != 2:
        raise NotUnderstood(_("Name both hemispheres or none, such as %(s)s"), s=SAMPLES)
    one, two = letters
    if one == 0:
        parts = tokens[1:two], tokens[two + 1 :]
    else:
        parts = tokens[:one], tokens[one + 1 : two]
        if tokens[two + 1 :]:
            raise NotUnderstood(
                _("Put the letters all before or all after, such as %(s)s"), s=SAMPLES
            )
    halves = [_Half(_numbers(part), tokens[at]) for part, at in zip(parts, letters, strict=True)]
    if not all(1 <= len(half.numbers) <= 3 for half in halves):
        raise NotUnderstood(_("Enter one latitude and one longitude, such as %(s)s"), s=SAMPLES)
    return halves[0], halves[1]


def _numbers(tokens: Sequence[str]) -> tuple[str, ...]:
    return tuple(token for token in tokens if token[-1].isdigit())


def _degrees(half: _Half) -> float:
    signed = half.numbers[0].startswith(("-", "+"))
    if half.letter and signed:
        raise NotUnderstood(_("Give a sign or a letter, not both: 3.5320 W is -3.5320."))
    if any(number.startswith(("-", "+")) for number in half.numbers[1:]):
        raise NotUnderstood(_("Minutes and seconds have no sign of their own."))
    negative = half.numbers[0].startswith("-") or half.letter in ("S", "W")
    size = _summed([number.lstrip("+-") for number in half.numbers])
    return -size if negative else size


def _summed(parts: Sequence[str]) -> float:
    if len(parts) > 3:
        raise NotUnderstood(_("Enter one latitude and one longitude, such as %(s)s"), s=SAMPLES)
    if any("." in part for part in parts[:-1]):
        raise NotUnderstood(_("Only the last figure may have decimals: 50 44.106 or 50 44 06.4."))
    values = [float(part) for part in parts]
    if any(value >= 60 for value in values[1:]):
        raise NotUnderstood(_("Minutes and seconds stay below 60."))
    return sum(value / 60**power for power, value in enumerate(values))


def _axis(half: _Half, usual: str) -> bool:
    """Whether a half is of the axis its place suggests: latitude first."""
    return not half.letter or half.letter in usual


def _checked(latitude_deg: float, longitude_deg: float) -> Coordinates:
    if not (math.isfinite(latitude_deg) and abs(latitude_deg) <= MOST_LATITUDE_DEG):
        raise NotUnderstood(
            _("A latitude stays within 90 degrees; it comes first, then the longitude.")
        )
    if not (math.isfinite(longitude_deg) and abs(longitude_deg) <= MOST_LONGITUDE_DEG):
        raise NotUnderstood(_("A longitude stays within 180 degrees; the latitude comes first."))
    return Coordinates(latitude_deg, longitude_deg)
