"""A folder of data for those that race on an SQLite file."""

import shutil
from pathlib import Path

import pytest


@pytest.fixture
def sqlite_folder(migrated, tmp_path) -> Path:
    """A folder of data whose database is migrated and empty."""
    shutil.copy(migrated, tmp_path)
    return tmp_path
