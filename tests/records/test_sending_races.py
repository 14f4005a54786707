"""Four processes find the same mails due at the same moment: each mail goes once."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.core import mail
from django.test import override_settings

from tests.records.test_races import at_once

ROOT = Path(__file__).resolve().parents[2]
MAILS = 12
ON_A_FILE = """
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.records.test_sending_races import sent_by_four
print(sent_by_four())
"""


def sent_by_four() -> int:
    """Return how many mails left when four connections sent what waits."""
    from tests import factories as make
    from workshops.services.sending import send_waiting

    workshop = make.WorkshopFactory()
    for _ in range(MAILS):
        make.MessageFactory(booking__workshop=workshop)
    mail.outbox = []
    with override_settings(EMAIL_BACKEND="django.core.mail.backends.locmem.EmailBackend"):
        outcomes = at_once([lambda: send_waiting(make.NOW)] * 4)
    assert outcomes == ["str"] * 4
    return len(mail.outbox)


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_each_mail_goes_once_on_postgresql():
    assert sent_by_four() == MAILS


@pytest.mark.slow
def test_each_mail_goes_once_on_an_sqlite_file(sqlite_folder):
    settings = {"DATA_DIR": str(sqlite_folder), "DJANGO_SETTINGS_MODULE": "workshops.settings"}
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    done = subprocess.run(
        [sys.executable, "-c", ON_A_FILE],
        cwd=ROOT,
        env=kept | settings,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.stdout.split() == [str(MAILS)], done.stderr
