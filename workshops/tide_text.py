"""Rows of a tide table as people type them: "2027-05-08 17:40 6.4 high". Pure."""

import re
from dataclasses import dataclass
from datetime import datetime

from workshops.typed import NotUnderstood
from workshops.typed import gettext_noop as _

LONGEST = 10_000  # characters
ROW = re.compile(
    r"^(\d{4}-\d{1,2}-\d{1,2})[ T,]+(\d{1,2}):(\d{2})[ ,;]+(-?\d+(?:[.,]\d+)?)\s*m?"
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


def read(text: str) -> list[TideRow]:
    """Return the rows in order of time. A row without a word is high or low by its neighbours.

    Raises NotUnderstood naming the line.
    """
    if len(text) > LONGEST:
        raise NotUnderstood(_("That is too long for a tide table: enter the days of the workshop."))
    lines = [" ".join(line.split()) for line in text.splitlines()]
    found = sorted((_parts(line) for line in lines if line), key=lambda part: part[0])
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


def _parts(line: str) -> tuple[datetime, float, str, str]:
    match = ROW.match(line[:80])
    try:
        if not match:
            raise ValueError(line)
        at = datetime.strptime(f"{match[1]} {match[2]}:{match[3]}", "%Y-%m-%d %H:%M")  # noqa: DTZ007
        turn = TURNS[match[5].lower()] if match[5] else ""
    except (ValueError, KeyError):
        raise NotUnderstood(
            _("“%(line)s” cannot be read: enter a line like 2027-05-08 17:40 6.4 high"),
            line=line[:60],
        ) from None
    return at, float(match[4].replace(",", ".")), turn, line[:60]
