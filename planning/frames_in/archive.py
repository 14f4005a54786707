"""A ZIP of frames -> what each of its files says; only the head of each is ever unpacked.

Nothing is written out, so no name of a file can lead anywhere. Of the at most 20,000 files at most
512 KB each are unpacked, whatever the archive says of their size: that bounds what a bomb can do.

Source of the layout: PKWARE APPNOTE 6.3.10, sections 4.3 and 4.4.
"""

import re
import stat
import zipfile
import zlib
from collections.abc import Iterator
from typing import BinaryIO

from django.utils.translation import gettext as _

from planning.after.jpeg import FIRST_BYTES, MoreNeeded
from planning.frames_in import FrameFile, is_brought, plain, read_jpeg
from workshops.errors import Refused

MAGIC = b"PK"
MOST_ENTRIES = 20_000
MOST_DIRECTORY_BYTES = 400 * MOST_ENTRIES  # an entry has 46 bytes and its name
MOST_RATIO, RATIO_FROM_BYTES = 100, 1 << 20  # a JPEG hardly packs; small ones of one colour may
_OUTSIDE = re.compile(r"^[/\\]|^[A-Za-z]:|(^|[/\\])\.\.([/\\]|$)")
_BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, NotImplementedError)


class Archive:
    """An open ZIP. Raises Refused for what is none, is damaged, or has too many files."""

    def __init__(self, file: BinaryIO):
        broken = Refused(_("The ZIP is damaged or cut off: pack it anew, or bring in the JPEGs."))
        try:
            if _directory_bytes(file) > MOST_DIRECTORY_BYTES:
                raise _too_many()
            self._zip = zipfile.ZipFile(file)
        except _BROKEN:
            raise broken from None
        entries = self._zip.infolist()
        if len(entries) > MOST_ENTRIES:
            raise _too_many()
        self._entries = [
            one for one in entries if not one.filename.endswith("/") and is_brought(one.filename)
        ]
        self._names = {one: _named(one) for one in self._entries}
        if not self._entries:
            raise Refused(_("The ZIP holds no files: pack the JPEGs of the day into it."))

    def __len__(self) -> int:
        return len(self._entries)

    def files(self, start: int = 0) -> Iterator[FrameFile]:
        """Yield what each file says, from the one numbered ``start`` on."""
        seen = {one.filename for one in self._entries[:start]}
        for entry in self._entries[start:]:
            twice = entry.filename in seen
            seen.add(entry.filename)
            why = _("The ZIP holds this name twice: only the first counts.") if twice else ""
            yield self._read(entry, why or _refusal(entry))

    def _read(self, entry: zipfile.ZipInfo, why: str) -> FrameFile:
        if why:
            return FrameFile(plain(self._names[entry]), why=why)
        try:
            with self._zip.open(entry) as member:
                head = member.read(FIRST_BYTES)
                while True:
                    if head.startswith(MAGIC):
                        return FrameFile(plain(self._names[entry]), why=_nested())
                    # What the directory says of its size may be wrong: one byte more tells.
                    after = member.read(1)
                    try:
                        return read_jpeg(self._names[entry], head, whole=not after)
                    except MoreNeeded as more:
                        head += after + member.read(more.upto_bytes - len(head) - 1)
        except (*_BROKEN, RuntimeError):
            return FrameFile(
                plain(self._names[entry]),
                why=_("It is damaged inside the ZIP: pack it anew, or bring in the JPEG."),
            )


def _refusal(entry: zipfile.ZipInfo) -> str:
    """Return why a file of the archive is not even opened, empty where it may be."""
    if entry.flag_bits & 0x41:  # encrypted, strongly or not
        return _("It is encrypted: pack it anew without a password.")
    if stat.S_ISLNK(entry.external_attr >> 16):
        return _("It is a link, not a file: pack the file itself.")
    if _OUTSIDE.search(entry.filename):
        return _("Its name leads out of the ZIP: pack it anew from the folder of the frames.")
    if entry.filename.lower().endswith(".zip"):
        return _nested()
    if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return _("It is packed in an unusual way: pack it anew as a plain ZIP.")
    large = entry.file_size > RATIO_FROM_BYTES
    if large and entry.file_size > MOST_RATIO * max(entry.compress_size, 1):
        return _("It would unpack to more than a hundred times its size: no JPEG does.")
    return ""


def _named(entry: zipfile.ZipInfo) -> str:
    """Return a file's name; many archives hold it in UTF-8 without saying so.

    Without its flag (APPNOTE 4.4.4 bit 11, appendix D) a name is read as code page 437, in which
    what is UTF-8 by chance is no word of any language.
    """
    if entry.flag_bits & 0x800:
        return entry.filename
    try:
        return entry.filename.encode("cp437").decode("utf-8")
    except UnicodeError:
        return entry.filename


def _nested() -> str:
    return _("A ZIP within a ZIP is not opened: unpack it first.")


def _too_many() -> Refused:
    told = {"most": MOST_ENTRIES}
    return Refused(_("Bring in at most %(most)d files at a time, in parts.") % told)


def _directory_bytes(file: BinaryIO) -> int:
    """Return how long the list of entries says it is, before anybody reads it into memory.

    Raises ValueError where no end of an archive is found. APPNOTE sections 4.3.14 to 4.3.16.
    """
    size = file.seek(0, 2)
    file.seek(max(size - 22 - 65535 - 76, 0))
    tail = file.read()
    file.seek(0)
    end = tail.rfind(b"PK\5\6")
    if end < 0 or len(tail) < end + 22:
        raise ValueError("no end of an archive")
    length = int.from_bytes(tail[end + 12 : end + 16], "little")
    wide = end - 20 - 56  # of an archive in 64 bits its own end stands before
    if length == 0xFFFFFFFF and wide >= 0 and tail[end - 20 : end - 16] == b"PK\6\7":
        return int.from_bytes(tail[wide + 40 : wide + 48], "little")
    return length
