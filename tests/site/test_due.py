"""Timed work: what is due is done, once, whatever else fails."""

from datetime import UTC, datetime, timedelta

import pytest
from django.contrib.sessions.models import Session
from django.core.management import call_command

from tests.factories import PersonFactory
from workshops.due import due
from workshops.models import Person

pytestmark = [pytest.mark.django_db, pytest.mark.database]
NOW = datetime(2027, 4, 1, 9, 0, tzinfo=UTC)


def session(key: str, ends_at: datetime) -> None:
    Session.objects.create(session_key=key, session_data="", expire_date=ends_at)


def test_log_ins_that_have_run_out_are_forgotten_and_others_kept():
    session("old", NOW - timedelta(seconds=1))
    session("new", NOW + timedelta(seconds=1))
    assert due(NOW) == ["forgot 1 log-in that had run out"]
    assert [one.session_key for one in Session.objects.all()] == ["new"]


def test_doing_it_again_does_nothing():
    session("old", NOW - timedelta(seconds=1))
    due(NOW)
    assert due(NOW) == []


def test_a_task_that_fails_leaves_nothing_half_done_and_stops_no_other(caplog):
    def half_way(now):
        PersonFactory()
        raise RuntimeError("the wire is cut")

    def works(now):
        return "swept the floor"

    assert due(NOW, tasks=(half_way, works)) == ["swept the floor"]
    assert not Person.objects.exists()
    assert "half_way failed" in caplog.text
    assert "the wire is cut" in caplog.text


def test_the_command_says_what_it_did(capsys):
    session("old", datetime(2000, 1, 1, tzinfo=UTC))
    call_command("due")
    assert "forgot 1 log-in" in capsys.readouterr().out
    call_command("due")
    assert "Nothing was due." in capsys.readouterr().out
