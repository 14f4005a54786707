"""A table as CSV and as a workbook, safe to open in any spreadsheet. Pure: no Django."""

import csv
import io
from collections.abc import Iterable, Sequence

from xlsxwriter import Workbook

from workshops.lists.cells import guarded

Cell = str | int | float | None
MOST_IN_A_CELL = 32_767  # characters, by the workbook's file format


def as_csv(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """Return a CSV file: RFC 4180, UTF-8 with a byte order mark, every text in quotation marks.

    Numbers stay numbers; a text that a spreadsheet might run gets an apostrophe in front.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, quoting=csv.QUOTE_NONNUMERIC, lineterminator="\r\n")
    writer.writerow([guarded(str(one)) for one in header])
    writer.writerows([[_safe(cell) for cell in row] for row in rows])
    return text.getvalue().encode("utf-8-sig")


def as_xlsx(title: str, header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """Return a workbook of one sheet: no formulas, no links, headings that stay in sight."""
    return as_workbook([(title, header, rows)])


def as_workbook(sheets: Iterable[tuple[str, Sequence[str], Iterable[Sequence[Cell]]]]) -> bytes:
    """Return a workbook of several sheets, each as ``as_xlsx`` writes it; titles differ."""
    file = io.BytesIO()
    options = {
        "constant_memory": True,
        "in_memory": False,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    with Workbook(file, options) as book:
        bold = book.add_format({"bold": True})
        for title, header, rows in sheets:
            _write_sheet(book.add_worksheet(_sheet_name(title)), header, rows, bold)
    return file.getvalue()


def _write_sheet(sheet, header: Sequence[str], rows: Iterable[Sequence[Cell]], bold) -> None:
    sheet.freeze_panes(1, 0)
    for column, heading in enumerate(header):
        sheet.set_column(column, column, max(12, min(len(heading) + 2, 30)))
        sheet.write_string(0, column, guarded(str(heading)), bold)
    for number, row in enumerate(rows, start=1):
        for column, cell in enumerate(row):
            value = _safe(cell)
            if isinstance(value, str):
                sheet.write_string(number, column, value[:MOST_IN_A_CELL])
            else:
                sheet.write_number(number, column, value)


def _safe(cell: Cell) -> str | int | float:
    if cell is None:
        return ""
    return cell if isinstance(cell, int | float) else guarded(str(cell))


def _sheet_name(title: str) -> str:
    plain = "".join(one for one in title if one not in "[]:*?/\\").strip("' ")
    return plain[:31] or "List"
