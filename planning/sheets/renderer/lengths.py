"""Margins, paddings and sizes: nearly always what the style says, whatever stands around a box."""

from weasyprint.layout import percent

LENGTHS = (
    "margin_left", "margin_right", "margin_top", "margin_bottom",
    "padding_left", "padding_right", "padding_top", "padding_bottom",
    "width", "height", "min_width", "max_width", "min_height", "max_height",
)  # fmt: skip
BORDERS = ("border_top_width", "border_right_width", "border_bottom_width", "border_left_width")


def resolve_percentages(box, containing_block) -> None:
    """Set the used lengths of a box, as WeasyPrint's does."""
    style = box.style
    try:
        lengths, borders = style.lengths
    except AttributeError:
        lengths, borders = style.lengths = _lengths(style)
    if lengths is None:
        percent.resolve_percentages(box, containing_block)
        return
    own = vars(box)
    own.update(lengths)
    if style["border_collapse"] == "collapse":
        for name, width in borders.items():  # where cells share a border it is settled already
            own.setdefault(name, width)
    else:
        own.update(borders)


def _lengths(style) -> tuple[dict | None, dict]:
    """Return the used lengths of a style, None where they depend on what stands around a box."""
    lengths = {}
    for name in LENGTHS:
        value = style[name]
        if value == "auto":
            lengths[name] = 0 if name in ("min_width", "min_height") else value
        elif getattr(value, "unit", None) == "px" and style["box_sizing"] == "content-box":
            lengths[name] = value.value
        else:  # a percentage, a calculation
            return None, {}
    return lengths, {name: style[name] for name in BORDERS}
