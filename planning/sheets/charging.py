"""The charge plan as PDF bytes: one page to hang beside the chargers."""

from planning.charging import Charging
from planning.figures import Figures
from planning.sheets import pdf
from planning.sheets.options import PrintOptions


def charging_pdf(
    charging: Charging, options: PrintOptions, say: Figures, *, title: str, foot: str
) -> bytes:
    """Return the page. Raises SheetFailed when the renderer has a complaint."""
    context = {"charging": charging, "say": say, "title": title, "foot": foot}
    return pdf.one_sided_pdf("sheets/charging.html", "sheets/paper.css", context, options)
