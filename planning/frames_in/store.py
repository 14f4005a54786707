"""ZIPs and CSVs between their upload and the last of their files: private, and then deleted.

Only such files are ever written to disk, never a picture by itself; each is known by the lot it
belongs to, and gone when the lot is through, deleted, or a day old.
"""

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.utils.translation import gettext as _

from planning.frames_in import FrameFile
from planning.frames_in.archive import MAGIC, Archive
from planning.frames_in.table import MOST_BYTES, Table
from workshops.errors import Refused
from workshops.words import counted

FOLDER = "frames_in"
FREE_BYTES = 1 << 30  # left to everything else on the disk
KEPT = timedelta(days=1)


class Upload:
    """A file being written; ``discard`` deletes it unless it was kept. Raises OSError."""

    def __init__(self):
        handle, name = tempfile.mkstemp(prefix="new-", dir=folder())  # for its owner alone
        self.path, self._file = Path(name), os.fdopen(handle, "wb")

    def write(self, data: bytes) -> None:
        self._file.write(data)

    def done(self) -> None:
        self._file.close()

    def discard(self) -> None:
        self._file.close()
        self.path.unlink(missing_ok=True)


def folder() -> Path:
    """Return the private place; Refused where the disk is nearly full."""
    place = settings.DATA_DIR / FOLDER
    place.mkdir(mode=0o700, parents=True, exist_ok=True)
    if shutil.disk_usage(place).free < FREE_BYTES:
        raise Refused(
            _("There is less than 1 GB left on the server's disk: bring in the JPEGs instead.")
        )
    return place


def source_of(path: Path) -> "Opened":
    """Return an archive or a table, open. Raises Refused for one that cannot be read."""
    file = open(path, "rb")  # noqa: SIM115 - closed by whoever closes what is returned
    try:
        if file.read(len(MAGIC)) == MAGIC:
            return Opened(Archive(file), file)
        file.seek(0)
        return Opened(Table(file.read(MOST_BYTES + 1)), file)
    except BaseException:
        file.close()
        raise


class Opened:
    """Files that are read one after the other, and the file they are read from."""

    def __init__(self, source: Archive | Table, file):
        self._source, self._file = source, file

    def __len__(self) -> int:
        return len(self._source)

    def files(self, start: int) -> Iterator[FrameFile]:
        return self._source.files(start)

    def close(self) -> None:
        self._file.close()


def keep(upload: Upload, lot_id: int) -> None:
    """Let a lot's file wait until all of it has come in."""
    os.replace(upload.path, _path(lot_id))


def opened(lot_id: int):
    """Open what a lot is read from. Raises FileNotFoundError where it is gone."""
    return reading(_path(lot_id))


@contextmanager
def reading(path: Path) -> Iterator[Opened]:
    """Open a ZIP or a CSV for as long as it is read. Raises Refused as ``source_of`` does."""
    with closing(source_of(path)) as source:
        yield source


def waits(lot_id: int) -> bool:
    return _path(lot_id).exists()


def forget(lot_id: int) -> None:
    _path(lot_id).unlink(missing_ok=True)


def forget_old(now: datetime) -> str:
    """Delete what nobody came back for within a day, or a process left that was killed."""
    place, count = settings.DATA_DIR / FOLDER, 0
    for path in place.iterdir() if place.is_dir() else ():
        with suppress(FileNotFoundError):
            if path.stat().st_mtime < (now - KEPT).timestamp():
                path.unlink()
                count += 1
    files = counted(count, "file", "files")
    return f"forgot {files} of frames brought in more than a day ago" if count else ""


def _path(lot_id: int) -> Path:
    return settings.DATA_DIR / FOLDER / f"lot-{lot_id}"
