"""Tables printed elsewhere, kept as fixtures/published/*.csv with their source on line one."""

import csv
from pathlib import Path

PUBLISHED = Path(__file__).resolve().parent.parent / "fixtures" / "published"


def published(name: str) -> list[dict[str, str]]:
    """Return the rows of one table, by column name, as printed."""
    with (PUBLISHED / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        source = file.readline()
        if not source.startswith("# Source:"):
            raise ValueError(f"{name}.csv names no source on its first line")
        return list(csv.DictReader(file))
