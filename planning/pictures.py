"""A picture as it came -> a picture as we keep it: looked at, made anew, with nothing hidden in it.

The only module that knows Pillow. What comes out is a JPEG of our own making: no place, no time, no
maker's notes, no comment, no profile, no thumbnail of another frame.
"""

import io
import warnings
from dataclasses import dataclass

from django.utils.translation import gettext as _
from PIL import Image, ImageFile, ImageOps, UnidentifiedImageError

from workshops.errors import Refused

FORMATS = ("JPEG", "PNG", "WEBP")
MOST_BYTES = 20 << 20  # a camera's large JPEG has 10 to 15
MOST_PIXELS = 120_000_000  # beyond any camera an attendee carries; a bomb has thousands of millions
LEAST_PX = 200  # smaller is no picture on paper
EDGE_PX = 1600  # at 300 dots an inch 135 mm: as wide as a handout shows it
QUALITY = 85


@dataclass(frozen=True)
class Clean:
    """A picture fit to be kept and printed."""

    jpeg: bytes
    width_px: int
    height_px: int


def cleaned(content: bytes) -> Clean:
    """Return the picture upright, in sRGB colours, no larger than is printed.

    Raises Refused, saying what to bring, for what is no picture, is cut off, is too large or
    too small.
    """
    if len(content) > MOST_BYTES:
        raise Refused(_("Picture: bring a file of at most 20 MB."))
    try:
        # Another library may have asked to take files that are cut off: here they are refused.
        ImageFile.LOAD_TRUNCATED_IMAGES = False
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            return _made_anew(content)
    except Refused:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise Refused(_("Picture: it has more points than any camera; bring another.")) from None
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, MemoryError):
        # Pillow raises SyntaxError for a broken PNG, OSError for a file that is cut off.
        raise Refused(
            _("Picture: this file cannot be read; bring a whole JPEG, PNG or WebP.")
        ) from None


def _made_anew(content: bytes) -> Clean:
    with Image.open(io.BytesIO(content), formats=FORMATS) as picture:
        if picture.width * picture.height > MOST_PIXELS:
            raise Image.DecompressionBombError
        if min(picture.size) < LEAST_PX:
            raise Refused(
                _("Picture: bring one of at least %(n)d points each way.") % {"n": LEAST_PX}
            )
        picture.draft("RGB", (2 * EDGE_PX, 2 * EDGE_PX))  # a large JPEG is read small at once
        upright = ImageOps.exif_transpose(picture)
    flat = Image.new("RGB", upright.size, "white")
    if upright.has_transparency_data:
        solid = upright.convert("RGBA")
        flat.paste(solid, mask=solid.getchannel("A"))
    else:
        flat.paste(upright.convert("RGB"))
    flat.thumbnail((EDGE_PX, EDGE_PX), Image.Resampling.LANCZOS)
    # Written from a new image: whatever hung on the old one has no way into it.
    out = io.BytesIO()
    flat.save(out, "JPEG", quality=QUALITY, optimize=True)
    return Clean(out.getvalue(), flat.width, flat.height)
