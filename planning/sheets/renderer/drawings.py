"""Texts of drawings: set in words, where WeasyPrint sets one letter after the other."""

import copy
from functools import lru_cache
from math import inf

from weasyprint.css.properties import INITIAL_VALUES
from weasyprint.matrix import Matrix
from weasyprint.svg import utils
from weasyprint.svg.bounding_box import EMPTY_BOUNDING_BOX
from weasyprint.svg.text import Style, TextBox
from weasyprint.svg.text import text as text_in_letters
from weasyprint.svg.utils import size

from planning.sheets.renderer import words
from planning.sheets.renderer.lines import split_first_line

# All that our drawings say of a text (planning/drawings/svg.py).
SAID = {"x", "y", "font-family", "font-size", "font-weight"}
XMLNS = "{http://www.w3.org/2000/xmlns/}xmlns"  # the parser of HTML hands it down
STYLES_KEPT = 64
SAID_KEPT = 500


def text(drawing, node, font_size) -> None:
    """Draw a text of a drawing in one go: with its kerning, and to be read out as words."""
    if not node.text or not node.attrib.keys() <= {*SAID, XMLNS}:
        node.text_bounding_box = EMPTY_BOUNDING_BOX
        text_in_letters(drawing, node, font_size)
        return
    style = _style(node.get("font-family"), font_size, node.get("font-weight"))
    style.font_config = drawing.font_config
    layout, _, _, width, height, baseline = split_first_line(
        node.text, style, drawing.context, inf, 0
    )
    x = size(node.get("x"), font_size, drawing.inner_width)
    y = size(node.get("y"), font_size, drawing.inner_height)
    drawing.cursor_position = x + width, y
    node.text_bounding_box = (x, y - baseline, width, height)
    box = TextBox(layout, style)
    box.baseline = baseline
    drawing.stream.push_state()
    fill, stroke = drawing.set_graphical_state(node, font_size)
    drawing.stream.begin_text()
    drawing.fill_stroke(fill, stroke, text=True)
    words.show(drawing.stream, box, Matrix(d=-1, e=x, f=y))
    drawing.stream.end_text()
    drawing.stream.pop_state()


normalize = lru_cache(SAID_KEPT)(utils.normalize)
_color = lru_cache(SAID_KEPT)(utils.color)


def color(said: str):
    """Return the colour of these words, as WeasyPrint's does: who asked may change it."""
    return copy.copy(_color(said))


@lru_cache(STYLES_KEPT)
def _style(family: str, font_size: float, weight: str) -> Style:
    style = Style(INITIAL_VALUES)
    style["font_family"] = [name.strip("\"' ") for name in family.split(",")]
    style["font_size"] = font_size
    style["font_weight"] = int(weight)
    return style
