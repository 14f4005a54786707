"""``/healthz``: what a watcher sees, and what it does not."""

import os
import time

import pytest
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

import workshops
from workshops import health, minute

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def test_a_site_that_can_work_says_so_without_a_log_in(client):
    answer = client.get("/healthz", headers={"host": "10.0.0.7:8000"})
    assert answer.status_code == 200
    assert answer.json() == {
        "status": "ok",
        "version": workshops.__version__,
        "database": "ok",
        "migrations": "ok",
        "due": "not started",
    }
    assert answer.headers["Cache-Control"] == "no-store"
    assert not answer.cookies


def test_no_other_address_is_answered_like_this(client):
    assert client.get("/healthz/x").status_code in (302, 404)


def test_it_is_not_sent_on_to_https(client, settings):
    settings.SECURE_SSL_REDIRECT = True
    assert client.get("/healthz").status_code == 200


def test_a_missing_migration_fails(client):
    MigrationRecorder(connection).record_unapplied("workshops", "0001_initial")
    answer = client.get("/healthz")
    assert answer.status_code == 503
    assert answer.json()["status"] == "failing"
    assert answer.json()["migrations"] == "1 missing"


def test_a_database_that_does_not_answer_fails(client, settings, monkeypatch):
    def broken(*_args, **_kwargs):
        from django.db import OperationalError

        raise OperationalError("password authentication failed for user office")

    monkeypatch.setattr(connection, "cursor", broken)
    answer = client.get("/healthz")
    assert answer.status_code == 503
    assert answer.json()["database"] == "not answering"
    assert "office" not in answer.content.decode()


@pytest.fixture
def minute_thread(settings, tmp_path, monkeypatch):
    """As in a process of the server: the thread runs; its folder is ours."""
    import threading

    settings.DATA_DIR = tmp_path
    stop = threading.Event()
    thread = threading.Thread(target=stop.wait, name=minute.NAME, daemon=True)
    thread.start()
    yield tmp_path / "due-beat"
    stop.set()
    thread.join()


def test_in_a_server_the_beat_of_the_minute_counts(client, minute_thread):
    minute.beat()
    assert client.get("/healthz").json()["due"] == "alive"


@pytest.mark.parametrize(("age_s", "status"), [(240, 200), (360, 503)])
def test_a_beat_older_than_five_minutes_fails(client, minute_thread, age_s, status):
    minute.beat()
    then = time.time() - age_s
    os.utime(minute_thread, (then, then))
    assert client.get("/healthz").status_code == status


def test_a_server_whose_minute_never_began_fails(client, minute_thread):
    assert client.get("/healthz").status_code == 503


def test_it_knows_the_migrations_of_both_parts():
    assert {app for app, _ in health.known_migrations()} >= {"workshops", "planning", "auth"}
