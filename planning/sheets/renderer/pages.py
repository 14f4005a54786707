"""Pages: what was drawn once is only copied, into a handout as into any other file."""

import copy
from dataclasses import dataclass

import pydyf
from weasyprint.document import Page
from weasyprint.formatting_structure.boxes import LineBox, MarginBox

_paint = Page.paint


@dataclass(frozen=True)
class Drawn:
    """A page as it was drawn, and what that needs of the file it is written into."""

    content: bytes
    fonts: dict
    images: dict
    alphas: dict
    tags: dict


def paint(page, stream, scale=1) -> None:
    """Draw a page into a file: what was drawn once is only copied, into a handout as any other."""
    if "drawn" not in page.__dict__:
        page.drawn = _drawn(page, stream, scale)
    drawn = page.drawn
    if drawn is None:
        _paint(page, stream, scale)
        return
    stream.stream.append(drawn.content)
    stream._tags.update({box: dict(tag) for box, tag in drawn.tags.items()})
    for name, alpha in drawn.alphas.items():
        stream._resources["ExtGState"].setdefault(name, pydyf.Dictionary(alpha))
    for name, image in drawn.images.items():
        stream._resources["XObject"][name] = None
        placed = stream._images.setdefault(name, {**image, "dpi_ratios": set()})
        placed["dpi_ratios"] |= image["dpi_ratios"]
    for name, font in drawn.fonts.items():
        if name not in stream._fonts:
            stream._fonts[name] = copy.copy(font)
            font = stream._fonts[name]
            font.widths, font.to_unicode = dict(font.widths), dict(font.to_unicode)
        else:
            placed = stream._fonts[name]
            placed.widths = font.widths | placed.widths
            placed.to_unicode = font.to_unicode | placed.to_unicode


def lowest_line(page) -> float:
    """Return how far below the top of a page its lowest line of text ends, in pixels."""
    bodies = (box for box in page._page_box.children if not isinstance(box, MarginBox))
    lines = (box for body in bodies for box in body.descendants() if isinstance(box, LineBox))
    return max((line.position_y + line.height for line in lines), default=0.0)


def _drawn(page, stream, scale) -> Drawn | None:
    """Draw a page by itself; None where it needs more of its file than letters and pictures."""
    if page.links or stream._tags:
        return None
    parts = ("ExtGState", "XObject", "Pattern", "Shading")
    resources = pydyf.Dictionary({part: pydyf.Dictionary() for part in parts})
    resources["ColorSpace"] = stream._resources["ColorSpace"]
    own = stream.clone(fonts={}, resources=resources, images={}, tags={})
    own._ctm_stack = list(stream._ctm_stack)
    _paint(page, own, scale)
    alphas = resources["ExtGState"]
    if (
        resources["Pattern"]
        or resources["Shading"]
        or resources["XObject"].keys() != own._images.keys()
        or any(alpha.keys() - {"ca", "CA"} for alpha in alphas.values())
        or any(font.missing for font in own._fonts.values())
    ):
        return None
    content = b"\n".join(map(pydyf._to_bytes, own.stream))
    return Drawn(content, own._fonts, own._images, alphas, own._tags)
