"""The first account, asked for in a terminal: a real one, in which nothing secret shows."""

import io
import sqlite3
import sys
from contextlib import closing

import pytest
from django.contrib.auth.hashers import check_password
from django.core.management import call_command
from django.core.management.base import CommandError

from tests.site.running import Site
from tests.site.terminal import Terminal

pytestmark = pytest.mark.django_db  # the tables of a new site come from that database
PASSWORD = "lamp-over-the-left-shoulder"


@pytest.fixture
def site(new_site):
    return new_site()


def accounts(site) -> list[tuple]:
    with closing(sqlite3.connect(site.data_dir / "db.sqlite3")) as database:
        return database.execute(
            "SELECT email, name, is_superuser, is_staff, password FROM workshops_user"
        ).fetchall()


def test_it_asks_until_the_answers_are_good_and_shows_no_password(site):
    terminal = Terminal(site, "administrator")
    terminal.answer("E-mail to log in with: ", "office\n")
    terminal.answer("Name: ", "Office\n")
    terminal.answer("Password", PASSWORD + "\n")
    terminal.answer("The same again: ", PASSWORD + "\n")
    terminal.answer("E-mail to log in with [office]: ", "Office@Example.org\n")
    terminal.answer("Name [Office]: ", "\n")
    terminal.answer("Password", "tin-kettle\n")
    terminal.answer("The same again: ", "tin-kettle\n")
    terminal.answer("E-mail to log in with [Office@Example.org]: ", "\n")
    terminal.answer("Name [Office]: ", "\n")
    terminal.answer("Password", PASSWORD + "\n")
    terminal.answer("The same again: ", "something else\n")
    terminal.answer("Password", PASSWORD + "\n")
    terminal.answer("The same again: ", PASSWORD + "\n")
    assert terminal.close() == 0
    assert f"A new account in the SQLite database {site.data_dir}/db.sqlite3" in terminal.shown
    assert "valid email address" in terminal.shown
    assert "This password is too short" in terminal.shown
    assert "The two were not the same" in terminal.shown
    assert "office@example.org may log in now" in terminal.shown
    assert PASSWORD not in terminal.shown
    assert "tin-kettle" not in terminal.shown
    ((email, name, is_superuser, is_staff, password),) = accounts(site)
    assert (email, name, is_superuser, is_staff) == ("office@example.org", "Office", 1, 1)
    assert password.startswith("pbkdf2_sha256$")  # the suite itself hashes in a quicker way
    assert check_password(PASSWORD, password)


def test_ctrl_c_at_the_password_of_serve_ends_cleanly_with_nothing_half_done(site):
    terminal = Terminal(site, "serve", "--bind", f"127.0.0.1:{site.port}")
    terminal.answer("E-mail to log in with: ", "office@example.org\n")
    terminal.answer("Name: ", "Office\n")
    terminal.answer("Password", "\x03")
    assert terminal.close() == 130  # 128 and the number of SIGINT: POSIX shells
    assert "no account was made" in terminal.shown
    assert "Traceback" not in terminal.shown
    assert "serving" not in terminal.shown
    assert accounts(site) == []


def test_without_a_terminal_it_says_how_to_run_it(monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    with pytest.raises(CommandError, match="run it in a terminal"):
        call_command("administrator")


@pytest.mark.slow
def test_before_there_is_a_site_it_says_what_makes_one(tmp_path):
    terminal = Terminal(Site(tmp_path), "administrator")
    terminal.answer("E-mail to log in with: ", "office@example.org\n")
    terminal.answer("Name: ", "Office\n")
    terminal.answer("Password", PASSWORD + "\n")
    terminal.answer("The same again: ", PASSWORD + "\n")
    assert terminal.close() == 1
    assert "python3 manage.py serve makes it" in terminal.shown
    assert "Traceback" not in terminal.shown
