"""Four people ask for the last seat at the same moment, each on a connection of their own."""

import os
import subprocess
import sys
import threading
from collections import Counter
from pathlib import Path

import pytest
from django.db import connections

ROOT = Path(__file__).resolve().parents[2]
ON_A_FILE = """
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.records.test_races import race_for_the_last_seat
print(*race_for_the_last_seat())
"""


def at_once(acts):
    """Run the acts in threads that start together; return the type of what each gave or raised."""
    gate, outcomes = threading.Barrier(len(acts)), []

    def run(act):
        try:
            gate.wait(timeout=60)
            outcome = act()
        except Exception as fault:
            outcome = fault
        finally:
            connections.close_all()
        outcomes.append(type(outcome).__name__)

    threads = [threading.Thread(target=run, args=(act,)) for act in acts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    return sorted(outcomes)


def race_for_the_last_seat():
    """Return what four bookings of one seat came to."""
    from tests import factories as make
    from workshops.services.bookings import book_person
    from workshops.services.workshops import resize_seats

    workshop = make.WorkshopFactory()
    resize_seats(by=None, workshop=workshop, seats=1)
    return at_once(
        [
            lambda person=person: book_person(
                by=None, workshop=workshop, person=person, now=make.NOW
            )
            for person in make.PersonFactory.create_batch(4)
        ]
    )


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_the_last_seat_goes_once_on_postgresql():
    assert Counter(race_for_the_last_seat()) == {"Booking": 1, "WorkshopFull": 3}


def test_the_last_seat_goes_once_on_an_sqlite_file(sqlite_folder):
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
    assert done.returncode == 0, done.stderr
    assert Counter(done.stdout.split()) == {"Booking": 1, "WorkshopFull": 3}
