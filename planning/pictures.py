"""A picture as it came -> a picture as we keep it: looked at, made anew, with nothing hidden in it.

The only module that knows Pillow. What comes out is a JPEG of our own making: no place, no time, no
maker's notes, no comment, no profile, no thumbnail of another frame.
"""

import io
import warnings
from dataclasses import dataclass

from django.utils.translation import gettext as _
from PIL import Image, ImageCms, ImageFile, ImageOps, UnidentifiedImageError

from workshops.errors import Refused

FORMATS = ("JPEG", "PNG", "WEBP")
MOST_BYTES = 20 << 20  # a camera's large JPEG has 10 to 15
MOST_PIXELS = 120_000_000  # beyond any camera an attendee carries; a bomb has thousands of millions
MOST_WHOLE_PIXELS = 60_000_000  # of what is read whole, four bytes each; a large JPEG is read small
MOST_PROFILE_BYTES = 1 << 20  # a profile of a display has some kilobytes
LEAST_PX = 200  # smaller is no picture on paper
MOST_LONG = 8  # times as long as it is wide: beyond, it is a line on paper
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
        Image.MAX_IMAGE_PIXELS = MOST_PIXELS
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
        _look_at(picture)
        profile = picture.info.get("icc_profile") or b""
        picture.draft("RGB", (2 * EDGE_PX, 2 * EDGE_PX))  # a large JPEG is read small at once
        if picture.width * picture.height > MOST_WHOLE_PIXELS:
            raise Image.DecompressionBombError
        upright = ImageOps.exif_transpose(picture)
    upright = _eight_bits(upright)
    upright.thumbnail((EDGE_PX, EDGE_PX), Image.Resampling.LANCZOS)
    flat = Image.new("RGB", upright.size, "white")
    if upright.has_transparency_data:
        solid = upright.convert("RGBA")
        flat.paste(_in_srgb(solid.convert("RGB"), profile), mask=solid.getchannel("A"))
    else:
        flat.paste(_in_srgb(upright, profile))
    # Written from a new image: whatever hung on the old one has no way into it.
    out = io.BytesIO()
    flat.save(out, "JPEG", quality=QUALITY, optimize=True)
    return Clean(out.getvalue(), flat.width, flat.height)


def _look_at(picture: Image.Image) -> None:
    """Refuse by its head what is too large, too small or too long."""
    if picture.width * picture.height > MOST_PIXELS:
        raise Image.DecompressionBombError
    if min(picture.size) < LEAST_PX:
        raise Refused(_("Picture: bring one of at least %(n)d points each way.") % {"n": LEAST_PX})
    if max(picture.size) > MOST_LONG * min(picture.size):
        raise Refused(
            _("Picture: it is more than %(n)d times as long as it is wide; crop it.")
            % {"n": MOST_LONG}
        )


def _eight_bits(picture: Image.Image) -> Image.Image:
    """Return a picture of one colour or of few in a mode that can be made smaller.

    Pillow cuts greys of sixteen bits off at 255, which is white: they are divided first.
    """
    if picture.mode.startswith("I"):
        return picture.convert("I").point(lambda grey: grey / 257).convert("L")
    if picture.mode in ("1", "P", "PA"):
        return picture.convert("RGBA" if picture.has_transparency_data else "RGB")
    return picture


def _in_srgb(picture: Image.Image, profile: bytes) -> Image.Image:
    """Return the colours as its profile means them, as sRGB; without a good one as they are."""
    if 0 < len(profile) <= MOST_PROFILE_BYTES:
        try:
            meant = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            own = ImageCms.createProfile("sRGB")
            return ImageCms.profileToProfile(picture, meant, own, outputMode="RGB")
        except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
            pass  # a profile of something else, or none at all
    return picture.convert("RGB")
