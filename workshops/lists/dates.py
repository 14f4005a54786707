"""Dates as people write them, and the order of day, month and year in a column. Pure."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from workshops.typed import NotUnderstood
from workshops.typed import gettext_noop as _

DAY_FIRST, MONTH_FIRST, YEAR_FIRST = ORDERS = ("day", "month", "year")
_PLACES = {DAY_FIRST: (2, 1, 0), MONTH_FIRST: (2, 0, 1), YEAR_FIRST: (0, 1, 2)}
_NUMBERS = re.compile(r"(\d{1,4})\s*[-/. ]\s*(\d{1,2})\s*[-/. ]\s*(\d{1,4})")
_COMPACT = re.compile(r"(\d{4})(\d\d)(\d\d)")  # ISO 8601, basic format
_MIDNIGHT = re.compile(r"[T ]0?0:00(:00)?(\.0+)?Z?$")
_MONTHS = (
    "jan january ene enero", "feb february febrero", "mar march marzo", "apr april abr abril",
    "may mayo", "jun june junio", "jul july julio", "aug august ago agosto",
    "sep sept september septiembre setiembre", "oct october octubre", "nov november noviembre",
    "dec december dic diciembre",
)  # fmt: skip
MONTHS = {word: month for month, words in enumerate(_MONTHS, 1) for word in words.split()}
_EARLIEST = 1900


@dataclass(frozen=True)
class Orders:
    """The orders that read a column's dates, the likeliest first."""

    choices: tuple[str, ...]
    certain: bool
    sample: str = ""  # a date that the orders read differently, and what each makes of it
    reads: Mapping[str, date] = field(default_factory=dict)

    @property
    def best(self) -> str:
        return self.choices[0]


def orders(texts: Iterable[str], *, today: date, usual: str = DAY_FIRST) -> Orders:
    """Return in which order the dates of a column may stand; ``usual`` wins a tie.

    Certain when all orders that read every date read the same from it: 25/12/2008 settles it,
    03/04/2008 does not. What is no date in any order says nothing.
    """
    read, sample = [], None
    for text in texts:
        ways = {order: _read(text, order, today) for order in ORDERS}
        if any(ways.values()):
            read.append(ways)
            days = {order: day for order, day in ways.items() if day}
            if len(set(days.values())) > 1:
                sample = sample or (text, days)
    fits = {order: sum(bool(ways[order]) for ways in read) for order in ORDERS}
    choices = sorted(ORDERS, key=lambda order: (-fits[order], order != usual))
    all_fit = [order for order in choices if fits[order] == len(read)]
    apart = {tuple(ways[order] for ways in read) for order in all_fit}
    certain = not read or len(apart) == 1
    return Orders(tuple(choices), certain, *(sample or ()))


def read_date(text: str, order: str, *, today: date) -> date:
    """Return the date of a birth, in years of two digits one of the last hundred years.

    Raises NotUnderstood for what is no such day.
    """
    if found := _read(text, order, today):
        return found
    if re.fullmatch(r"\d{5}([.,]\d+)?", text):
        raise NotUnderstood(
            _(
                "%(typed)s is a spreadsheet's day number: format the column as dates, such as "
                "2008-12-25, and save it again"
            ),
            typed=text,
        )
    raise NotUnderstood(
        _("%(typed)s is no day between 1900 and today: write it like 2008-12-25"),
        typed=f"“{text[:40]}”",
    )


def _read(text: str, order: str, today: date) -> date | None:
    parts = _parts(_MIDNIGHT.sub("", text.strip()))
    if parts is None:
        return None
    year, month, day = _sorted(parts, order)
    if len(year) not in (2, 4) or len(month) > 2 or len(day) > 2:
        return None
    number = int(year)
    if len(year) == 2:
        number += today.year - today.year % 100
        number -= 100 if number > today.year else 0
    try:
        found = date(number, int(month), int(day))
    except ValueError:
        return None
    return found if found.year >= _EARLIEST and found <= today else None


def _sorted(parts: tuple[str, str, str], order: str) -> tuple[str, str, str]:
    # Four digits can only be the year, wherever it stands.
    if len(parts[0]) == 4:
        order = YEAR_FIRST
    elif len(parts[2]) == 4 and order == YEAR_FIRST:
        return "", "", ""
    return tuple(parts[place] for place in _PLACES[order])


def _parts(text: str) -> tuple[str, str, str] | None:
    if found := _COMPACT.fullmatch(text) or _NUMBERS.fullmatch(text):
        return found.groups()
    words = [word for word in re.split(r"[\s,./-]+", text.casefold()) if word not in ("", "de")]
    words = [re.sub(r"(?<=\d)(st|nd|rd|th)$", "", word) for word in words]
    months = [word for word in words if word in MONTHS]
    numbers = [word for word in words if word.isascii() and word.isdigit()]
    if len(words) != 3 or len(months) != 1 or len(numbers) != 2:
        return None
    day, year = numbers if len(numbers[0]) < 3 else reversed(numbers)
    return (year, str(MONTHS[months[0]]), day) if len(year) == 4 else None
