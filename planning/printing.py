"""Set ids -> set sheets: what the command, the admin and the pages share."""

import time
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from django.core.exceptions import ValidationError
from django.utils.text import slugify

from planning import selectors
from planning.physics.errors import OutOfRange
from planning.plan import evaluate
from planning.plan.inputs import SetInputs
from planning.refused import in_words
from planning.sheets import pdf, store
from planning.sheets.options import PrintOptions
from planning.sheets.worker import Busy, SheetFailed

NAME_LETTERS = 60  # of a title in a file's name: short enough for any file system


class NotPrintable(Exception):
    """A set without a sheet, with the reason in words fit to show."""


@dataclass(frozen=True)
class Order:
    """A set that is to be printed, and how."""

    inputs: SetInputs
    options: PrintOptions

    @property
    def file_name(self) -> str:
        return file_name(self.inputs.set_index + 1, self.inputs.title)

    @cached_property
    def mark(self) -> str:
        """What its sheet is made of, as one word: another one when anything changes."""
        return store.mark("set sheet", (self.options, self.inputs))


@dataclass(frozen=True)
class Sheet:
    order: Order
    laid_out: pdf.LaidOut

    @property
    def file_name(self) -> str:
        return self.order.file_name


@dataclass(frozen=True)
class Printed:
    """How far the printing of several sets has come."""

    sheets: list[Sheet]
    missing: dict[int, str]  # by set, in words why
    left: int


def order_of(set_id: int, options: PrintOptions) -> Order:
    """Return what the sheet of a set is made of. Raises NotPrintable for one without a plan."""
    try:
        return Order(selectors.set_inputs(set_id), options)
    except ValidationError as refusal:
        raise NotPrintable(str(refusal)) from refusal


def sheet(order: Order) -> Sheet:
    """Return the laid-out sheet of one set; of unchanged inputs it is the stored one.

    Raises NotPrintable for a set without a plan, or one the renderer has a complaint about, and
    Busy while it cannot be told.
    """
    try:
        stored = store.kept(f"{order.mark}-sides", lambda: _laid_out(order).to_bytes())
    except Busy:
        raise
    except OutOfRange as refusal:
        say = order.options.figures(order.inputs.location.timezone)
        raise NotPrintable(in_words(refusal, say)) from refusal
    except SheetFailed as refusal:
        raise NotPrintable(str(refusal)) from refusal
    return Sheet(order, pdf.LaidOut.from_bytes(stored))


def _laid_out(order: Order) -> pdf.LaidOut:
    return pdf.lay_out(evaluate(order.inputs), order.inputs, order.options)


def sheet_of(set_id: int, options: PrintOptions) -> Sheet:
    """Return the laid-out sheet of one set, as ``sheet`` does."""
    return sheet(order_of(set_id, options))


def sheets_of(set_ids: Sequence[int], options: PrintOptions, *, for_s: float) -> Printed:
    """Lay out one set after the other for so long, and at least one; what is left says so.

    Raises Busy.
    """
    until_s = time.monotonic() + for_s
    sheets, missing = [], {}
    for number, set_id in enumerate(set_ids):
        if number and time.monotonic() > until_s:
            return Printed(sheets, missing, len(set_ids) - number)
        try:
            sheets.append(sheet_of(set_id, options))
        except NotPrintable as reason:
            missing[set_id] = str(reason)
    return Printed(sheets, missing, 0)


def file_name(number: int, title: str) -> str:
    """Return "set-1-slate-wall.pdf": letters, digits and hyphens whatever the title holds."""
    slug = slugify(title)[:NAME_LETTERS].strip("-_")
    return f"set-{number}-{slug}.pdf" if slug else f"set-{number}.pdf"


def bytes_of(sheets: Sequence[Sheet], options: PrintOptions) -> bytes:
    """Return one PDF of the sheets, each on a leaf of its own. Raises SheetFailed."""
    mark = pack_mark([one.order for one in sheets])
    return pdf.write([one.laid_out for one in sheets], options, mark=mark)


def pack_mark(orders: Sequence[Order]) -> str:
    """Return the mark of one file of these sets."""
    marks = [order.mark for order in orders]
    return marks[0] if len(marks) == 1 else store.mark("pack", marks)
