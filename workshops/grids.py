"""Positions in metres of the world-wide map grid: UTM and MGRS, on WGS 84. Pure."""

import re

import utm
from utm.error import OutOfRangeError

from workshops import angles_text
from workshops.typed import NotUnderstood
from workshops.typed import gettext_noop as _

BANDS = "CDEFGHJKLMNPQRSTUVWX"  # 8 degrees each from 80 south; X has 12
ROWS = "ABCDEFGHJKLMNPQRSTUV"
COLUMNS = ("STUVWXYZ", "ABCDEFGH", "JKLMNPQR")  # by zone number modulo 3
SQUARE_M, ROWS_M = 100_000, 2_000_000  # the row letters come round again
LEAST_DIGITS, MOST_DIGITS = 4, 10  # a kilometre, a metre
SLACK_DEG = 1.0  # a square may begin just outside the band its point lies in
ZONE = r"(?:(?:UTM|ZONE|ZONA|HUSO)[\s:]*)*(\d{1,2})\s*"
UTM = re.compile(
    rf"^{ZONE}([C-HJ-NP-X])[\s,;]*E?[\s:=]*(\d{{6}}(?:\.\d+)?)\s*M?\s*E?"
    r"[\s,;]+N?[\s:=]*(\d{1,8}(?:\.\d+)?)\s*M?\s*N?$"
)
MGRS = re.compile(r"^(?:MGRS[\s:]*)?(\d{1,2})\s*([A-Z])\s*([A-Z])([A-Z])((?:\s*\d)*)$")


def read(text: str) -> tuple[float, float] | None:
    """Return latitude and longitude in degrees; None for a text that is no grid position.

    After a UTM zone the letter is the band where the northing lies in it; S and N beyond it are
    read as hemispheres. Of an MGRS square its south-west corner comes back. Raises NotUnderstood
    for a position that does not exist, or a square above one kilometre.

    Source: NGA.STND.0037, "Universal Grids and Grid Reference Systems"; the projection by utm.
    """
    plain = " ".join(text.upper().split())
    if match := UTM.match(plain):
        return _utm(int(match[1]), match[2], float(match[3]), float(match[4]))
    if match := MGRS.match(plain):
        zone, band, square = int(match[1]), match[2], match[3] + match[4]
        digits = "".join(match[5].split())
        # "50 deg 44" is no square; "10 SEG 51 80" is one, though seg stands for segundos.
        if len(digits) >= LEAST_DIGITS or (band + square).lower() not in angles_text.WORDS:
            return _mgrs(zone, band, square, digits)
    return None


def show(point) -> str:
    """Return a point as a UTM position, zone and band first: "30U 462576 5620541"; "" at a pole.

    Source: as for ``read``; metres are cut off, not rounded, as grid references are.
    """
    try:
        found = utm.from_latlon(point.latitude_deg, point.longitude_deg)
    except OutOfRangeError:
        return ""
    easting_m, northing_m, zone, band = found
    return f"{zone}{band} {int(easting_m):06d} {int(northing_m):07d}"


def _utm(zone: int, letter: str, easting_m: float, northing_m: float) -> tuple[float, float]:
    point = _point(zone, easting_m, northing_m, northern=letter >= "N")
    if _in_band(point[0], letter, slack_deg=0.01):
        return point
    if letter not in "NS":
        raise NotUnderstood(
            _("The letter %(letter)s and the northing do not belong together: check both."),
            letter=letter,
        )
    return _point(zone, easting_m, northing_m, northern=letter == "N")


def _mgrs(zone: int, band: str, square: str, digits: str) -> tuple[float, float]:
    columns = COLUMNS[zone % 3]
    real = 1 <= zone <= 60 and band in BANDS
    if not real or square[0] not in columns or square[1] not in ROWS:
        raise _no_square(zone, band, square)
    half, odd = divmod(len(digits), 2)
    if odd or not LEAST_DIGITS <= len(digits) <= MOST_DIGITS:
        raise NotUnderstood(
            _("After the square come 4, 6, 8 or 10 digits, half of them for the easting.")
        )
    step_m = 10 ** (5 - half)
    easting_m = (columns.index(square[0]) + 1) * SQUARE_M + int(digits[:half]) * step_m
    row = (ROWS.index(square[1]) - (0 if zone % 2 else 5)) % len(ROWS)
    for turn in range(5):
        northing_m = row * SQUARE_M + int(digits[half:]) * step_m + turn * ROWS_M
        point = _point(zone, easting_m, northing_m, northern=band >= "N")
        if _in_band(point[0], band, slack_deg=SLACK_DEG):
            return point
    raise _no_square(zone, band, square)


def _no_square(zone: int, band: str, square: str) -> NotUnderstood:
    return NotUnderstood(
        _("There is no square %(square)s in %(zone)s: write it like 30U VB 62576 20541"),
        square=square,
        zone=f"{zone}{band}",
    )


def _in_band(latitude_deg: float, band: str, *, slack_deg: float) -> bool:
    south_deg = -80 + 8 * BANDS.index(band)
    north_deg = 84 if band == "X" else south_deg + 8
    return south_deg - slack_deg <= latitude_deg <= north_deg + slack_deg


def _point(
    zone: int, easting_m: float, northing_m: float, *, northern: bool
) -> tuple[float, float]:
    try:
        pair = utm.to_latlon(easting_m, northing_m, zone, northern=northern)
    except OutOfRangeError:
        raise NotUnderstood(
            _("There is no such UTM position: write zone, easting, northing: 30U 462576 5620541")
        ) from None
    return float(pair[0]), float(pair[1])  # where numpy is installed they are its own floats
