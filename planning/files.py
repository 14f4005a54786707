"""Files put in place whole: whoever looks sees the old one or the new one, never half of one."""

import fcntl
import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

PART = ".part"


def put(path: Path, content: bytes) -> None:
    """Write a file whole, or leave what was there. Raises OSError."""
    with _part(path) as (part, file):
        file.write(content)
        file.flush()
        os.replace(part, path)


@contextmanager
def _part(path: Path) -> Iterator[tuple[Path, object]]:
    """Open a hidden file beside the one it will be; while it is locked somebody works on it."""
    part = path.with_name(f".{path.name}.{os.getpid()}-{threading.get_ident()}{PART}")
    while True:
        with open(part, "wb") as file:
            fcntl.flock(file, fcntl.LOCK_EX)
            if not _is_there(part, file.fileno()):
                continue  # taken for a leftover between the two lines above
            try:
                yield part, file
            finally:
                with suppress(FileNotFoundError):  # it is in place, under its own name
                    part.unlink()
            return


def _is_there(part: Path, descriptor: int) -> bool:
    with suppress(FileNotFoundError):
        return os.path.samestat(part.stat(), os.fstat(descriptor))
    return False


def clear_leftovers(folder: Path) -> None:
    """Delete what a process left that was killed while it wrote; nothing anybody is at work on."""
    for part in folder.glob(f".*{PART}"):
        with suppress(OSError), open(part, "rb") as file:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            if _is_there(part, file.fileno()):  # what was opened may be in place by now
                part.unlink()
