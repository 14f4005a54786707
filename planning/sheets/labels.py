"""Labels of units -> where each stands on its sheet, how large its words are: their PDF."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _

from planning.drawings.code import code
from planning.sheets import pdf
from planning.sheets.letters import printable
from planning.sheets.options import PrintOptions

EDGE_MM = 1.2  # kept free inside a label: printers are out by a millimetre
LARGEST_TAG_MM = 9.0
LETTER_SHARE = 0.64  # of its height: how wide a capital or a digit of the heavy type is, about
SMALL_SHARE = 0.54  # the same for the light type
LINE = 1.12  # height of a line against its letters
GAP_MM = 0.3  # between one text and the next
SMALL_MM = (1.9, 4.4)  # letters of all but the tag: by the height of the label between these
SMALL_OF_HEIGHT = 0.09
LAST_MM = 0.1  # the last sheet's box stays so much shorter, or its edge would open a page more


@dataclass(frozen=True)
class Label:
    """What one label says."""

    address: str
    tag: str
    kind: str


@dataclass(frozen=True)
class LabelFormat:
    """A sheet of labels by its measures, row by row from the top left."""

    paper_mm: tuple[float, float]
    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    column_step_mm: float
    row_step_mm: float

    @property
    def count(self) -> int:
        return self.columns * self.rows

    def cell(self, index: int) -> tuple[float, float]:
        """Return left and top of a label from the paper's edges; 0 is the first of the sheet."""
        row, column = divmod(index, self.columns)
        return (
            self.left_mm + column * self.column_step_mm,
            self.top_mm + row * self.row_step_mm,
        )


@dataclass(frozen=True)
class Line:
    """One text of a label: its letters so high, on so many lines at the most."""

    text: str
    size_mm: float
    heavy: bool = False


@dataclass(frozen=True)
class Placed:
    """One label where it stands on the paper."""

    left_mm: float
    top_mm: float
    picture: str  # SVG
    picture_mm: float
    words_left_mm: float
    words_top_mm: float
    words_width_mm: float
    words_height_mm: float
    lines: list[Line]


def labels_pdf(
    units: Sequence[Label], form: LabelFormat, options: PrintOptions, *, first: int, phone: str
) -> bytes:
    """Return the labels on as many sheets as they take, the first begun at label ``first``.

    Raises SheetFailed when the renderer has a complaint.
    """
    context = {
        "form": form,
        "edge_mm": EDGE_MM,
        "paper_height_mm": form.paper_mm[1] - LAST_MM,
        "sheets": list(sheets(units, form, first=first, house=options.house, phone=phone)),
    }
    return pdf.one_sided_pdf("sheets/labels.html", "sheets/labels.css", context, options)


def sheets(
    labels: Sequence[Label], form: LabelFormat, *, first: int, house: str, phone: str
) -> Iterator[list[Placed]]:
    """Yield the labels of each sheet; ``first`` is the label of the first sheet to begin with."""
    gone = first - 1
    for start in range(-gone, len(labels), form.count):
        rows = range(max(0, start), min(len(labels), start + form.count))
        yield [_placed(labels[n], form, n - start, house, phone) for n in rows]


def _placed(label: Label, form: LabelFormat, index: int, house: str, phone: str) -> Placed:
    left_mm, top_mm = form.cell(index)
    side_mm = min(form.height_mm - 2 * EDGE_MM, form.width_mm * 0.5)
    words_left_mm = EDGE_MM + side_mm
    words_mm = form.width_mm - words_left_mm - EDGE_MM
    drawn = code(label.address, side_mm, _("Code of %(tag)s") % {"tag": printable(label.tag)})
    high_mm = form.height_mm - 2 * EDGE_MM
    lines = _lines(label, words_mm, high_mm, house, phone)
    down_mm = max(0.0, (side_mm - _height_mm(lines, words_mm)) / 2)  # its middle at the code's
    return Placed(
        left_mm=left_mm,
        top_mm=top_mm,
        picture=mark_safe(drawn),  # the drawing escapes its title
        picture_mm=side_mm,
        words_left_mm=words_left_mm,
        words_top_mm=EDGE_MM + down_mm,
        words_width_mm=words_mm,
        words_height_mm=high_mm - down_mm,
        lines=lines,
    )


def _lines(label: Label, wide_mm: float, high_mm: float, house: str, phone: str) -> list[Line]:
    """Return the words of a label, each as large as its width and its share of the height let."""
    least_mm, most_mm = SMALL_MM
    small_mm = min(most_mm, max(least_mm, high_mm * SMALL_OF_HEIGHT))
    tag_mm = _fitting(label.tag, wide_mm, min(LARGEST_TAG_MM, high_mm * 0.3), LETTER_SHARE)
    lines = [Line(label.tag, max(tag_mm, small_mm), heavy=True)]
    across = int(wide_mm / (small_mm * SMALL_SHARE))
    lines.append(Line(_cut(label.kind, 2 * across), small_mm))
    if house:
        lines.append(Line(_cut(house, 2 * across), small_mm))
    if phone:
        lines.append(Line(_("If found:"), small_mm))
        lines.append(Line(phone, max(1.6, _fitting(phone, wide_mm, small_mm * 1.15, SMALL_SHARE))))
    return lines


def _height_mm(lines: Sequence[Line], wide_mm: float) -> float:
    """Return how high the words stand, about: never less than they take."""
    return sum(
        _rows(line, wide_mm) * line.size_mm * (1.0 if line.heavy else LINE) + GAP_MM
        for line in lines
    )


def _rows(line: Line, wide_mm: float) -> int:
    share = LETTER_SHARE if line.heavy else SMALL_SHARE
    return math.ceil(len(line.text) * line.size_mm * share / wide_mm - 1e-6)


def _fitting(text: str, wide_mm: float, most_mm: float, share: float) -> float:
    """Return how high letters may be for a text to stand on one line."""
    return min(most_mm, wide_mm / (max(1, len(text)) * share))


def _cut(text: str, letters: int) -> str:
    line = " ".join(text.split())
    return line if len(line) <= letters else line[: max(1, letters - 1)].rstrip() + "…"
