"""SVG as text, with only the shapes the page renderer draws; every text is escaped here."""

from collections.abc import Sequence
from xml.sax.saxutils import escape, quoteattr

from planning.drawings.geometry import Box, Point

FONT = "'Source Sans 3', 'Noto Sans', sans-serif"  # a name with a digit wants quotes in CSS
TEXT_MM = 2.9  # about 8 points: the smallest a hand-held leaf can carry in the sun
HAIR_MM = 0.18
THIN_MM = 0.3
THICK_MM = 0.9


def number(value: float) -> str:
    """Return a coordinate to a hundredth of a millimetre, never "-0"."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def element(name: str, content: str = "", **attributes: object) -> str:
    """Return one element; underscores in attribute names become hyphens."""
    parts = []
    for key, value in attributes.items():
        shown = number(value) if isinstance(value, float) else str(value)
        parts.append(f" {key.replace('_', '-')}={quoteattr(shown)}")
    if not content:
        return f"<{name}{''.join(parts)}/>"
    return f"<{name}{''.join(parts)}>{content}</{name}>"


def document(width_mm: float, height_mm: float, title: str, body: Sequence[str]) -> str:
    """Return a whole drawing; its title is what a reader without eyes hears."""
    content = element("title", escape(title) or " ") + "".join(body)
    return element(
        "svg",
        content,
        xmlns="http://www.w3.org/2000/svg",
        width=f"{number(width_mm)}mm",
        height=f"{number(height_mm)}mm",
        viewBox=f"0 0 {number(width_mm)} {number(height_mm)}",
    )


def line(start: Point, end: Point, width_mm: float = HAIR_MM, dash: str = "") -> str:
    extra = {"stroke_dasharray": dash} if dash else {}
    return element(
        "line",
        x1=start.x,
        y1=start.y,
        x2=end.x,
        y2=end.y,
        stroke="black",
        stroke_width=width_mm,
        **extra,
    )


def arrow(start: Point, end: Point, width_mm: float = THIN_MM, dash: str = "") -> str:
    """Return a line with a filled head at its end; nothing when it has no length."""
    span = end.minus(start)
    if span.length() < 0.01:
        return ""
    along = span.unit()
    across = Point(-along.y, along.x)
    head_mm = min(2.2, span.length())
    neck = end.minus(along.times(head_mm))
    wings = (
        end,
        neck.plus(across.times(head_mm * 0.36)),
        neck.minus(across.times(head_mm * 0.36)),
    )
    return line(start, neck, width_mm, dash) + polygon(wings)


def polygon(points: Sequence[Point], fill: str = "black", stroke: str = "none") -> str:
    joined = " ".join(f"{number(point.x)},{number(point.y)}" for point in points)
    return element("polygon", points=joined, fill=fill, stroke=stroke, stroke_width=THIN_MM)


def circle(centre: Point, radius_mm: float, fill: str = "white") -> str:
    return element(
        "circle",
        cx=centre.x,
        cy=centre.y,
        r=radius_mm,
        fill=fill,
        stroke="black",
        stroke_width=THIN_MM,
    )


def plate(box: Box) -> str:
    """Return a white ground for words, so that no line runs through their letters."""
    return rect(Point(box.left, box.top), box.width, box.height, fill="white", stroke_mm=0)


def rect(
    corner: Point,
    width_mm: float,
    height_mm: float,
    *,
    fill: str = "none",
    stroke_mm: float = HAIR_MM,
) -> str:
    return element(
        "rect",
        x=corner.x,
        y=corner.y,
        width=width_mm,
        height=height_mm,
        fill=fill,
        stroke="black" if stroke_mm else "none",
        stroke_width=stroke_mm,
    )


def text(at: Point, words: str, *, size_mm: float = TEXT_MM, bold: bool = False) -> str:
    """Return the words with the left end of their base line at ``at``."""
    return element(
        "text",
        escape(words) or " ",
        x=at.x,
        y=at.y,
        font_family=FONT,
        font_size=size_mm,
        font_weight=600 if bold else 400,
    )
