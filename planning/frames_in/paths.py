"""Files and folders on this machine -> what each says of its frame, by the head of it alone."""

import os
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from django.utils.translation import gettext as _

from planning.after.jpeg import FIRST_BYTES, MoreNeeded
from planning.frames_in import FrameFile, is_brought, plain, read_jpeg
from planning.frames_in.archive import MAGIC
from planning.frames_in.uploads import TABLES

JPEGS = (".jpg", ".jpeg", ".jpe")


@dataclass(frozen=True)
class Found:
    """What is there to be brought in, each in the order of its name."""

    jpegs: tuple[Path, ...]
    holders: tuple[Path, ...]  # ZIPs and CSVs
    left_aside: Counter[str]  # files of folders that are none of these, by their endings


def found(paths: Iterable[Path]) -> Found:
    """Return what the paths name, and what their folders hold. Raises OSError for none."""
    jpegs, holders, left_aside = [], [], Counter()
    for path in paths:
        if not path.is_dir():
            (holders if _holds_several(path) else jpegs).append(path)
            continue
        for one in _inside(path):
            ending = one.suffix.lower()
            if ending in JPEGS:
                jpegs.append(one)
            elif ending in (".zip", ".csv"):
                holders.append(one)
            else:
                left_aside[ending] += 1
    return Found(tuple(jpegs), tuple(holders), left_aside)


def read(path: Path) -> FrameFile:
    """Return what a JPEG on this machine says; a file that cannot be read says why."""
    try:
        with open(path, "rb") as file:
            size, upto = os.fstat(file.fileno()).st_size, FIRST_BYTES
            head = file.read(upto)
            while True:
                try:
                    return read_jpeg(str(path), head, whole=len(head) >= size)
                except MoreNeeded as more:
                    head += file.read(more.upto_bytes - len(head))
    except OSError as fault:
        why = _("It cannot be read: %(reason)s.") % {"reason": fault.strerror or fault}
        return FrameFile(plain(str(path)), why=why)


def _inside(folder: Path) -> Iterator[Path]:
    """Yield the files below a folder, by name; no link is followed out of it."""
    for place, folders, names in os.walk(folder):
        folders.sort()
        for name in sorted(names):
            path = Path(place, name)
            if is_brought(name) and not path.is_symlink() and path.is_file():
                yield path


def _holds_several(path: Path) -> bool:
    if path.suffix.lower() in TABLES:
        return True
    with open(path, "rb") as file:
        return file.read(len(MAGIC)) == MAGIC
