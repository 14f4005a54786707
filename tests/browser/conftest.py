"""A browser, a site to open in it, and the checkers of pages.

The site is the real one on a port of its own, over an SQLite file: a test gets a copy of one that
was filled once, so that nothing it does reaches the next. Ask for ``site``; log in by ``open_as``.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.staticfiles.handlers import StaticFilesHandler
from django.db import connection, transaction
from django.test import Client
from django.test.testcases import LiveServerThread
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from tests import factories as make
from tests.conftest import need
from tests.once import once, run_folder
from tests.pages import full_house
from workshops.models import User

PATIENCE_MS = 120_000  # a loaded machine is slow; what works is there long before


@pytest.fixture(scope="session")
def _database(django_test_environment, django_db_blocker) -> Iterator[None]:
    """Let tests, and the server's threads, at the database for the whole of the session."""
    if connection.vendor != "sqlite":
        pytest.skip("the browser's tests swap SQLite files: unset DATABASE_URL")
    asked = os.environ.get("DJANGO_ALLOW_ASYNC_UNSAFE")
    # Playwright keeps an event loop in this thread; Django would take us for a coroutine.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with django_db_blocker.unblock():
        yield
    if asked is None:
        del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@contextmanager
def over(file: Path) -> Iterator[None]:
    """Let Django work on that SQLite file, here and in every thread that connects meanwhile."""
    kept, name = connection.connection, connection.settings_dict["NAME"]
    connection.connection, connection.settings_dict["NAME"] = None, file
    try:
        yield
    finally:
        connection.close()
        connection.connection, connection.settings_dict["NAME"] = kept, name


@pytest.fixture(scope="session")
def empty_file(migrated, _database, tmp_path_factory) -> Path:
    """A site on its first day: the office's account and nothing else."""
    file = Path(shutil.copy(migrated, tmp_path_factory.mktemp("empty")))
    with over(file):
        make.UserFactory(email="office@example.org")
    return file


@pytest.fixture(scope="session")
def full_file(_database, tmp_path_factory, empty_file) -> Path:
    """A house under way, built once for all workers."""

    def build(folder: Path) -> None:
        folder.mkdir(exist_ok=True)
        with over(shutil.copy(empty_file, folder)), transaction.atomic():
            User.objects.all().delete()
            make.number_from(1000)  # its names are not those of the records a test makes beside it
            full_house.build(folder)

    return once(run_folder(tmp_path_factory), "full", build) / empty_file.name


@pytest.fixture
def full_site(full_file, tmp_path) -> Iterator[None]:
    """A copy of the full house under Django for one test."""
    with over(shutil.copy(full_file, tmp_path / "db.sqlite3")):
        yield


@pytest.fixture
def empty_site(empty_file, tmp_path) -> Iterator[None]:
    """A copy of the empty site under Django for one test."""
    with over(shutil.copy(empty_file, tmp_path / "db.sqlite3")):
        yield


@pytest.fixture(scope="session")
def address(_database) -> Iterator[str]:
    """The address the site answers at, static files and all."""
    thread = LiveServerThread("localhost", StaticFilesHandler)
    thread.daemon = True
    thread.start()
    thread.is_ready.wait()
    if thread.error:
        raise thread.error
    yield f"http://localhost:{thread.port}"
    thread.terminate()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    program = need("chromium")
    with sync_playwright() as playwright:
        # Without a sandbox because CI runs as root in a container; it opens our own pages only.
        arguments = ["--no-sandbox", "--disable-gpu"]
        running = playwright.chromium.launch(
            executable_path=program, args=arguments, timeout=PATIENCE_MS
        )
        expect.set_options(timeout=PATIENCE_MS)
        yield running
        running.close()


@pytest.fixture
def open_as(browser, address) -> Iterator[Callable[..., Page]]:
    """``open_as("office@example.org")`` returns a page of that account, logged in."""
    contexts: list[BrowserContext] = []

    def opened(email: str | None = "office@example.org", **choices) -> Page:
        context = browser.new_context(base_url=address, **choices)
        context.set_default_timeout(PATIENCE_MS)
        contexts.append(context)
        if email:
            context.add_cookies([session_cookie(email, address)])
        return context.new_page()

    yield opened
    for context in contexts:
        context.close()


def session_cookie(email: str, address: str) -> dict:
    """Return the cookie of somebody who has logged in."""
    client = Client()
    client.force_login(User.objects.get(email=email))
    value = client.cookies[settings.SESSION_COOKIE_NAME].value
    return {"name": settings.SESSION_COOKIE_NAME, "value": value, "url": address}
