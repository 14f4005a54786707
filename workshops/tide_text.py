"""Rows of a tide table as people type them: "2027-05-08 17:40 6.4 high". Pure."""

import re
from dataclasses import dataclass
from datetime import datetime

from workshops import units
from workshops.typed import NotUnderstood
from workshops.typed import gettext_noop as _

LONGEST = 10_000  # characters
YEARS = (1900, 2200)  # beyond, somebody has mistyped
MOST_M = 20.0  # of a tide above or below its datum, as the record allows
ROW = re.compile(
    r"^(\d{4}-\d{1,2}-\d{1,2})[ T,]+(\d{1,2}):(\d{2})[ ,;]+([+-]?\d+(?:[.,]\d+)?\s*(?:m|ft)?)"
    r"(?:[ ,;]+([A-Za-z]+))?$"
)
TURNS = {
    **dict.fromkeys(("high", "h", "hw", "pleamar"), "high"),
    **dict.fromkeys(("low", "l", "lw", "bajamar"), "low"),
}


@dataclass(frozen=True)
class TideRow:
    at: datetime  # naive: on the clock of the place
    height_m: float
    turn: str  # high, low


def read(text: str, *, imperial: bool = False) -> list[TideRow]:
    """Return the rows in order of time. A row without a word is high or low by its neighbours.

    A height without its unit is in metres, in feet if ``imperial``. Raises NotUnderstood naming
    the line.
    """
    if len(text) > LONGEST:
        raise NotUnderstood(_("That is too long for a tide table: enter the days of the workshop."))
    lines = [" ".join(line.split()) for line in text.splitlines()]
    found = sorted((_parts(line, imperial) for line in lines if line), key=lambda part: part[0])
    rows = []
    for index, (at, height_m, turn, line) in enumerate(found):
        if index and found[index - 1][0] == at:
            raise NotUnderstood(_("“%(line)s”: that time stands there twice."), line=line)
        others = [found[near][1] for near in (index - 1, index + 1) if 0 <= near < len(found)]
        if not turn and not others:
            raise NotUnderstood(_("“%(line)s”: say whether it is high or low."), line=line)
        told = turn or ("high" if height_m > max(others) else "low")
        rows.append(TideRow(at, height_m, told))
    return rows


def _parts(line: str, imperial: bool) -> tuple[datetime, float, str, str]:
    match = ROW.match(line[:80])
    try:
        if not match:
            raise ValueError(line)
        at = datetime.strptime(f"{match[1]} {match[2]}:{match[3]}", "%Y-%m-%d %H:%M")  # noqa: DTZ007
        turn = TURNS[match[5].lower()] if match[5] else ""
        height_m = units.read(match[4], units.LENGTH, imperial=imperial)
    except (ValueError, KeyError):
        raise NotUnderstood(
            _("“%(line)s” cannot be read: enter a line like 2027-05-08 17:40 6.4 high"),
            line=line[:60],
        ) from None
    if abs(height_m) > MOST_M:
        raise NotUnderstood(
            _("“%(line)s”: no tide is that high or low; look at the height again."), line=line[:60]
        )
    if not YEARS[0] <= at.year <= YEARS[1]:
        raise NotUnderstood(_("“%(line)s”: look at the year again."), line=line[:60])
    return at, height_m, turn, line[:60]
