"""A CSV with the tags of frames -> what each row says, or what is wrong with it.

Columns by the standard's names of the tags (CIPA DC-008), in any order: FileName, Make, Model,
BodySerialNumber, DateTimeOriginal, OffsetTimeOriginal, SubSecTimeOriginal, ExposureTime,
FNumber, PhotographicSensitivity (or ISO), Flash, FocalLength. Others are left alone.
"""

import re
from collections.abc import Callable, Iterator

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
ALSO = {"photographicsensitivity": "ISO", "sourcefile": "FileName", "file": "FileName"}
TEXTS = {"Make": "make", "Model": "model", "BodySerialNumber": "serial"}
_UNITS = re.compile(r"^(f/?|iso)\s*|\s*(mm|s|sec)$", re.IGNORECASE)
_ZERO = re.compile(r"0+([.,]0+)?(/\d+)?")


class TagHeadings(Headings):
    """Headings by the names of tags, whatever case and spaces they are written with."""

    def __init__(self):
        super().__init__({name: folded(name) for name in COLUMNS})
        self._fields |= ALSO

    def field(self, heading: str) -> str:
        return self._fields.get(folded(heading).replace(" ", ""), "")


HEADINGS = TagHeadings()


class Table:
    """A table that was read. Raises Refused where the whole of it cannot be."""

    def __init__(self, content: bytes):
        if len(content) > MOST_BYTES:
            told = {"most": MOST_BYTES >> 20}
            raise Refused(_("It has more than %(most)d MB: bring it in in parts.") % told)
        try:
            text = decoding.decoded(content, decoding.encodings(content).best)
            delimiter = reading.delimiters(text, HEADINGS.knows).best
            self._table = reading.table(text, delimiter, HEADINGS.knows, most_rows=MOST_ROWS)
        except NotUnderstood as fault:
            raise Refused(said(fault)) from None
        self._columns = HEADINGS.columns(self._table.header)
        missing = [name for name in ("FileName", "DateTimeOriginal") if name not in self._columns]
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
        cells = zip(self._columns, row.cells, strict=False)
        told = {name: cleaned(cell) for name, cell in cells if name}
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
    date = told.get("DateTimeOriginal", "")
    offset = told.get("OffsetTimeOriginal", "")
    values = {
        "clock_at": exif.clock_of(date, told.get("SubSecTimeOriginal", "")),
        "offset_min": exif.minutes_of(offset),
        "shutter_s": _number(told, "ExposureTime", exif.SHUTTERS_S),
        "f_number": _number(told, "FNumber", exif.F_NUMBERS),
        "iso": _number(told, "ISO", exif.ISOS),
        "focal_mm": _number(told, "FocalLength", exif.FOCALS_MM),
        "flash_bits": _flash(told.get("Flash", "")),
    }
    if re.search(r"[1-9]", date) and values["clock_at"] is None:
        raise NotUnderstood(_("DateTimeOriginal: write it as 2027:05:08 19:31:05"))
    if re.search(r"\w", offset) and values["offset_min"] is None:
        raise NotUnderstood(_("OffsetTimeOriginal: write it as +02:00"))
    tags = FrameTags(**{ours: told.get(name, "")[:60] for name, ours in TEXTS.items()}, **values)
    if not tags.tells:
        raise NotUnderstood(_("neither when the frame was taken nor with which exposure"))
    return tags


def _number(told: dict[str, str], name: str, ends: tuple[float, float]) -> float | None:
    """Return a figure as written; None for none, and for the zero that stands for none."""
    text = _UNITS.sub("", told.get(name, ""))
    if not text or _ZERO.fullmatch(text):
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
    """Return the bits of the Flash tag, written as 16 or 0x10."""
    if not text:
        return None
    try:
        bits = exif.bits_of(int(text, 16 if text.lower().startswith("0x") else 10))
    except ValueError:
        bits = None
    if bits is None:
        raise NotUnderstood(_("Flash: write the number of the tag, such as 16 or 0x10"))
    return bits
