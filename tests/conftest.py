"""What every test may ask for. Data comes from tests/factories.py, never from here."""

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from tests import factories as make
from tests import once

TESTS = Path(__file__).parent
RECORDS = TESTS / "records"
# The files that take longest: begun last, one worker would still be at them with the others done.
LONGEST_FIRST = (
    "browser/test_every_page.py",
    "test_bootstrap.py",
    "sheets/test_pdf.py",
    "sheets/test_hostile_texts.py",
    "browser/test_keyboard.py",
    "pages/test_urls.py",
    "sheets/test_against_plan.py",
    "pages/test_markup.py",
)


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


def pytest_configure() -> None:
    """Print every paper anew: one kept from another test, or another day, would prove nothing.

    How long that takes is the machine's affair: a test about time says how much there is.
    """
    from django.conf import settings

    settings.PRINTED_DIR = None
    settings.PRINT_SECONDS = 600


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what asks the database under tests/records as depending on its engine; order files."""
    place = {TESTS / name: number for number, name in enumerate(LONGEST_FIRST)}
    items.sort(key=lambda item: place.get(item.path, len(place)))
    for item in items:
        if RECORDS in item.path.parents and item.get_closest_marker("django_db"):
            item.add_marker(pytest.mark.database)


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Skip what has a meaning on PostgreSQL only while the suite runs on SQLite."""
    from django.db import connection

    if item.get_closest_marker("postgres") and connection.vendor != "postgresql":
        pytest.skip("PostgreSQL only: set DATABASE_URL")


@pytest.fixture(scope="session", autouse=True)
def _quick_passwords() -> Iterator[None]:
    """Hash passwords in no time: the real way takes a third of a second each, as it should.

    The programs that tests start (tests/site) hash as on a real site, and are understood here.
    """
    from django.conf import settings
    from django.test import override_settings

    quick = "django.contrib.auth.hashers.MD5PasswordHasher"
    with override_settings(PASSWORD_HASHERS=[quick, *settings.PASSWORD_HASHERS]):
        yield


@pytest.fixture(autouse=True)
def _numbers_begin_anew() -> None:
    """Number the records of every test from the start: none hangs on those that ran before."""
    make.number_from(0)


@pytest.fixture(scope="session")
def migrated(tmp_path_factory) -> Path:
    """An SQLite file as `manage.py migrate` leaves it, made once for all workers. Copy it."""
    return once.migrated_file(once.run_folder(tmp_path_factory))


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    request, django_db_modify_db_settings_parallel_suffix, django_db_use_migrations
) -> Iterator[None]:
    """Begin the test database as a copy of one that was migrated: `migrate` then finds no more."""
    if not django_db_use_migrations:
        yield
        return
    from django.db import connection

    if connection.vendor == "postgresql":
        folder = once.run_folder(request.getfixturevalue("tmp_path_factory"))
        connection.settings_dict["TEST"]["TEMPLATE"] = once.migrated_template(folder)
        yield
        return
    file, name = request.getfixturevalue("migrated"), connection.creation._get_test_db_name()
    # The memory lives as long as somebody has it open; Django opens it before this is done.
    with closing(sqlite3.connect(name, uri=True)) as memory:
        with closing(sqlite3.connect(file)) as source:
            source.backup(memory)
        yield


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Remove the template of this run once no worker needs it any more."""
    if "DATABASE_URL" in os.environ and not hasattr(session.config, "workerinput"):
        once.drop_template()
