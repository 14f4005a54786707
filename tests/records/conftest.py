"""A migrated SQLite file, made once for all that race on a copy of it."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def _migrated(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("migrated")
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    subprocess.run(
        [sys.executable, "manage.py", "migrate", "--verbosity=0"],
        cwd=ROOT,
        env=kept | {"DATA_DIR": str(folder)},
        check=True,
        timeout=120,
    )
    return folder / "db.sqlite3"


@pytest.fixture
def sqlite_folder(_migrated, tmp_path) -> Path:
    """A folder of data whose database is migrated and empty."""
    shutil.copy(_migrated, tmp_path)
    return tmp_path
