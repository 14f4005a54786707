"""Set ids -> set sheets: what the command and the back room share."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.utils.text import slugify

from planning import selectors
from planning.physics.errors import OutOfRange
from planning.plan import evaluate
from planning.refused import in_words
from planning.sheets import pdf
from planning.sheets.options import PrintOptions

NAME_LETTERS = 60  # of a title in a file's name: short enough for any file system


class NotPrintable(Exception):
    """A set without a sheet, with the reason in words fit to show."""


@dataclass(frozen=True)
class Sheet:
    file_name: str
    laid_out: pdf.LaidOut


def sheet_of(set_id: int, options: PrintOptions) -> Sheet:
    """Return the laid-out sheet of one set.

    Raises NotPrintable for a set without a plan, or one the renderer has a complaint about.
    """
    try:
        inputs = selectors.set_inputs(set_id)
        laid_out = pdf.lay_out(evaluate(inputs), inputs, options)
    except OutOfRange as refusal:
        say = options.figures(inputs.location.timezone)
        raise NotPrintable(in_words(refusal, say)) from refusal
    except (ValidationError, pdf.SheetFailed) as refusal:
        raise NotPrintable(str(refusal)) from refusal
    name = file_name(inputs.set_index + 1, inputs.title)
    return Sheet(name, laid_out)


def file_name(number: int, title: str) -> str:
    """Return "set-1-slate-wall.pdf": letters, digits and hyphens whatever the title holds."""
    slug = slugify(title)[:NAME_LETTERS].strip("-_")
    return f"set-{number}-{slug}.pdf" if slug else f"set-{number}.pdf"


def bytes_of(sheets: Sequence[Sheet], options: PrintOptions) -> bytes:
    """Return one PDF of the sheets, each on a leaf of its own."""
    return pdf.write([sheet.laid_out for sheet in sheets], options)
