"""Files as they come over the wire -> what they say of frames, without keeping a picture.

Of a JPEG the first 512 KB are held until its last byte has come, and then only what its Exif says;
the rest goes nowhere. A ZIP or a CSV is written to the private place of ``store``.
"""

from django.core.files.uploadhandler import FileUploadHandler
from django.utils.translation import gettext as _

from planning.after.jpeg import MOST_BYTES, MoreNeeded
from planning.frames_in import FrameFile, base_name, plain, read_jpeg, store, table
from planning.frames_in.archive import MAGIC
from workshops.errors import Refused

TABLES = (".csv", ".tsv", ".txt")
MOST_ARCHIVE_BYTES = 4 << 30


class Uploaded:
    """One file that has come: what it says, or a ``store.Upload`` that holds several frames.

    ``needs`` is how many bytes of the file were needed to tell, where those that came do not do.
    """

    def __init__(self, name: str, size: int):
        self.name, self.size = name, size
        self.file: FrameFile | None = None
        self.upload: store.Upload | None = None
        self.needs = 0

    def close(self) -> None:
        """Called by Django at the end of the request: what nobody kept is gone."""
        if self.upload:
            self.upload.discard()


class FrameUploads(FileUploadHandler):
    """Reads frames while they arrive, file by file."""

    def __init__(self, request=None):
        super().__init__(request)
        self._made: list[Uploaded] = []
        self._upload: store.Upload | None = None

    def close(self) -> None:
        """Delete whatever has come: for a form that cannot be read to its end."""
        self._give_up("")
        for made in self._made:
            made.close()

    def new_file(self, *args, **kwargs):
        super().new_file(*args, **kwargs)
        self._head = bytearray()
        self._upload = None
        self._size, self._why, self._most = 0, "", 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> None:
        if not start:
            self._begin(raw_data)
        self._size += len(raw_data)
        if self._upload:
            self._write(raw_data)
        elif not self._why and len(self._head) < MOST_BYTES:
            self._head += raw_data[: MOST_BYTES - len(self._head)]

    def file_complete(self, file_size: int) -> Uploaded:
        made = Uploaded(plain(base_name(self.file_name)), self._size)
        if self._why:
            made.file = FrameFile(made.name, why=self._why)
        elif self._upload:
            self._upload.done()
            made.upload, self._upload = self._upload, None
        else:
            self._read(made)
        self._head = bytearray()
        self._made.append(made)
        return made

    def upload_interrupted(self) -> None:
        self._give_up("")

    def _begin(self, first: bytes) -> None:
        is_table = self.file_name.lower().endswith(TABLES)
        if not (is_table or first.startswith(MAGIC)):
            return
        self._most = table.MOST_BYTES if is_table else MOST_ARCHIVE_BYTES
        try:
            self._upload = store.Upload()
        except Refused as refusal:
            self._why = str(refusal)

    def _write(self, data: bytes) -> None:
        if self._size > self._most:
            told = {"most": self._most >> 20}
            self._give_up(_("It has more than %(most)d MB: bring it in in parts.") % told)
            return
        try:
            self._upload.write(data)
        except OSError:
            self._give_up(_("The server's disk is full: bring in the JPEGs instead."))

    def _give_up(self, why: str) -> None:
        self._why = why
        if self._upload:
            self._upload.discard()
            self._upload = None

    def _read(self, made: Uploaded) -> None:
        head = bytes(self._head)
        try:
            made.file = read_jpeg(made.name, head, whole=False)
        except MoreNeeded as more:
            made.needs = more.upto_bytes
            made.file = read_jpeg(made.name, head, whole=True)
