"""Lines of text: headings stand on every sheet, and a cell is measured before it has its place."""

import math
import sys

from weasyprint.text import line_break

LINES_KEPT = 8000  # a kilobyte each
# WeasyPrint sets all that follows to see where a line ends, whenever a word is longer than the line
# or a cell's least width is that of its widest letter: some letters more than the line are enough.
LETTERS = 32
LETTERS_AN_EM = 16  # four times what WeasyPrint itself takes for a lot
SOFT_HYPHEN = "\N{SOFT HYPHEN}"
# What a line looks like, and where it may break, depends on these and on nothing else.
PROPERTIES = (
    "font_family", "font_size", "font_style", "font_stretch", "font_weight", "font_kerning",
    "font_variant_ligatures", "font_variant_position", "font_variant_caps",
    "font_variant_numeric", "font_variant_alternates", "font_variant_east_asian",
    "font_feature_settings", "font_variation_settings", "font_language_override", "lang",
    "direction", "letter_spacing", "word_spacing", "white_space", "overflow_wrap", "word_break",
    "hyphens", "hyphenate_character", "hyphenate_limit_chars", "hyphenate_limit_zone", "tab_size",
    "text_decoration_line",
)  # fmt: skip

_lines: dict[tuple, tuple] = {}
_looks: dict[str, int] = {}


def split_first_line(
    text, style, context, max_width, justification_spacing, is_line_start=True, minimum=False
):
    """Return the layout and the measures of what fits on the first line, as WeasyPrint's does."""
    if max_width is not None and len(text) > LETTERS and begins_alike(style):
        begun = text[: _enough(max_width, style)]
        if len(begun) < len(text) and SOFT_HYPHEN not in text:
            first = split_first_line(
                begun, style, context, max_width, justification_spacing, is_line_start, minimum
            )
            if first[2] is not None and first[2] < len(begun) / 2:
                return first
    asked = (text, max_width, justification_spacing, is_line_start, minimum)
    key = (looks(style), *asked)
    if key not in _lines:
        if len(_lines) >= LINES_KEPT:
            _lines.clear()
        _lines[key] = line_break.split_first_line(
            text, style, context, max_width, justification_spacing, is_line_start, minimum
        )
    layout, *measures = _lines[key]
    own = object.__new__(type(layout))  # asleep: who draws it wakes it up in a style of its own
    vars(own).update(vars(layout))
    return own, *measures


def begins_alike(style) -> bool:
    """Return whether a line ends where it does whatever comes long after it."""
    return style["white_space"] == "normal" and style["hyphens"] != "auto"


def _enough(max_width: float, style) -> int:
    if max_width == math.inf or not style["font_size"]:
        return sys.maxsize
    return LETTERS + int(LETTERS_AN_EM * max_width / style["font_size"])


def looks(style) -> int:
    """Return a number for how a style sets text: two that set it alike have the same."""
    try:
        return style.looks
    except AttributeError:
        said = repr([style[name] for name in PROPERTIES])
        style.looks = _looks.setdefault(said, len(_looks))
        return style.looks
