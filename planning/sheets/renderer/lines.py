"""Lines of text: headings stand on every sheet, and a cell is measured before it has its place."""

from weasyprint.text import line_break

LINES_KEPT = 8000  # a kilobyte each
# Where a cell may break anywhere its least width is that of its widest letter, and WeasyPrint sets
# all that follows anew for each of them: the next letters are enough to see where the first ends.
LETTERS = 32
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
    least = minimum and max_width == 0 and is_line_start and len(text) > LETTERS
    if least and by_letters(style) and SOFT_HYPHEN not in text:
        begun = text[:LETTERS]
        first = split_first_line(begun, style, context, 0, justification_spacing, True, True)
        if first[2] is not None:  # else one letter and its marks fill them all
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


def by_letters(style) -> bool:
    """Return whether a line may break before any letter, and nowhere but for want of room."""
    return (
        style["overflow_wrap"] == "anywhere"
        and style["white_space"] == "normal"
        and style["hyphens"] != "auto"
    )


def looks(style) -> int:
    """Return a number for how a style sets text: two that set it alike have the same."""
    try:
        return style.looks
    except AttributeError:
        said = repr([style[name] for name in PROPERTIES])
        style.looks = _looks.setdefault(said, len(_looks))
        return style.looks
