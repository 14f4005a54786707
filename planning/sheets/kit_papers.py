"""Papers about the kit, as PDF bytes: labels to stick on, and the list to sign at the briefing."""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.sheets import labels, pdf
from planning.sheets.labels import Label, LabelFormat
from planning.sheets.options import PrintOptions

FREE_LINES = 4  # for what is handed out beyond the list


@dataclass(frozen=True)
class SignOutLine:
    """A unit of the kit list, and who has it or is booked with it."""

    tag: str
    kind: str
    person: str
    condition: str


def labels_pdf(
    units: Sequence[Label], form: LabelFormat, options: PrintOptions, *, first: int, phone: str
) -> bytes:
    """Return the labels on as many sheets as they take, the first begun at label ``first``.

    Raises SheetFailed when the renderer has a complaint.
    """
    context = {
        "form": form,
        "edge_mm": labels.EDGE_MM,
        "words_height_mm": form.height_mm - 2 * labels.EDGE_MM,
        "paper_height_mm": form.paper_mm[1] - labels.LAST_MM,
        "sheets": list(labels.sheets(units, form, first=first, house=options.house, phone=phone)),
    }
    return pdf.one_sided_pdf("sheets/labels.html", "sheets/labels.css", context, options)


def sign_out_pdf(
    rows: Sequence[SignOutLine], options: PrintOptions, *, title: str, lead: str, foot: str
) -> bytes:
    """Return the list to sign, each unit with a line. Raises SheetFailed as ``labels_pdf``."""
    context = {"rows": rows, "title": title, "lead": lead, "foot": foot}
    context["free"] = range(FREE_LINES)
    return pdf.one_sided_pdf("sheets/sign_out.html", "sheets/sign_out.css", context, options)
