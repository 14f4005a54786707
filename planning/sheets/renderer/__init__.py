"""What the renderer works out again and again, worked out once.

Written for the pinned version of WeasyPrint, whose functions are changed for ours here and nowhere
else. They answer the same: ``tests/sheets/test_renderer.py`` prints papers with and without them
and compares the bytes. Four differ on purpose: texts of drawings are set in words, with their
kerning, where WeasyPrint sets one letter after the other; a page is drawn by itself, whatever else
is in its file, so that it is the same in every file; two columns end with what they hold, where
WeasyPrint may go a step too far; and files are packed a little less hard.
"""

import pydyf
from weasyprint import document, draw, svg
from weasyprint.css import StyleFor
from weasyprint.layout import absolute, block, column, float, inline, page, preferred, table
from weasyprint.pdf import fonts, stream
from weasyprint.text import line_break

from planning.sheets.renderer import (
    cascade,
    columns,
    drawings,
    faces,
    files,
    lengths,
    lines,
    pages,
    typesetting,
    words,
)

MEASURERS = (absolute, block, column, float, inline, page, table)


def install() -> None:
    """Put our functions in the place of WeasyPrint's."""
    line_break.Layout.setup = typesetting.setup
    inline.strut = typesetting.strut
    StyleFor.__init__ = cascade.style_for
    inline.split_first_line = preferred.split_first_line = lines.split_first_line
    for module in MEASURERS:
        module.resolve_percentages = lengths.resolve_percentages
    block.block_box_layout = columns.block_box_layout
    column.sum = columns.sum_to_balance
    fonts.Font.clean = faces.clean
    draw.draw_text = words.draw_text
    stream.Stream.add_font = words.add_font
    pydyf._to_bytes = files.to_bytes
    pydyf.Stream.data = property(files.stream_data)
    svg.TAGS["text"] = drawings.text
    svg.color, svg.normalize = drawings.color, drawings.normalize
    document.Page.paint = pages.paint
