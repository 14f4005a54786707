"""What a file is that is no JPEG, by how it begins -> in words what to bring in instead. Pure.

Sources: ISO/IEC 14496-12 (the "ftyp" box and its brands) and 23008-12 for HEIF; TIFF 6.0 section 2;
RFC 2083 (PNG); RFC 9649 (WebP); ISO/IEC 18181-2 (JPEG XL); ISO/IEC 15444-1 annex I; ISO 32000-1
(PDF); RFC 1740 (AppleDouble); signatures of archives as their formats publish them.
"""

from planning.plan.words import gettext_noop as _

NO_JPEG = _(
    "This is no JPEG: bring in the JPEG of the frame. A camera that writes raw files can write "
    "both, and a converter keeps the Exif."
)
HEIF = _(
    "This is a HEIF picture (HEIC, HIF), not a JPEG: send it from the phone as JPEG (“most "
    "compatible”), or let the camera or a converter write a JPEG with its Exif."
)
RAW = _(
    "This is a raw or TIFF file, not a JPEG: bring in the JPEG the camera wrote beside it, or let "
    "a converter write one with its Exif."
)
FILM = _("This is a film, not a frame: leave it out.")
OTHER = _(
    "This is a picture of another kind (PNG, GIF, WebP, JPEG XL), not a JPEG: bring in the JPEG as "
    "the camera wrote it."
)
PDF = _("This is a PDF, not a picture: bring in the JPEG of the frame.")
ARCHIVE = _("This is an archive that is not opened here: pack the JPEGs as a plain ZIP.")
SYSTEM = _(
    "A computer put this beside the picture for itself: bring in the picture, or leave it out."
)
ZEROS = _("The file holds nothing but zeros: copy it from the card again, or recover the card.")
HEIF_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif")
RAW_BRANDS = (b"crx ",)
STARTS = (
    (b"II*\0", RAW),
    (b"MM\0*", RAW),
    (b"II+\0", RAW),
    (b"MM\0+", RAW),
    (b"IIRO", RAW),
    (b"IIU\0", RAW),
    (b"%PDF", PDF),
    (b"7z\xbc\xaf\x27\x1c", ARCHIVE),
    (b"Rar!", ARCHIVE),
    (b"\x1f\x8b", ARCHIVE),
    (b"\0\x05\x16\x07", SYSTEM),
    (b"\0\x05\x16\0", SYSTEM),
    (b"\x89PNG\r\n\x1a\n", OTHER),
    (b"GIF8", OTHER),
    (b"BM", OTHER),
    (b"\xff\x0a", OTHER),
    (b"\0\0\0\x0cJXL ", OTHER),
    (b"\0\0\0\x0cjP  ", OTHER),
)


def no_jpeg(head: bytes) -> str:
    """Return what to do about a file that does not begin as a JPEG."""
    if head and not head.strip(b"\0"):
        return ZEROS
    if head[4:8] == b"ftyp":
        return _by_brand(head[8:12])
    if head[:4] == b"RIFF":
        return OTHER if head[8:12] == b"WEBP" else FILM
    return next((sentence for start, sentence in STARTS if head.startswith(start)), NO_JPEG)


def _by_brand(brand: bytes) -> str:
    if brand in HEIF_BRANDS:
        return HEIF
    return RAW if brand in RAW_BRANDS else FILM
