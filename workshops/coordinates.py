"""Coordinates as people paste them, and as they are shown back. Pure: no Django.

Decimal degrees, degrees and minutes, degrees minutes seconds (angles_text); the geo URI of
RFC 5870 and point strings of ISO 6709 here; UTM and MGRS (grids).
"""

import re
from dataclasses import dataclass

from workshops import angles_text, grids
from workshops.typed import NotUnderstood
from workshops.typed import gettext_noop as _

LONGEST = 200  # characters: more is no pair of coordinates
PLACES = 5  # of decimal degrees shown: about a metre

NUMBER = r"-?\d+(?:\.\d+)?"
GEO = re.compile(rf"^({NUMBER}),({NUMBER})(?:,{NUMBER})?((?:;[^;]+)*)$", re.ASCII)
ISO_6709 = re.compile(
    r"^([+-])(\d{2}|\d{4}|\d{6})(\.\d+)?([+-])(\d{3}|\d{5}|\d{7})(\.\d+)?"
    r"(?:[+-]\d+(?:\.\d+)?)?(?:CRS(\w+))?/?$",
    re.ASCII | re.IGNORECASE,
)
WGS_84 = ("wgs84", "wgs_84")


@dataclass(frozen=True)
class Coordinates:
    latitude_deg: float  # north positive
    longitude_deg: float  # east positive


def parse(text: str) -> Coordinates:
    """Return the point a text names.

    Raises NotUnderstood, saying what to enter, for anything that is not one latitude and one
    longitude, or is longer than 200 characters. Source: RFC 5870 for geo URIs, ISO 6709:2008
    annex H for point strings.
    """
    if len(text) > LONGEST:
        raise NotUnderstood(
            _("That is too long for coordinates: enter a pair such as %(s)s"),
            s=angles_text.SAMPLES,
        )
    plain = text.strip().replace("\N{MINUS SIGN}", "-")
    if plain[:4].lower() == "geo:":
        pair = _geo(plain[4:])
    elif match := ISO_6709.match(plain):
        pair = _iso_6709(match)
    else:
        pair = grids.read(plain) or angles_text.read(text)
    return Coordinates(*pair)


def show(point: Coordinates, style: str = "decimal") -> str:
    """Return "50.73510, -3.53200", or with style "dms" "50°44′06.4″ N 3°31′55.2″ W".

    With style "paper" its minus is one; what is typed or pasted elsewhere wants the hyphen.
    """
    if style == "paper":
        return show(point).replace("-", "\N{MINUS SIGN}")
    if style == "decimal":
        return f"{_decimal(point.latitude_deg)}, {_decimal(point.longitude_deg)}"
    return f"{_dms(point.latitude_deg, 'NS')} {_dms(point.longitude_deg, 'EW')}"


def _decimal(value_deg: float) -> str:
    text = f"{value_deg:.{PLACES}f}"
    return text if float(text) else text.lstrip("-")


def _dms(value_deg: float, letters: str) -> str:
    tenths = round(abs(value_deg) * 36000)  # of a second of arc
    degrees, rest = divmod(tenths, 36000)
    minutes, seconds = divmod(rest, 600)
    letter = letters[value_deg < 0 and tenths > 0]
    return f"{degrees}°{minutes:02d}′{seconds / 10:04.1f}″ {letter}"


def _geo(rest: str) -> tuple[float, float]:
    match = GEO.match(rest)
    if not match:
        raise NotUnderstood(_("This geo address cannot be read: it looks like geo:50.7351,-3.5320"))
    for parameter in match[3].lower().split(";"):
        name, _equals, value = parameter.partition("=")
        if name == "crs":
            _check_datum(value)
    return angles_text.checked(float(match[1]), float(match[2]))


def _iso_6709(match: re.Match) -> tuple[float, float]:
    if match[7]:
        _check_datum(match[7].lower())
    latitude_deg = _iso_degrees(match[1], match[2], match[3] or "", whole=2)
    longitude_deg = _iso_degrees(match[4], match[5], match[6] or "", whole=3)
    return angles_text.checked(latitude_deg, longitude_deg)


def _iso_degrees(sign: str, digits: str, fraction: str, *, whole: int) -> float:
    """Degrees from DD, DDMM or DDMMSS (a longitude has three digits of degrees)."""
    pairs = [digits[at : at + 2] for at in range(whole, len(digits), 2)]
    parts = [digits[:whole], *pairs]
    parts[-1] += fraction
    size_deg = angles_text.summed(parts)
    return -size_deg if sign == "-" else size_deg


def _check_datum(name: str) -> None:
    if name not in WGS_84:
        raise NotUnderstood(
            _("This position counts by another datum, %(name)s: enter it on WGS 84."),
            name=name[:20],
        )
