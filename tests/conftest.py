"""What every test may ask for. Data comes from tests/factories.py, never from here."""

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

RECORDS = Path(__file__).parent / "records"


def need(tool: str) -> str:
    """Return the path of a program a test runs, or skip the test with the reason.

    A skip is for a bare machine only: with CI=true a missing program is a failure, because there
    nobody reads the list of skipped tests.
    """
    if path := shutil.which(tool):
        return path
    reason = f"{tool} is not installed"
    if os.environ.get("CI") == "true":
        pytest.fail(f"{reason}, and CI must not skip")
    return pytest.skip(reason)


@pytest.fixture(name="need")
def need_fixture() -> Callable[[str], str]:
    """``need("pdftoppm")`` inside a test: see the function of that name."""
    return need


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what asks the database under tests/records as depending on its engine."""
    for item in items:
        if RECORDS in item.path.parents and item.get_closest_marker("django_db"):
            item.add_marker(pytest.mark.database)


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Skip what has a meaning on PostgreSQL only while the suite runs on SQLite."""
    from django.db import connection

    if item.get_closest_marker("postgres") and connection.vendor != "postgresql":
        pytest.skip("PostgreSQL only: set DATABASE_URL")
