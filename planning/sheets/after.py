"""The after report: planned against actual, what happened, and what was left unnoted."""

from planning.after_day import ComparedDay
from planning.report import report
from planning.report_drawings import drawings
from planning.sheets import pdf
from planning.sheets.options import PrintOptions
from planning.sheets.pages import in_language

GAP_MM = 6.0  # between two drawings side by side
ENOUGH_PAGES = 2  # one leaf: longer reports are set closer, where that saves a page


def after_pdf(found: ComparedDay, options: PrintOptions, *, dates: str) -> bytes:
    """Return the report. Raises SheetFailed when the renderer has a complaint."""
    say = options.figures(found.timezone)
    width_mm = (options.text_width_mm - GAP_MM) / 2
    with in_language(options):
        shown = report(found.day, say, [options.figures(zone) for zone in found.zones])
        drawn = drawings(found.day, say, width_mm=width_mm)
    if not any(one.continued for one in drawn):
        drawn.sort(key=lambda one: one.height_mm)  # those side by side are about as high
    pairs = [drawn[number : number + 2] for number in range(0, len(drawn), 2)]
    leaf = {"report": shown, "pairs": pairs, "title": found.title, "dates": dates}
    return pdf.leaves_pdf("sheets/after.html", [leaf], options, sides=ENOUGH_PAGES)
