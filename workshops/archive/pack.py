"""The file of a backup: a zip with the manifest and the database, and nothing else."""

import hashlib
import os
import shutil
import zipfile
import zlib
from pathlib import Path

from workshops.archive.manifest import Manifest, from_json, to_json
from workshops.errors import Refused

MANIFEST = "manifest.json"
DATABASES = {"sqlite": "database.sqlite3", "postgresql": "database.dump"}
MANIFEST_BYTES = 1_000_000  # far beyond any of ours; a larger one is not read into memory


def sha256(file: Path) -> str:
    """Return the SHA-256 of a file, hexadecimal."""
    with file.open("rb") as content:
        return hashlib.file_digest(content, "sha256").hexdigest()


def write(file: Path, database: Path, manifest: Manifest) -> None:
    """Write a new zip, readable by its owner only, down to the disk."""
    with open(file, "xb", opener=_owner_only) as content:
        with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as archive:
            archive.writestr(MANIFEST, to_json(manifest))
            archive.write(database, DATABASES[manifest.engine])
        content.flush()
        os.fsync(content.fileno())


def read(file: Path, into: Path) -> Manifest:
    """Return the manifest of a backup, its database written to ``into`` and found to be whole.

    Raises Refused when the file cannot be read, is no backup of ours, or differs from what was
    written.
    """
    try:
        with zipfile.ZipFile(file) as archive:
            if archive.getinfo(MANIFEST).file_size > MANIFEST_BYTES:
                raise Refused("its manifest is not one of this application")
            manifest = from_json(archive.read(MANIFEST))
            with (
                archive.open(DATABASES[manifest.engine]) as packed,
                open(into, "xb", opener=_owner_only) as unpacked,
            ):
                shutil.copyfileobj(packed, unpacked)
    except Refused as refusal:
        raise Refused(f"{file} cannot be restored: {refusal}.") from None
    except (zipfile.BadZipFile, KeyError, zlib.error, EOFError, NotImplementedError):
        raise Refused(f"{file} is no backup of this application, or is damaged.") from None
    except OSError as reason:
        raise Refused(f"{file} cannot be read ({reason.strerror}).") from None
    if sha256(into) != manifest.sha256:
        raise Refused(f"{file} is damaged: its database is not the one that was written.")
    return manifest


def _owner_only(path: str, flags: int) -> int:
    return os.open(path, flags, mode=0o600)
