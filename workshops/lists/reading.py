"""A file's text as a table: the delimiter, the headings, the rows. Pure: no Django."""

import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from workshops.typed import NotUnderstood
from workshops.typed import gettext_noop as _

MOST_BYTES = 5 * 1024 * 1024
MOST_ROWS = 5000
MOST_COLUMNS = 200
DELIMITERS = (",", ";", "\t", "|")
HEADINGS_WITHIN = 10  # rows from the top in which headings are looked for
LOOKED_AT = 200_000  # characters from which the delimiter is told
END = "\x00"  # stands in no text, so it can mark the end of one

Knows = Callable[[Sequence[str]], int]  # how many of these are headings we know


@dataclass(frozen=True)
class Row:
    """One row under the headings, numbered as a spreadsheet does: the first row is 1."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """Headings and rows; ``above`` counts the rows before the headings."""

    header: tuple[str, ...]
    rows: tuple[Row, ...]
    above: int = 0


@dataclass(frozen=True)
class Delimiters:
    """The delimiters that part the headings, the likeliest first."""

    choices: tuple[str, ...]
    certain: bool

    @property
    def best(self) -> str:
        return self.choices[0]


def delimiters(text: str, knows: Knows) -> Delimiters:
    """Return what may stand between the cells.

    Certain when one delimiter alone parts the first rows, or alone makes two headings we know.
    """
    if told := _told(text):
        return Delimiters((told,), certain=True)
    start = text[:LOOKED_AT]
    known, widths = {}, {}
    for one in DELIMITERS:
        rows = [row for row in _records(start, one, checked=False) if any(row)]
        known[one] = max((knows(row) for row in rows[:HEADINGS_WITHIN]), default=0)
        widths[one] = max((len(row) for row in rows), default=0)
    order = sorted(DELIMITERS, key=lambda one: (-known[one], -widths[one]))
    able = [one for one in order if widths[one] > 1] or order[:1]
    alone = len([one for one in able if known[one] > 1]) == 1
    return Delimiters(tuple(able), certain=len(able) == 1 or alone)


def table(
    text: str,
    delimiter: str,
    knows: Knows,
    *,
    most_rows: int = MOST_ROWS,
    most_columns: int = MOST_COLUMNS,
) -> Table:
    """Return the headings and the rows below them; blank rows are left out.

    Raises NotUnderstood for no rows, too many, or a quotation mark that is never closed.
    Source: RFC 4180; line ends of every system, and a first line "sep=;" as spreadsheets write it.
    """
    records = _records(text, delimiter, checked=True)
    start = 1 if _told(text) else 0
    filled = [
        Row(number, tuple(row))
        for number, row in enumerate(records[start:], start=start + 1)
        if any(cell.strip() for cell in row)
    ]
    if not filled:
        raise NotUnderstood(_("The file is empty: bring in one with headings and rows."))
    tops = filled[:HEADINGS_WITHIN]
    most = max(knows(row.cells) for row in tops)
    place = next(i for i, row in enumerate(tops) if knows(row.cells) == most) if most > 1 else 0
    header, rows = filled[place].cells, filled[place + 1 :]
    if not rows:
        raise NotUnderstood(_("The file has headings, but no row below them."))
    if len(rows) > most_rows:
        raise NotUnderstood(
            _("The file has %(rows)d rows: bring in at most %(most)d at a time, in parts."),
            rows=len(rows),
            most=most_rows,
        )
    header = header[: max(_width(header), *(_width(row.cells[: len(header)]) for row in rows))]
    if len(header) > most_columns:
        raise NotUnderstood(
            _("The file has %(columns)d columns: leave out what is not about the list."),
            columns=len(header),
        )
    return Table(tuple(one.strip() for one in header), tuple(rows), above=place)


def _width(cells: Sequence[str]) -> int:
    """Return how many cells there are up to the last that says something."""
    width = len(cells)
    while width and not cells[width - 1].strip():
        width -= 1
    return width


def _told(text: str) -> str:
    first = text.split("\n", 1)[0].strip("\r\"' ")
    return first[4] if len(first) == 5 and first.lower().startswith("sep=") else ""


def _records(text: str, delimiter: str, *, checked: bool) -> list[list[str]]:
    """Return the rows; where they are ``checked``, raise NotUnderstood for what is torn."""
    if not text.endswith(("\n", "\r")):
        text += "\n"
    source = io.StringIO(text + END, newline="")
    reader, records, line = csv.reader(source, delimiter=delimiter), [], 0
    try:
        for record in reader:
            records.append(record)
            last, line = line, reader.line_num
    except csv.Error:
        if not checked:
            return records
        raise NotUnderstood(
            _("Line %(line)d holds more than fits into a cell: is a quotation mark left open?"),
            line=line + 1,
        ) from None
    # An open quotation mark swallows the mark of the end.
    if records.pop() != [END] and checked:
        raise NotUnderstood(
            _("A quotation mark opened in or after line %(line)d is never closed: close it."),
            line=last + 1,
        )
    return records
