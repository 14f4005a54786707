"""Published tables under fixtures/published: the source in the first line, then a header."""

import csv
from pathlib import Path

FOLDER = Path(__file__).parents[2] / "fixtures" / "published"


def rows(name: str) -> list[dict[str, str]]:
    """Return the rows of one table, each by its column names."""
    with (FOLDER / f"{name}.csv").open(encoding="utf-8") as table:
        assert next(table).startswith("# Source: ")
        return list(csv.DictReader(table))
