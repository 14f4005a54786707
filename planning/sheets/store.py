"""Finished papers, kept under what they were made of: unchanged inputs give the stored bytes.

The folder belongs to the site's owner alone, for sheets hold names; it is no part of a backup, and
deleting it costs nothing but time.
"""

import hashlib
import importlib.metadata
import logging
import os
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path

from django.conf import settings

KEPT_DAYS = 7  # after it was last asked for: names should not lie about for longer
KEPT_BYTES = 256 << 20  # five thousand sheets
TIDIED_EVERY = 50  # papers: looking through the folder costs a few milliseconds
DIGEST_BYTES = hashlib.sha256().digest_size
# A change of any of them may change a paper.
LIBRARIES = ("weasyprint", "pydyf", "fonttools", "fontpkg-source-sans-3", "fontpkg-noto-sans")
SOURCES = ("planning/**/*.py", "workshops/*.py", "workshops/locale/**/*.mo", "templates/sheets/*")

log = logging.getLogger(__name__)
_written = 0


def mark(kind: str, made_of: object) -> str:
    """Return what tells a paper from all others: the same only for the same, by this version.

    ``made_of`` counts by its ``repr``: of frozen values and texts that is all they say.
    """
    said = f"{kind}\n{_version()}\n{made_of!r}"
    return hashlib.sha256(said.encode("utf-8", "surrogatepass")).hexdigest()


def kept(name: str, make: Callable[[], bytes]) -> bytes:
    """Return what is stored by a name, a mark and perhaps an ending, or make it and keep it."""
    if settings.PRINTED_DIR is None:
        return make()
    path = Path(settings.PRINTED_DIR) / name
    content = _read(path)
    if content is None:
        content = make()
        _write(path, content)
    return content


def _read(path: Path) -> bytes | None:
    """Return a whole stored paper, or None; one that the disk has damaged is none."""
    try:
        stored = path.read_bytes()
        os.utime(path)
    except OSError:
        return None
    content = stored[DIGEST_BYTES:]
    return content if hashlib.sha256(content).digest() == stored[:DIGEST_BYTES] else None


def _write(path: Path, content: bytes) -> None:
    """Put it in place whole, so that two who print the same do not meet half a file."""
    global _written
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        descriptor, part = tempfile.mkstemp(dir=path.parent)  # for its owner's eyes only
        try:
            with open(descriptor, "wb") as file:
                file.write(hashlib.sha256(content).digest() + content)
            os.replace(part, path)
        except BaseException:
            os.unlink(part)
            raise
        if _written % TIDIED_EVERY == 0:
            tidy(path.parent)
        _written += 1
    except OSError as reason:  # a full disk: the paper itself is there all the same
        log.warning("a printed paper could not be kept: %s", reason)


def tidy(folder: Path) -> None:
    """Delete what nobody asked for in KEPT_DAYS, then the oldest until KEPT_BYTES hold the rest."""
    oldest_at = time.time() - KEPT_DAYS * 24 * 60 * 60
    total = 0
    for at, size, path in sorted(_papers(folder), reverse=True):
        total += size
        if at < oldest_at or total > KEPT_BYTES:
            Path(path).unlink(missing_ok=True)


def _papers(folder: Path) -> Iterator[tuple[float, int, str]]:
    for entry in os.scandir(folder):
        with suppress(FileNotFoundError):  # another process may tidy at the same time
            found = entry.stat()
            yield found.st_mtime, found.st_size, entry.path


@cache
def _version() -> str:
    """Return a mark of everything else a paper is made by: our own files and the libraries."""
    mark = hashlib.sha256()
    for pattern in SOURCES:
        for path in sorted(settings.BASE_DIR.glob(pattern)):
            if path.is_file():
                mark.update(path.read_bytes())
    for name in LIBRARIES:
        mark.update(f"{name} {importlib.metadata.version(name)}\n".encode())
    return mark.hexdigest()
