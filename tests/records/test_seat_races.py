"""Many book the last seats at the same moment, each a process of its own, by the site's page.

No seat is sold twice, a double click books once, nobody is answered with a fault of the server.
"""

import multiprocessing
import os
import subprocess
import sys
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.records.browser import filled
from tests.records.test_kit_races import address

ROOT = Path(__file__).resolve().parents[2]
RUN = """
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.records.test_seat_races import race
race({people}, {presses})
"""
DAY = datetime(2099, 5, 8, 8, 0, tzinfo=UTC)
SEATS = 2
# Names far enough apart that none is taken for a slip of another.
NAMES = (
    "Abdul Crane", "Bettina Frost", "Ciro Lumen", "Dagny Marsh", "Emeka Quill", "Fleur Vance",
    "Goran Webb", "Hiroko Yule", "Ilse Zander", "Jomo Birch", "Kirsti Dove", "Lorcan Elm",
    "Mirela Fenn", "Nils Gorse", "Oona Heath", "Pavel Iris",
)  # fmt: skip


def race(people: int, presses: int) -> None:
    """Print what every press was answered, the states of the bookings, and how many people.

    So many new people, all at once, each form sent ``presses`` times; every second one asks for
    the waitlist.
    """
    from django.db import connections
    from django.test import Client

    from tests import factories as make
    from workshops.models import Booking, Person

    day = make.WorkshopFactory(start_at=DAY, end_at=DAY + timedelta(hours=9))
    for number in range(SEATS):
        make.SeatFactory(workshop=day, number=number + 1)
    user, sent = make.UserFactory(), []
    place = f"/workshops/{day.pk}/bookings/new/"
    for number, name in enumerate(NAMES[:people]):
        client = Client(raise_request_exception=False, SERVER_NAME="localhost")
        client.force_login(user)
        form = filled(client.get(place)) | {"name": name}
        form |= {"waitlist": "on"} if number % 2 else {}
        sent += [(client, place, form)] * presses
    connections.close_all()
    fork = multiprocessing.get_context("fork")
    gate, told = fork.Barrier(len(sent)), fork.SimpleQueue()
    runners = [fork.Process(target=_press, args=(*one, gate, told)) for one in sent]
    for runner in runners:
        runner.start()
    answers = Counter(f"answered:{told.get()}" for _runner in runners)
    for runner in runners:
        runner.join(timeout=60)
    states = Counter(Booking.objects.values_list("state", flat=True))
    counts = answers | states | Counter(people=Person.objects.count())
    print(*(f"{what}={count}" for what, count in counts.items()))


def _press(client, place: str, form: dict, gate, told) -> None:
    gate.wait(timeout=60)
    told.put(client.post(place, form).status_code)


def ran(url: str, folder: Path, people: int, presses: int) -> Counter:
    """Return the counts of a race on a database of its own."""
    settings = {"DATA_DIR": str(folder), "DJANGO_SETTINGS_MODULE": "workshops.settings"}
    done = subprocess.run(
        [sys.executable, "-c", RUN.format(people=people, presses=presses)],
        cwd=ROOT,
        env=os.environ | settings | {"DATABASE_URL": url},
        capture_output=True,
        text=True,
        check=False,
        timeout=280,
    )
    assert done.returncode == 0, done.stderr
    pairs = (one.split("=") for one in done.stdout.split())
    return Counter({what: int(count) for what, count in pairs})


# People and presses of each: the double click of four; sixteen at once for the last two seats.
SIZES = [
    pytest.param(4, 2, id="four-twice"),
    pytest.param(16, 1, id="sixteen", marks=pytest.mark.slow),
]


def judge(counts: Counter, people: int, presses: int) -> None:
    answers = {what for what in counts if what.startswith("answered")}
    assert answers <= {"answered:302", "answered:422"}
    assert sum(counts[what] for what in answers) == people * presses
    assert counts["held"] == SEATS
    # Whoever asked for the waitlist has a seat or waits; whoever did not may be refused, and is
    # then not entered either.
    assert counts["held"] + counts["waitlisted"] == counts["people"]
    assert people // 2 <= counts["people"] <= people // 2 + SEATS
    assert counts["answered:302"] == counts["people"] * presses


@pytest.mark.parametrize(("people", "presses"), SIZES)
def test_the_last_seats_go_once_on_an_sqlite_file(people, presses, sqlite_folder):
    judge(ran("", sqlite_folder, people, presses), people, presses)


@pytest.mark.postgres
@pytest.mark.parametrize(("people", "presses"), SIZES)
@pytest.mark.django_db(transaction=True)
def test_the_last_seats_go_once_on_postgresql(people, presses, tmp_path):
    judge(ran(address(), tmp_path, people, presses), people, presses)
