"""A file brought in, as it is read now: its table, what is not certain, what would happen."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache, partial
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from workshops.lists import decoding, headings, kit, people, person_values, reading
from workshops.lists.cells import cleaned
from workshops.lists.dates import DAY_FIRST, MONTH_FIRST, Orders, orders
from workshops.lists.outcome import Outcome, Plan, said
from workshops.lists.spoken import spoken
from workshops.models import House, ImportFile
from workshops.typed import NotUnderstood

DATES = ("birth_date",)
ADDRESS = re.compile(r"\w@\w+\.\w")  # an e-mail address is nobody's heading


@dataclass
class Preview:
    """What the page shows; ``fault`` says why the file cannot be read at all.

    ``open`` names what must be answered before anything is imported.
    """

    file: ImportFile
    headings: headings.Headings
    encodings: decoding.Encodings | None = None
    encoding: str = ""
    delimiters: reading.Delimiters | None = None
    delimiter: str = ""
    orders: Orders | None = None
    order: str = DAY_FIRST
    header: tuple[str, ...] = ()
    columns: tuple[str, ...] = ()
    above: int = 0
    plan: Plan = field(default_factory=lambda: Plan(()))
    fault: str = ""
    open: list[str] = field(default_factory=list)

    @property
    def ready(self) -> bool:
        return not self.fault and not self.open and self.plan.ready

    @property
    def not_read(self) -> list[str]:
        """The headings of columns that are left alone, being no heading we know."""
        pairs = zip(self.header, self._held(), strict=True)
        return [heading or _("no heading") for heading, held in pairs if held == ""]

    @property
    def second(self) -> list[str]:
        """Of each column whose heading names what another one is read as: which counts, and why."""
        sentence = _(
            "“%(second)s” is not read: “%(first)s” is read as %(field)s already. If it holds "
            "something else, choose below what."
        )
        found = []
        for heading, held in zip(self.header, self._held(), strict=True):
            if held:
                first = self.header[self.columns.index(held)]
                field = label(self.file.kind, held)
                found.append(sentence % {"second": heading, "first": first, "field": field})
        return found

    def _held(self) -> list[str | None]:
        """By column None where it is read, else the field another one is read as for it, or ""."""
        named = self.headings.named(self.header)
        pairs = zip(self.columns, named, strict=True)
        return [None if read else name if name in self.columns else "" for read, name in pairs]


@cache
def headings_of(kind: str) -> headings.Headings:
    """Return the headings of a kind of list, with the names the exports give them."""
    known = headings.kit if kind == ImportFile.Kind.KIT else headings.people
    return known.also({one: spoken(partial(label, kind, one)) for one in known.fields})


def label(kind: str, name: str) -> str:
    """Return a field's name as the pages call it."""
    return kit.label(name) if kind == ImportFile.Kind.KIT else person_values.label(name)


def preview(file: ImportFile, *, house: House, now: datetime) -> Preview:
    """Return how a file is read and what its import would do at this moment."""
    shown = Preview(file, headings_of(file.kind))
    try:
        table = _table(shown, bytes(file.content), file.reading)
    except NotUnderstood as fault:
        shown.fault = said(fault)
        return shown
    shown.header, shown.above = table.header, table.above
    shown.columns = _columns(shown, file.reading.get("columns"))
    today = now.astimezone(ZoneInfo(house.timezone_name)).date()
    _order(shown, table, file.reading, today, house)
    if shown.fault or _no_headings(shown):
        return shown
    planner = (kit.KitPlan if file.kind == ImportFile.Kind.KIT else people.PeoplePlan)(
        order=shown.order,
        today=today,
        now=now,
        language=house.language,
        workshop=file.workshop,
        answers=file.reading.get("answers"),
    )
    widths = {row.number: _width(row, table.header) for row in table.rows}
    rows = [(row.number, _by_field(row, shown.columns)) for row in table.rows]
    shown.plan = planner.plan(rows)
    for outcome in shown.plan.outcomes:
        _say_width(outcome, widths[outcome.row], len(table.header))
    return shown


def _table(shown: Preview, content: bytes, told: dict) -> reading.Table:
    shown.encodings = decoding.encodings(content)
    shown.encoding = told.get("encoding") or shown.encodings.best
    if not (shown.encodings.certain or told.get("encoding")):
        shown.open.append("encoding")
    text = decoding.decoded(content, shown.encoding)
    shown.delimiters = reading.delimiters(text, shown.headings.knows)
    shown.delimiter = told.get("delimiter") or shown.delimiters.best
    if not (shown.delimiters.certain or told.get("delimiter")):
        shown.open.append("delimiter")
    return reading.table(text, shown.delimiter, shown.headings.knows)


def _columns(shown: Preview, told: Sequence[str] | None) -> tuple[str, ...]:
    if told and len(told) == len(shown.header):
        return tuple(told)
    return shown.headings.columns(shown.header)


def _order(shown: Preview, table: reading.Table, told: dict, today, house: House) -> None:
    places = [place for place, name in enumerate(shown.columns) if name in DATES]
    texts = [
        cleaned(row.cells[place])
        for row in table.rows
        for place in places
        if place < len(row.cells)
    ]
    if not any(texts):
        return
    usual = MONTH_FIRST if house.units == House.Units.IMPERIAL else DAY_FIRST
    shown.orders = orders([text for text in texts if text], today=today, usual=usual)
    shown.order = told.get("order") or shown.orders.best
    if not (shown.orders.certain or told.get("order")):
        shown.open.append("order")


def _no_headings(shown: Preview) -> bool:
    """Say so where no column tells who or what a row is about."""
    named = set(shown.columns)
    wanted = {"kind", "tag"} if shown.file.kind == ImportFile.Kind.KIT else {"name", "email"}
    wanted |= {"first_name", "last_name", "number"} if "name" in wanted else set()
    if any(ADDRESS.search(heading) for heading in shown.header):
        shown.fault = _(
            "The first row looks like a person, not like headings: put a row of headings above "
            "it (Name; E-mail; Phone), and bring the file in again."
        )
    elif len(named - {""}) < len([one for one in shown.columns if one]):
        shown.fault = _("Two columns are read as the same thing: choose one of them below.")
    elif not named & wanted:
        shown.fault = _("No column is known as the name: choose below what each column holds.")
    return bool(shown.fault)


def _by_field(row: reading.Row, columns: tuple[str, ...]) -> dict[str, str]:
    return {name: cell for name, cell in zip(columns, row.cells, strict=False) if name}


def _width(row: reading.Row, header: tuple[str, ...]) -> int:
    """Return how many cells a row has; empty ones beyond the headings do not count."""
    beyond = any(cell.strip() for cell in row.cells[len(header) :])
    return len(row.cells) if beyond else min(len(row.cells), len(header))


def _say_width(outcome: Outcome, cells: int, headings_there: int) -> None:
    """Refuse a row whose cells may stand under the wrong headings; say where it is short."""
    if cells < headings_there:
        outcome.says.append(_("the row is short: cells missing at its end count as empty"))
    elif cells > headings_there:
        sentence = _(
            "The row has %(cells)d cells under %(headings)d headings: put quotation marks around "
            "a cell that holds the delimiter."
        )
        outcome.refuse(sentence % {"cells": cells, "headings": headings_there})
