"""The horizon as people type it: pairs of azimuth and elevation, one a line. Pure."""

import json
import re
from collections.abc import Iterator
from decimal import Decimal

from workshops.typed import NotUnderstood
from workshops.typed import gettext_noop as _

LONGEST = 5000  # characters
MOST_PAIRS = 200
SHOWN = 40  # characters of a line in a refusal
POINTS = (  # of the compass, 22.5 degrees apart
    *("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE"),
    *("S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"),
)
AZIMUTHS = {name: 22.5 * index for index, name in enumerate(POINTS)}
# The Spanish oeste; NO and SO are then north-west and south-west.
AZIMUTHS |= {name.replace("W", "O"): deg for name, deg in AZIMUTHS.items()}
AZIMUTHS |= {"NORTH": 0.0, "EAST": 90.0, "SOUTH": 180.0, "WEST": 270.0}
AZIMUTHS |= {"NORTE": 0.0, "ESTE": 90.0, "SUR": 180.0, "OESTE": 270.0}

PLAIN = str.maketrans({"−": "-", "–": "-", "º": "°", "˚": "°"})
NUMBER = r"[+-]?[0-9]+(?:[.,][0-9]+)?"
POINTED = r"[+-]?[0-9]+(?:\.[0-9]+)?"
END = r"\s*(?:°|deg)?$"
# A comma beside a blank parts two figures; one between digits is a decimal comma, unless it is
# the only thing that can part them: "90,12.5" is a pair, "90,12,5" might be two.
APART = rf"(?:\s*(?:°|deg)\s*[:=,]?\s*|\s*[:=]\s*|\s*,\s+|\s+,?)(?={NUMBER})"
PAIRS = (
    re.compile(rf"^({NUMBER}){APART}({NUMBER}){END}"),
    re.compile(rf"^({POINTED}),({POINTED}){END}"),
    re.compile(rf"^([A-Za-z]+)\s*[:=,]?\s*({NUMBER}){END}"),
)

Pairs = list[list[float]]


def read(text: str) -> Pairs:
    """Return [azimuth, elevation] in degrees, azimuth rising from 0 to below 360.

    A line holds "90 12.5", "90: 12,5" or "SSW 12"; several pairs stand apart by lines,
    semicolons or a comma and a blank, or as a JSON list. An azimuth of 360 is 0. An empty text
    is a level horizon. Raises NotUnderstood quoting the line.
    """
    if len(text) > LONGEST:
        raise NotUnderstood(_("That is too long for a horizon: one pair a line, such as 90 12.5"))
    found: dict[float, float] = {}
    for line, azimuth_deg, elevation_deg in _figures(text.translate(PLAIN).strip()):
        azimuth_deg, elevation_deg = _checked(line, azimuth_deg, elevation_deg)
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
    """Return the pairs one a line, as they are typed back, to the last digit."""
    return "\n".join(" ".join(_shortest(figure) for figure in pair) for pair in pairs)


def _shortest(figure: float) -> str:
    return f"{Decimal(repr(float(figure))):f}".removesuffix(".0")


def _figures(text: str) -> Iterator[tuple[str, float, float]]:
    """Yield each pair with the words it was typed in."""
    if text.startswith("["):
        yield from _listed(text)
        return
    for piece in re.split(r"[;\n\r]", text):
        line = " ".join(piece.split())
        if not line:
            continue
        pairs = [line] if _matched(line) else re.split(r",\s", line.rstrip(","))
        for pair in pairs:
            match = _matched(pair.strip())
            if not match:
                raise _no_pair(line)
            yield pair.strip()[:SHOWN], _azimuth(match[1], line), _number(match[2])


def _matched(line: str) -> re.Match | None:
    return next((match for pair in PAIRS if (match := pair.match(line))), None)


def _listed(text: str) -> Iterator[tuple[str, float, float]]:
    """Yield the pairs of a JSON list such as [[0, 3], [90, 12.5]]."""
    try:
        pairs = json.loads(text)
    except (ValueError, RecursionError):
        raise _no_list(text) from None
    for pair in pairs:
        good = isinstance(pair, list) and len(pair) == 2
        if not good or not all(type(figure) in (int, float) for figure in pair):
            raise _no_list(json.dumps(pair))
        try:
            yield json.dumps(pair)[:SHOWN], float(pair[0]), float(pair[1])
        except OverflowError:
            raise _no_list(json.dumps(pair)) from None


def _no_pair(line: str) -> NotUnderstood:
    return NotUnderstood(
        _("“%(line)s” is no pair: enter azimuth and elevation, such as 90 12.5"), line=line[:SHOWN]
    )


def _no_list(line: str) -> NotUnderstood:
    return NotUnderstood(
        _("“%(line)s” is no pair: in a list write [[0, 3], [90, 12.5]], or one pair a line."),
        line=line[:SHOWN],
    )


def _checked(line: str, azimuth_deg: float, elevation_deg: float) -> tuple[float, float]:
    if not 0 <= azimuth_deg <= 360:
        raise NotUnderstood(
            _("“%(line)s”: the azimuth runs from 0 to 360, north over east."), line=line
        )
    if not -10 <= elevation_deg < 90:
        raise NotUnderstood(
            _("“%(line)s”: the elevation stays from -10 to below 90 degrees."), line=line
        )
    return azimuth_deg % 360 + 0.0, elevation_deg + 0.0  # no negative zero


def _azimuth(text: str, line: str) -> float:
    if not text[0].isalpha():
        return _number(text)
    if text.upper() not in AZIMUTHS:
        raise NotUnderstood(
            _("“%(line)s”: name the direction like N, NE or SSW, or in degrees."),
            line=line[:SHOWN],
        )
    return AZIMUTHS[text.upper()]


def _number(text: str) -> float:
    return float(text.replace(",", "."))
