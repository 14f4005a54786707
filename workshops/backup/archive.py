"""The backup file: a zip of a database snapshot and ``manifest.json``, which says what it is."""

import hashlib
import json
import os
import shutil
import zipfile
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path

from workshops.errors import Refused

FORMAT = 1
MANIFEST = "manifest.json"


@dataclass(frozen=True)
class Manifest:
    """What a backup says of itself. ``rows`` is counted in the snapshot, by table."""

    format: int
    version: str  # of One Stop Under
    engine: str  # as Django's connection.vendor names it
    made_at: str  # ISO 8601, UTC
    migrations: list[list[str]]  # app and name of each one applied
    rows: dict[str, int]
    file: str
    sha256: str

    def row_count(self) -> int:
        return sum(self.rows.values())

    def made(self) -> datetime:
        return datetime.fromisoformat(self.made_at)


def sha256(path: Path) -> str:
    """Return the hash of a file, in hexadecimal."""
    with open(path, "rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def write(target: Path, manifest: Manifest, snapshot: Path) -> None:
    """Put the backup in place whole: whoever looks sees no file, or the old one, or all of it.

    Raises Refused when nothing can be written there.
    """
    part = target.with_name(f".{target.name}.part")
    try:
        part.unlink(missing_ok=True)
        with open(part, "xb", opener=_owner_only) as file:
            with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as bundle:
                bundle.writestr(MANIFEST, json.dumps(asdict(manifest), indent=1))
                bundle.write(snapshot, manifest.file)
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, target)
    except OSError as reason:
        raise Refused(f"{target} cannot be written: {reason.strerror}.") from None
    finally:
        part.unlink(missing_ok=True)


def read(path: Path) -> Manifest:
    """Return what a backup says of itself.

    Raises Refused for a file that is missing, no backup, damaged, or of a later format.
    """
    try:
        with zipfile.ZipFile(path) as bundle:
            if damaged := bundle.testzip():
                raise Refused(f"{path} is damaged: {damaged} in it cannot be read.")
            found = json.loads(bundle.read(MANIFEST))
            if found["format"] != FORMAT:
                raise Refused(f"{path} is of a later version of One Stop Under: update first.")
            manifest = Manifest(**found)
            bundle.getinfo(manifest.file)
    except OSError as reason:
        raise Refused(f"{path} cannot be read: {reason.strerror}.") from None
    except (zipfile.BadZipFile, KeyError, ValueError, TypeError, EOFError):
        raise Refused(f"{path} is no backup of One Stop Under, or not all of one.") from None
    return manifest


def unpack(path: Path, manifest: Manifest, into: Path) -> Path:
    """Return the snapshot of a backup, written into a folder and held against its hash.

    Raises Refused when it is not what the manifest says.
    """
    snapshot = into / "snapshot"
    with (
        zipfile.ZipFile(path) as bundle,
        bundle.open(manifest.file) as packed,
        open(snapshot, "xb", opener=_owner_only) as file,
    ):
        shutil.copyfileobj(packed, file)
    if sha256(snapshot) != manifest.sha256:
        raise Refused(f"{path} is damaged: its database is not the one that was saved.")
    return snapshot


def _owner_only(path: str, flags: int) -> int:
    return os.open(path, flags, mode=0o600)
