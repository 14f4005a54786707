"""The light of a season at a place: one leaf, the chart and the best dates."""

from collections.abc import Sequence
from math import ceil

from planning.drawings.labels import text_width_mm
from planning.lesson.season import SeasonDay, WantedSun
from planning.season import ShownSeason, season_drawing, season_words
from planning.sheets import pdf
from planning.sheets.options import PAPERS, SIDE_MM, PrintOptions
from planning.sheets.pages import in_language

MARGINS_MM = 27.0  # above and below, of paper.css
WORDS_MM = 54.0  # heading, what to mind, the head of the table, air
LINE_MM = 4.6  # of words
ROW_MM = 6.0  # of the table
TYPE_MM = 3.7
SPANS_MM = 36.0  # across, in the table


def season_pdf(
    days: Sequence[SeasonDay],
    wanted: WantedSun,
    options: PrintOptions,
    *,
    place: str,
    timezone: str,
    has_horizon: bool,
) -> bytes:
    """Return one leaf. Raises SheetFailed when the renderer has a complaint."""
    _name, width_mm, height_mm = PAPERS[options.paper]
    across_mm = width_mm - 2 * SIDE_MM
    say = options.figures(timezone)
    with in_language(options):
        shown = season_words(days, wanted, say, has_horizon=has_horizon)
        left_mm = height_mm - MARGINS_MM - WORDS_MM - _words_mm(shown, across_mm)
        context = {
            "season": shown,
            "drawing": season_drawing(days, say, width_mm=across_mm, height_mm=left_mm),
            "place": place,
            "timezone": timezone,
            "say": say,
        }
        return pdf.one_sided_pdf("sheets/season.html", "sheets/paper.css", context, options)


def _words_mm(shown: ShownSeason, across_mm: float) -> float:
    """Return the height of what differs from season to season: the runs, the best dates."""
    runs = "; ".join(shown.runs) + shown.horizon
    lines = ceil(text_width_mm(runs, TYPE_MM) / across_mm)
    rows_mm = 0.0
    for pair in shown.best_pairs:
        longest_mm = max(text_width_mm(line.few_spans, TYPE_MM) for line in pair if line)
        rows_mm += ROW_MM + LINE_MM * (ceil(longest_mm / SPANS_MM) - 1)
    return lines * LINE_MM + rows_mm
