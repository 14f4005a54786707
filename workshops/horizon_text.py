"""The horizon as people type it: pairs of azimuth and elevation, one a line. Pure."""

import re

from workshops.typed import NotUnderstood
from workshops.typed import gettext_noop as _

LONGEST = 5000  # characters
MOST_PAIRS = 200
POINTS = (  # of the compass, 22.5 degrees apart
    *("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE"),
    *("S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"),
)
AZIMUTHS = {name: 22.5 * index for index, name in enumerate(POINTS)}
# The Spanish oeste; NO and SO are then north-west and south-west.
AZIMUTHS |= {name.replace("W", "O"): deg for name, deg in AZIMUTHS.items()}
NUMBER = r"[+-]?\d+(?:[.,]\d+)?"
PAIR = re.compile(rf"^({NUMBER}|[A-Za-z]{{1,3}})[\s:,°º]+({NUMBER})\s*[°º]?$")
JSON_PAIR = re.compile(rf"\[\s*({NUMBER})\s*,\s*({NUMBER})\s*\]")

Pairs = list[list[float]]


def read(text: str) -> Pairs:
    """Return [azimuth, elevation] in degrees, azimuth rising from 0 to below 360.

    A line holds "90 12.5", "90: 12,5" or "SSW 12"; several stand apart by semicolons. Raises
    NotUnderstood naming the line. An empty text is a level horizon.
    """
    if len(text) > LONGEST:
        raise NotUnderstood(_("That is too long for a horizon: one pair a line, such as 90 12.5"))
    found: dict[float, float] = {}
    for line in _lines(text):
        azimuth_deg, elevation_deg = _pair(line)
        if azimuth_deg in found:
            raise NotUnderstood(
                _("“%(line)s”: this direction stands there twice; keep one."), line=line
            )
        found[azimuth_deg] = elevation_deg
    if len(found) > MOST_PAIRS:
        raise NotUnderstood(
            _("More than %(most)d pairs: leave out what the light does not notice."),
            most=MOST_PAIRS,
        )
    return [[azimuth_deg, found[azimuth_deg]] for azimuth_deg in sorted(found)]


def show(pairs: Pairs) -> str:
    """Return the pairs one a line, as they are typed back."""
    return "\n".join(f"{azimuth:g} {elevation:g}" for azimuth, elevation in pairs)


def _lines(text: str) -> list[str]:
    """The pairs of a text; brackets of a JSON list are read too."""
    plain = text.replace("\N{MINUS SIGN}", "-")
    if plain.strip().startswith("["):
        rest = JSON_PAIR.sub(r"\1 \2;", plain.strip()[1:].rstrip("] \n") + "]")
        plain = re.sub(r"[\[\],]", " ", rest)
    pieces = [" ".join(piece.split()) for piece in re.split(r"[;\n\r]", plain)]
    return [piece for piece in pieces if piece]


def _pair(line: str) -> tuple[float, float]:
    match = PAIR.match(line)
    if not match:
        raise NotUnderstood(
            _("“%(line)s” is no pair: enter azimuth and elevation, such as 90 12.5"), line=line[:40]
        )
    azimuth_deg, elevation_deg = _azimuth(match[1], line), _figure(match[2])
    if not 0 <= azimuth_deg <= 360:
        raise NotUnderstood(
            _("“%(line)s”: the azimuth runs from 0 to 360, north over east."), line=line
        )
    if not -10 <= elevation_deg < 90:
        raise NotUnderstood(
            _("“%(line)s”: the elevation stays from -10 to below 90 degrees."), line=line
        )
    return azimuth_deg % 360, elevation_deg


def _azimuth(text: str, line: str) -> float:
    if text[0].isalpha():
        if text.upper() not in AZIMUTHS:
            raise NotUnderstood(
                _("“%(line)s”: name the direction like N, NE or SSW, or in degrees."), line=line
            )
        return AZIMUTHS[text.upper()]
    return _figure(text)


def _figure(text: str) -> float:
    return float(text.replace(",", "."))
