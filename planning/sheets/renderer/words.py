"""Lines that are drawn: how a line's letters stand is the same wherever it stands."""

import copy

from weasyprint.draw import text as drawn
from weasyprint.matrix import Matrix
from weasyprint.pdf.fonts import Font
from weasyprint.text.ffi import ffi
from weasyprint.text.fonts import get_pango_font_key

from planning.sheets.renderer.lines import looks

WORDS_KEPT = 6000  # a kilobyte each
FACES_KEPT = 200  # a face in a size

_draw_text = drawn.draw_text
_words: dict[tuple, "Words | None"] = {}
_faces: dict[tuple, Font] = {}


class Words:
    """A line as it is drawn: stands for a file's stream, and keeps what is written into it."""

    def __init__(self):
        self.ink_rect = ffi.new("PangoRectangle *")
        self.logical_rect = ffi.new("PangoRectangle *")
        self.fonts: dict[str, Font] = {}
        self.steps: list[tuple] = []
        self.is_blank = True

    def add_font(self, pango_font) -> tuple[Font, float]:
        key, face, size = _face(pango_font)
        if key not in self.fonts:
            self.fonts[key] = blank(face)
        return self.fonts[key], size

    def set_text_matrix(self, *values) -> None:
        self.is_blank = False  # where it stands is no part of it

    def set_font_size(self, *values) -> None:
        self.steps.append(("set_font_size", values))

    def set_text_rise(self, *values) -> None:
        self.steps.append(("set_text_rise", values))

    def show_text(self, *values) -> None:
        self.steps.append(("show_text", values))

    def fits(self, stream) -> bool:
        """Return whether a file says the same of its letters' widths: kerning starts from them."""
        for key, font in self.fonts.items():
            if key in stream._fonts:
                placed = stream._fonts[key].widths
                if any(placed.get(glyph, width) != width for glyph, width in font.widths.items()):
                    return False
        return True

    def show(self, stream, matrix: Matrix) -> None:
        if self.is_blank:
            return
        stream.set_text_matrix(*matrix.values)
        for key, font in self.fonts.items():
            if key not in stream._fonts:
                stream._fonts[key] = blank(font)
            placed = stream._fonts[key]
            for glyph, letters in font.to_unicode.items():
                placed.to_unicode.setdefault(glyph, letters)
            for glyph, width in font.widths.items():
                placed.widths.setdefault(glyph, width)
        for name, values in self.steps:
            getattr(stream, name)(*values)


def draw_text(stream, textbox, offset_x, text_overflow, block_ellipsis) -> None:
    """Draw a line of text, as WeasyPrint's does; one that is adorned or cut goes its way."""
    style = textbox.style
    if (
        (text_overflow, block_ellipsis) != ("clip", "none")
        or style["text_decoration_line"] != "none"
        or style["visibility"] != "visible"
    ):
        _draw_text(stream, textbox, offset_x, text_overflow, block_ellipsis)
        return
    stream.set_color(style["color"])
    stream.begin_text()
    x, y = textbox.position_x, textbox.position_y + textbox.baseline
    emojis = show(stream, textbox, Matrix(d=-1, e=x, f=y))
    stream.end_text()
    drawn.draw_emojis(stream, style, x, y, emojis)


def show(stream, textbox, matrix: Matrix) -> list:
    """Write a line's letters into a file; return what of it are pictures."""
    layout, style = textbox.pango_layout, textbox.style
    key = (textbox.text, layout.text, layout.justification_spacing, looks(style))
    if key not in _words:
        if len(_words) >= WORDS_KEPT:
            _words.clear()
        _words[key] = _of(textbox)
    words = _words[key]
    if words and words.fits(stream):
        words.show(stream, matrix)
        return []
    layout.reactivate(style)
    emojis = drawn.draw_first_line(stream, textbox, "clip", "none", matrix)
    layout.deactivate()
    return emojis


def _of(textbox) -> Words | None:
    """Return the words of a line; None where it has pictures, or letters no face of ours has."""
    words = Words()
    textbox.pango_layout.reactivate(textbox.style)
    emojis = drawn.draw_first_line(words, textbox, "clip", "none", Matrix())
    textbox.pango_layout.deactivate()
    missing = any(font.missing for font in words.fonts.values())
    return None if emojis or missing else words


def add_font(stream, pango_font) -> tuple[Font, float]:
    """Return a file's font and its size, as WeasyPrint's does."""
    key, face, size = _face(pango_font)
    if key not in stream._fonts:
        stream._fonts[key] = blank(face)
    return stream._fonts[key], size


def _face(pango_font) -> tuple:
    key, description, size = get_pango_font_key(pango_font)
    if (key, size) not in _faces:
        if len(_faces) >= FACES_KEPT:
            _faces.clear()
        _faces[key, size] = Font(pango_font, description, size)
    return key, _faces[key, size], size


def blank(face: Font) -> Font:
    """Return a font of a file that shows nothing yet."""
    font = copy.copy(face)
    font.widths, font.to_unicode, font.missing = {}, {}, {}
    return font
