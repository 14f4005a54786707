"""A CSV with the tags of frames -> what each row says, or what is wrong with it.

Columns by the standard's names of the tags (CIPA DC-008), in any order: FileName, Make, Model,
BodySerialNumber, DateTimeOriginal, OffsetTimeOriginal, SubSecTimeOriginal, ExposureTime,
FNumber, PhotographicSensitivity (or ISO), Flash, FocalLength. Others are left alone, but for what
stands in for one of these where it is empty: the digitized date, the ISO of another tag.

Also as general tools write out all tags of a folder: hundreds of columns, the group before the name
of a tag ("ExifIFD:Flash"), flash bits and units in words, "undef" and "inf" for n/0.
"""

import re
from collections.abc import Callable, Iterator
from datetime import datetime

from django.utils.translation import gettext as _

from planning.after import exif
from planning.after.exif import FrameTags
from planning.frames_in import FrameFile, base_name, plain
from workshops import marks
from workshops.errors import Refused
from workshops.lists import decoding, reading
from workshops.lists.cells import cleaned
from workshops.lists.headings import Headings, folded
from workshops.lists.outcome import said
from workshops.typed import NotUnderstood

MOST_BYTES = 10 << 20
MOST_ROWS = 20_000
COLUMNS = (
    "FileName", "Make", "Model", "BodySerialNumber", "DateTimeOriginal", "OffsetTimeOriginal",
    "SubSecTimeOriginal", "ExposureTime", "FNumber", "ISO", "Flash", "FocalLength",
)  # fmt: skip
# Read as well, where a table has them.
INSTEAD = (
    "DateTimeDigitized", "OffsetTimeDigitized", "SubSecTimeDigitized", "OffsetTime",
    "RecommendedExposureIndex", "StandardOutputSensitivity", "ISOSpeed",
)  # fmt: skip
ALSO = {
    "photographicsensitivity": "ISO",
    "sourcefile": "FileName",
    "file": "FileName",
    "serialnumber": "BodySerialNumber",
    "createdate": "DateTimeDigitized",
}
MOST_COLUMNS = 10_000  # all tags of bodies of several makers
LOOKED_AT_BYTES = 1024  # from which text is told from what is none
# Groups whose tags are those of the standard; a maker's own may mean something else by a name.
GROUPS = frozenset(["exif", "ifd0", "exififd", "file", "system"])
# The bits of CIPA DC-008 section 4.6.5 in words. Source: ExifTool tag names, "EXIF Flash Values".
FLASH_WORDS = {
    "no flash": 0x00,
    "fired": 0x01,
    "fired, return not detected": 0x05,
    "fired, return detected": 0x07,
    "on, did not fire": 0x08,
    "on, fired": 0x09,
    "on, return not detected": 0x0D,
    "on, return detected": 0x0F,
    "off, did not fire": 0x10,
    "off, did not fire, return not detected": 0x14,
    "auto, did not fire": 0x18,
    "auto, fired": 0x19,
    "auto, fired, return not detected": 0x1D,
    "auto, fired, return detected": 0x1F,
    "no flash function": 0x20,
    "off, no flash function": 0x30,
    "fired, red-eye reduction": 0x41,
    "fired, red-eye reduction, return not detected": 0x45,
    "fired, red-eye reduction, return detected": 0x47,
    "on, red-eye reduction": 0x49,
    "on, red-eye reduction, return not detected": 0x4D,
    "on, red-eye reduction, return detected": 0x4F,
    "off, red-eye reduction": 0x50,
    "auto, did not fire, red-eye reduction": 0x58,
    "auto, fired, red-eye reduction": 0x59,
    "auto, fired, red-eye reduction, return not detected": 0x5D,
    "auto, fired, red-eye reduction, return detected": 0x5F,
}
TEXTS = {"Make": "make", "Model": "model", "BodySerialNumber": "serial"}
_UNITS = re.compile(r"^(f/?|iso)\s*|\s*(mm|s|sec)$", re.IGNORECASE)
_NOTHING = re.compile(r"0+([.,]0+)?(/\d+)?|undef|-?inf", re.IGNORECASE)
_GROUPED = re.compile(r"[\w-]+(:[\w-]+)+")
_FRACTION = re.compile(
    r"(.*?:[ \d]\d:[ \d]\d)(?:[.,](\d{1,9}))?\s*(Z|[+-]\d\d:\d\d)?", re.IGNORECASE
)
_UNKNOWN_BITS = re.compile(r"unknown \((0x[0-9a-f]{1,4})\)", re.IGNORECASE)


class TagHeadings(Headings):
    """Headings by the names of tags, whatever case and spaces they are written with."""

    def __init__(self):
        super().__init__({name: folded(name) for name in (*COLUMNS, *INSTEAD)})
        self._fields |= ALSO

    def field(self, heading: str) -> str:
        if _GROUPED.fullmatch(heading.strip()):
            *groups, heading = heading.strip().casefold().split(":")
            if not GROUPS.issuperset(groups):
                return ""
        return self._fields.get(folded(heading).replace(" ", ""), "")


HEADINGS = TagHeadings()


class Table:
    """A table that was read. Raises Refused where the whole of it cannot be."""

    def __init__(self, content: bytes):
        if len(content) > MOST_BYTES:
            told = {"most": MOST_BYTES >> 20}
            raise Refused(_("It has more than %(most)d MB: bring it in in parts.") % told)
        if b"\0" not in content[:LOOKED_AT_BYTES]:  # makers pad their own tags with them
            content = content.replace(b"\0", b" ")
        try:
            text = decoding.decoded(content, decoding.encodings(content).best)
            delimiter = reading.delimiters(text, HEADINGS.knows).best
            most = {"most_rows": MOST_ROWS, "most_columns": MOST_COLUMNS}
            self._table = reading.table(text, delimiter, HEADINGS.knows, **most)
        except NotUnderstood as fault:
            raise Refused(said(fault)) from None
        self._columns = HEADINGS.named(self._table.header)
        missing = [] if "FileName" in self._columns else ["FileName"]
        if not {"DateTimeOriginal", "DateTimeDigitized"} & set(self._columns):
            missing.append("DateTimeOriginal")
        if missing:
            told = {"missing": ", ".join(missing), "columns": ", ".join(COLUMNS)}
            raise Refused(
                _("The CSV lacks %(missing)s. Name the columns by their tags: %(columns)s.") % told
            )

    def __len__(self) -> int:
        return len(self._table.rows)

    def files(self, start: int = 0) -> Iterator[FrameFile]:
        """Yield what each row says, from the one numbered ``start`` on."""
        for row in self._table.rows[start:]:
            yield self._read(row)

    def _read(self, row: reading.Row) -> FrameFile:
        told: dict[str, str] = {}
        for name, cell in zip(self._columns, row.cells, strict=False):
            if name and not told.get(name):  # of several columns that mean it the first that says
                told[name] = cleaned(cell)
        name = base_name(told.get("FileName", ""))
        try:
            if any(cell.strip() for cell in row.cells[len(self._columns) :]):
                raise NotUnderstood(_("more cells than headings: is the delimiter in a cell?"))
            if not name:
                raise NotUnderstood(_("FileName: enter the name of the file"))
            return FrameFile(plain(name), _tags(told))
        except NotUnderstood as fault:
            shown = _("row %(row)d, %(file)s") % {"row": row.number, "file": name or "—"}
            return FrameFile(plain(shown), why=said(fault))


def _tags(told: dict[str, str]) -> FrameTags:
    clock_at, offset_min = _clock(told)
    values = {
        "clock_at": clock_at,
        "offset_min": offset_min,
        "shutter_s": _number(told, "ExposureTime", exif.SHUTTERS_S),
        "f_number": _number(told, "FNumber", exif.F_NUMBERS),
        "iso": _iso(told),
        "focal_mm": _number(told, "FocalLength", exif.FOCALS_MM),
        "flash_bits": _flash(told.get("Flash", "")),
    }
    texts = {ours: told.get(name, "")[:60].strip() for name, ours in TEXTS.items()}
    if not texts["serial"].isprintable():  # bytes of a maker's own, read as letters
        texts["serial"] = ""
    tags = FrameTags(**texts, **values)
    if not tags.tells:
        raise NotUnderstood(_("neither when the frame was taken nor with which exposure"))
    return tags


def _clock(told: dict[str, str]) -> tuple[datetime | None, int | None]:
    """Return the original date, else the digitized one, each with its fraction and its offset."""
    for which in ("Original", "Digitized"):
        date, fraction, offset = told.get(f"DateTime{which}", ""), "", ""
        if not re.search(r"[1-9]", date):
            continue
        if parts := _FRACTION.fullmatch(date):
            date, fraction, offset = (part or "" for part in parts.groups())
        at = exif.clock_of(date, told.get(f"SubSecTime{which}", "") or fraction)
        if at is None and which == "Original":
            raise NotUnderstood(_("DateTimeOriginal: write it as 2027:05:08 19:31:05"))
        if at is not None:
            stated = told.get(f"OffsetTime{which}", "") or told.get("OffsetTime", "")
            return at, _offset_min(stated or offset)
    return None, None


def _offset_min(text: str) -> int | None:
    minutes = exif.minutes_of(text)
    if re.search(r"\w", text) and minutes is None:
        raise NotUnderstood(_("OffsetTimeOriginal: write it as +02:00"))
    return minutes


def _iso(told: dict[str, str]) -> float | None:
    """Return the ISO; at the end of its 16 bits, and where it is empty, that of another tag."""
    stated = _number(told, "ISO", exif.ISOS)
    if stated is not None and stated != exif.SEE_OTHER_TAG:
        return stated
    others = ("RecommendedExposureIndex", "StandardOutputSensitivity", "ISOSpeed")
    return next(filter(None, (_number(told, name, exif.ISOS) for name in others)), None)


def _number(told: dict[str, str], name: str, ends: tuple[float, float]) -> float | None:
    """Return a figure as written; None for none, and for the zero that stands for none."""
    text = _UNITS.sub("", told.get(name, "").partition(", ")[0])
    if not text or _NOTHING.fullmatch(text):
        return None
    return _within(name, lambda: marks.number(text), ends)


def _within(name: str, read: Callable[[], float], ends: tuple[float, float]) -> float:
    try:
        value = exif.within(read(), ends)
    except NotUnderstood:
        value = None
    if value is None:
        raise NotUnderstood(_("%(column)s: write a number, such as 1/125 or 5.6"), column=name)
    return value


def _flash(text: str) -> int | None:
    """Return the bits of the Flash tag, written as 16 or 0x10 or in words."""
    if not text:
        return None
    if (bits := FLASH_WORDS.get(text.casefold())) is not None:
        return bits
    if unknown := _UNKNOWN_BITS.fullmatch(text):
        text = unknown[1]
    try:
        bits = exif.bits_of(int(text, 16 if text.lower().startswith("0x") else 10))
    except ValueError:
        bits = None
    if bits is None:
        raise NotUnderstood(_("Flash: write the number of the tag, such as 16 or 0x10"))
    return bits
