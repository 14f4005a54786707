"""One Exif block -> the values of the tags asked for. Pure, and bounded whatever the block says.

Only the tags named are looked at: nothing else of a block, such as where it was taken, is read.
A value that lies outside its block, has a type that cannot mean it, or a zero under its fraction
is not there. No chain of directories is followed, so none can go round in a circle.

Source: TIFF 6.0 section 2, as CIPA DC-008 section 4.6 takes it over; type 129, UTF-8, is of
Exif 3.0.
"""

import math
import re
import struct
from collections.abc import Iterable
from dataclasses import dataclass

from planning.after.jpeg import NotRead
from planning.plan.words import gettext_noop as _

NO_TIFF = _("Its Exif is damaged and cannot be read: bring in the file as the camera wrote it.")
ASCII, UNDEFINED, UTF_8 = 2, 7, 129
TEXT = (ASCII, UTF_8, 1, UNDEFINED)  # BYTE and UNDEFINED where a writer took the wrong type
NUMBERS = {  # type: how struct unpacks one
    1: "B",
    3: "H",
    4: "I",
    5: "II",  # RATIONAL
    6: "b",
    8: "h",
    9: "i",
    10: "ii",  # SRATIONAL
    11: "f",
    12: "d",
    13: "I",  # IFD
}
ENTRY_BYTES = 12
MOST_LETTERS = 60  # of a maker's, a model's or a serial number
TEXT_BYTES = 256
_NUMBER = re.compile(r"\d{1,9}(\.\d{1,9})?")


@dataclass(frozen=True)
class Value:
    """Where a value lies in its block, and as what."""

    kind: int
    count: int
    place: int


class Block:
    """A block's bytes in the order it states. Raises NotRead where it states none."""

    def __init__(self, data: bytes):
        self.data = data
        self.order = {b"II": "<", b"MM": ">"}.get(data[:2], "")
        if not self.order or len(data) < 8 or self._whole("H", 2) != 42:
            raise NotRead(NO_TIFF)
        self.first = self._whole("I", 4)

    def directory(self, offset: int, wanted: Iterable[int]) -> dict[int, Value]:
        """Return where the wanted tags of one directory lie; of a tag twice the first."""
        found: dict[int, Value] = {}
        wanted = frozenset(wanted)
        if not 8 <= offset <= len(self.data) - 2:
            return found
        room = (len(self.data) - offset - 2) // ENTRY_BYTES
        for number in range(min(self._whole("H", offset), room)):
            entry = offset + 2 + number * ENTRY_BYTES
            tag, kind, count = struct.unpack_from(self.order + "HHI", self.data, entry)
            if tag in wanted and tag not in found:
                found[tag] = Value(kind, count, self._place(kind, count, entry + 8))
        return found

    def number(self, value: Value | None) -> float | None:
        """Return the first number of a value, None for none that is finite."""
        if value is None or not value.count:
            return None
        if value.kind in (ASCII, UTF_8):
            text = self.text(value)
            return float(text) if _NUMBER.fullmatch(text) else None
        form = self.order + NUMBERS.get(value.kind, "")
        if len(form) == 1 or value.place + struct.calcsize(form) > len(self.data):
            return None
        first, *below = struct.unpack_from(form, self.data, value.place)
        if below and not below[0]:
            return None
        number = first / below[0] if below else float(first)
        return number if math.isfinite(number) else None

    def text(self, value: Value | None) -> str:
        """Return a text up to its NUL, if it has one; printable, spaces folded, cut at 60."""
        letters = self._letters(value)
        printable = "".join(one if one.isprintable() else " " for one in letters)
        return " ".join(printable.split())[:MOST_LETTERS].strip()

    def is_text(self, value: Value | None) -> bool:
        """Return whether a value was meant for reading: no control characters within it."""
        return all(one.isprintable() or one.isspace() for one in self._letters(value).strip())

    def _letters(self, value: Value | None) -> str:
        if value is None or value.kind not in TEXT:
            return ""
        end = min(value.place + min(value.count, TEXT_BYTES), len(self.data))
        raw = self.data[value.place : end].partition(b"\0")[0]
        try:
            return raw.decode("utf-8")  # the standard says ASCII, of which both are more
        except UnicodeDecodeError:
            return raw.decode("latin-1")

    def _place(self, kind: int, count: int, here: int) -> int:
        """Return where a value lies: in its entry where it fits into four bytes."""
        each = 1 if kind in TEXT else struct.calcsize("=" + NUMBERS.get(kind, ""))
        return here if each * count <= 4 else self._whole("I", here)

    def _whole(self, form: str, place: int) -> int:
        return struct.unpack_from(self.order + form, self.data, place)[0]
