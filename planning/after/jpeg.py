"""The head of a JPEG file -> its Exif blocks. Pure; the picture itself is never decoded.

Source: ISO/IEC 10918-1 annex B for markers, segments and fill bytes; CIPA DC-008 section 4.7.2 for
the APP1 segment whose first six bytes are "Exif", NUL, NUL.
"""

from planning.after.kinds import no_jpeg
from planning.plan.words import Words
from planning.plan.words import gettext_noop as _

# JFIF and the largest Exif block a segment can hold: nearly every file needs no more.
FIRST_BYTES = 68 << 10
MOST_BYTES = 512 << 10  # whatever stands before the Exif: colour profile, XMP, a maker's own
SOI, FILL, APP1, SOS, EOI = 0xD8, 0xFF, 0xE1, 0xDA, 0xD9
ALONE = (0x01, *range(0xD0, 0xD9))  # TEM, RST0 to RST7, SOI: markers without a length
BYTE_ORDERS = (b"II", b"MM")

EMPTY = _("The file is empty.")
NO_EXIF = _("It holds no Exif: bring in the file as the camera wrote it.")
CUT_OFF = _("The file is cut off before its Exif ends: copy it from the card again.")
TOO_FAR = _(
    "Its Exif does not stand in the first 512 KB: bring in the file as the camera wrote it."
)
BROKEN = _("The file is damaged before its Exif: copy it from the card again.")


class NotRead(ValueError):
    """A file that tells nothing of a frame; ``words`` say why, and what to do."""

    def __init__(self, words: Words | str):
        self.words = Words(words) if isinstance(words, str) else words
        super().__init__(str(self.words))


class MoreNeeded(Exception):
    """The head is too short to tell; ``upto_bytes`` of the file may do."""

    def __init__(self, upto_bytes: int):
        self.upto_bytes = upto_bytes
        super().__init__(f"{upto_bytes} bytes of the file are needed")


def exif_blocks(head: bytes, *, whole: bool = True) -> list[bytes]:
    """Return what stands in the Exif segments of a JPEG, each without its "Exif", NUL, NUL.

    ``whole`` says that ``head`` is the whole file. Of a longer one, segments after the first
    Exif block count as far as the head reaches.

    Raises NotRead, and MoreNeeded where a longer head may hold what this one does not.
    """
    if not head:
        raise NotRead(EMPTY)
    if head[:2] != bytes((FILL, SOI)):
        raise NotRead(no_jpeg(head))
    blocks: list[bytes] = []
    place, begun = 2, False
    while (marker := _marker(head, place)) is not None:
        place, kind = marker
        if kind in (SOS, EOI):  # from here on the picture, and perhaps others behind it
            return _found(blocks)
        if kind in ALONE:
            continue
        length = int.from_bytes(head[place : place + 2], "big")
        if len(head) < place + 2:
            break
        if length < 2:
            return blocks or _refuse(BROKEN)
        data, place = head[place + 2 : place + length], place + length
        is_exif = kind == APP1 and data[:5].upper() == b"EXIF\0"
        if place > len(head):
            begun = is_exif
            break
        if is_exif:
            _add(blocks, data[6:])
    if blocks:
        return blocks
    if whole:
        raise NotRead(CUT_OFF)
    if len(head) >= MOST_BYTES:
        raise NotRead(TOO_FAR)
    upto = place if begun else max(place, len(head)) + FIRST_BYTES
    raise MoreNeeded(min(upto, MOST_BYTES))


def _marker(head: bytes, place: int) -> tuple[int, int] | None:
    """Return where the next marker ends and which it is; None past the end of the head.

    Any number of fill bytes may stand before a marker; what is no marker is passed over.
    """
    while (place := head.find(FILL, place)) >= 0:
        while place < len(head) and head[place] == FILL:
            place += 1
        if place == len(head):
            return None
        if head[place]:  # a NUL after 0xFF is data
            return place + 1, head[place]
    return None


def _add(blocks: list[bytes], data: bytes) -> None:
    """Keep a block; one that does not begin with a byte order goes on from the one before.

    So long blocks are parted by software that writes more than a segment holds.
    """
    if blocks and data[:2] not in BYTE_ORDERS:
        blocks[-1] += data
    else:
        blocks.append(data)


def _found(blocks: list[bytes]) -> list[bytes]:
    return blocks or _refuse(NO_EXIF)


def _refuse(message: str) -> list[bytes]:
    raise NotRead(message)
