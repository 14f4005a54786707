"""Many ask for the same units at the same moment, each a process of its own, by the site's page.

Nothing is promised twice, nobody is answered with a fault of the server.
"""

import multiprocessing
import os
import subprocess
import sys
from collections import Counter
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from urllib.parse import quote, urlencode

import pytest
from django.db import connection

ROOT = Path(__file__).resolve().parents[2]
RUN = """
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.records.test_kit_races import race
race(processes={processes}, rounds={rounds})
"""
DAY = datetime(2099, 5, 8, 8, 0, tzinfo=UTC)
UNITS, WORKSHOPS, WANTED = 6, 4, 2
# Saved; changed meanwhile; refused in words.
ANSWERS = {302, 409, 422}


def race(*, processes: int, rounds: int) -> None:
    """Print what every press of a button was answered, and how many promises overlap."""
    from django.db import connections
    from django.test import Client

    from tests import factories as make
    from workshops.models import Reservation

    kind = make.TriggerFactory(name="Fire-only").kitkind_ptr
    units = [make.UnitFactory(kind=kind, tag=f"T{n}").pk for n in range(UNITS)]
    days = [
        make.WorkshopFactory(start_at=DAY, end_at=DAY + timedelta(hours=9)).pk
        for _ in range(WORKSHOPS)
    ]
    user, clients = make.UserFactory(), []
    for _ in range(processes):
        clients.append(Client(raise_request_exception=False, SERVER_NAME="localhost"))
        clients[-1].force_login(user)
    connections.close_all()
    fork = multiprocessing.get_context("fork")
    gate, told = fork.Barrier(processes), fork.SimpleQueue()
    runners = [
        fork.Process(target=_press, args=(client, days[n % WORKSHOPS], kind.pk, units, n, told))
        for n, client in enumerate(clients)
    ]
    _press.gate, _press.rounds = gate, rounds
    for runner in runners:
        runner.start()
    answers = Counter(code for _runner in runners for code in told.get())
    for runner in runners:
        runner.join(timeout=60)
    rows = list(Reservation.objects.order_by("unit_id", "start_at"))
    overlaps = sum(
        one.unit_id == after.unit_id and after.start_at < one.end_at
        for one, after in pairwise(rows)
    )
    print(overlaps, len(rows), *(f"{code}:{n}" for code, n in answers.items()))


def _press(client, workshop: int, kind: int, units: list[int], number: int, told) -> None:
    """Reserve by number or by ticks, then give some free, over and over, as people do."""
    place = f"/workshops/{workshop}/kit/"
    ticks = list(reversed(units)) if number % 2 else units
    acts = [
        {"act": "numbers", f"kind_{kind}": str(WANTED)},
        {"act": "units", "units": ticks[number % 3 :]},
        {"act": "release", "gone": units[number % UNITS :]},
    ]
    _press.gate.wait(timeout=60)
    codes = []
    for turn in range(_press.rounds):
        act = acts[(number + turn) % len(acts)] if turn else acts[number % 2]
        codes.append(client.post(place, act).status_code)
    told.put(codes)


def ran(url: str, folder: Path, **how) -> tuple[int, int, Counter]:
    """Return (overlapping promises, promises, answers) of a race on a database of its own."""
    settings = {"DATA_DIR": str(folder), "DJANGO_SETTINGS_MODULE": "workshops.settings"}
    done = subprocess.run(
        [sys.executable, "-c", RUN.format(**how)],
        cwd=ROOT,
        env=os.environ | settings | {"DATABASE_URL": url},
        capture_output=True,
        text=True,
        check=False,
        timeout=280,
    )
    assert done.returncode == 0, done.stderr
    overlaps, promises, *answers = done.stdout.split()
    pairs = (one.split(":") for one in answers)
    return int(overlaps), int(promises), Counter({int(code): int(n) for code, n in pairs})


def address() -> str:
    """Return the test database of PostgreSQL as an address."""
    own = connection.settings_dict
    host = {name: own[key] for name, key in (("host", "HOST"), ("port", "PORT")) if own[key]}
    query = urlencode(own["OPTIONS"] | host)
    name = f"{quote(own['USER'])}:{quote(own['PASSWORD'])}"
    return f"postgres://{name}@/{own['NAME']}?{query}"


SMALL = {"processes": 8, "rounds": 1}
LARGE = {"processes": 16, "rounds": 12}
SIZES = [
    pytest.param(SMALL, id="small"),
    pytest.param(LARGE, id="large", marks=pytest.mark.slow),
]


def judge(how, overlaps: int, promises: int, answers: Counter) -> None:
    assert overlaps == 0
    assert promises <= UNITS
    assert set(answers) <= ANSWERS
    assert answers.total() == how["processes"] * how["rounds"]
    assert answers[302] >= 1


@pytest.mark.parametrize("how", SIZES)
def test_units_are_promised_once_on_an_sqlite_file(how, sqlite_folder):
    judge(how, *ran("", sqlite_folder, **how))


@pytest.mark.postgres
@pytest.mark.parametrize("how", SIZES)
@pytest.mark.django_db(transaction=True)
def test_units_are_promised_once_on_postgresql(how, tmp_path):
    judge(how, *ran(address(), tmp_path, **how))
