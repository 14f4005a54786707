"""What a backup says of itself."""

import json
from dataclasses import asdict, dataclass
from typing import Any

from workshops.errors import Refused

APPLICATION = "one-stop-under"
FORMAT = 1


@dataclass(frozen=True)
class Manifest:
    """Made by whom, when and from what, and the figures that prove the copy whole."""

    format: int  # of this file's layout; a reader refuses one it does not know
    version: str  # of the application
    engine: str  # "sqlite" or "postgresql"
    made_at: str  # ISO 8601, UTC
    sha256: str  # of the database in the backup, hexadecimal
    migrations: list[tuple[str, str]]  # applied ones, as (app, name)
    rows: dict[str, int]  # by table, counted in the copy itself

    @property
    def row_count(self) -> int:
        return sum(self.rows.values())


def to_json(manifest: Manifest) -> str:
    """Return the text kept in a backup."""
    return json.dumps({"application": APPLICATION, **asdict(manifest)}, indent=1) + "\n"


def from_json(text: bytes) -> Manifest:
    """Return the manifest read from a backup.

    Raises Refused when it is not of this application or of a later layout.
    """
    try:
        found: dict[str, Any] = json.loads(text)
        if found.pop("application") != APPLICATION:
            raise ValueError
        if found["format"] != FORMAT:
            raise Refused(
                f"its layout is number {found['format']!r} and this version reads {FORMAT}: "
                "install the version that wrote it, or a newer one"
            )
        found["migrations"] = [(app, name) for app, name in found["migrations"]]
        found["rows"] = {str(table): int(count) for table, count in found["rows"].items()}
        return Manifest(**found)
    except (ValueError, KeyError, TypeError, AttributeError):
        raise Refused("its manifest is not one of this application") from None
