"""Fonts: of the variable ones, the glyphs a file shows, in the weights it shows them in."""

import io
from functools import lru_cache

from fontTools.ttLib import TTFont
from fontTools.varLib import instancer

FACES_KEPT = 24  # of ten kilobytes: handouts of a day show much the same letters


def clean(font, to_unicode, hinting) -> None:
    """Leave a font what its file shows, as WeasyPrint's does for fonts without colours."""
    font.subset(to_unicode, hinting)
    if "fvar" in font.tables:
        variations = {"wght": font.weight, **font.variations}
        font.file_content = _static(font.file_content, font.index, tuple(variations.items()))


@lru_cache(FACES_KEPT)
def _static(content: bytes, index: int, variations: tuple[tuple[str, float], ...]) -> bytes:
    """Return the static face of a variable one.

    Only glyphs that are left in it are worked out: those that were dropped keep their numbers, and
    there are ten of them to one that is shown.
    """
    font = TTFont(io.BytesIO(content), fontNumber=index)
    wanted = dict.fromkeys(axis.axisTag for axis in font["fvar"].axes) | dict(variations)
    limits = instancer.AxisLimits(wanted).limitAxesAndPopulateDefaults(font).normalize(font)
    outlines, varied = font["glyf"], font["gvar"].variations
    shown = [
        name for name in outlines.glyphOrder if outlines[name].numberOfContours or varied[name]
    ]
    for name in sorted(shown, key=lambda name: (outlines[name].isComposite(), name)):
        instancer.instantiateGvarGlyph(font, name, limits)
    del font["gvar"]
    instancer.instantiateVariableFont(font, wanted, inplace=True, static=True)
    written = io.BytesIO()
    font.save(written)
    return written.getvalue()
