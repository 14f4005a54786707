"""Two close a workshop while a third signs kit out there and a fourth notes a turn.

It is closed once, nobody is written to twice, and nothing slips in behind the closing.
"""

import multiprocessing
import os
import subprocess
import sys
from datetime import timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from django.db import connections

from tests import factories as make

ROOT = Path(__file__).resolve().parents[2]
ROUNDS = 6
OVER = make.WorkshopFactory.end_at + timedelta(hours=1)
ON_A_FILE = """
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.records.test_closing_races import race
print(*race())
"""


def close(day: dict) -> None:
    from planning.services.closing import close_workshop
    from workshops.models import Workshop

    workshop = Workshop.objects.get(pk=day["workshop"])
    close_workshop(by=None, workshop=workshop, reasons=day["reasons"], now=OVER)


def sign_out(day: dict) -> None:
    from workshops.models import KitUnit, Person, Workshop
    from workshops.services.checkouts import sign_out

    sign_out(
        by=None,
        unit=KitUnit.objects.get(pk=day["unit"]),
        person=Person.objects.get(pk=day["person"]),
        workshop=Workshop.objects.get(pk=day["workshop"]),
        now=OVER,
    )


def note(day: dict) -> None:
    from planning.models import PlannedSet
    from planning.services.turns import note_turn
    from workshops.models import Booking

    note_turn(
        by=None,
        planned_set=PlannedSet.objects.get(pk=day["set"]),
        booking=Booking.objects.get(pk=day["booking"]),
        kind="turn given",
        uuid=uuid4(),
        now=OVER,
        planned_at=OVER,
    )


ACTS = (close, close, sign_out, note)


def act(number: int, days: list[dict], gate) -> None:
    """Do one thing for each day, all together; what is refused in words is fine."""
    from workshops.errors import Refused

    connections.close_all()
    for day in days:
        gate.wait(timeout=60)
        try:
            ACTS[number](day)
        except Refused:
            continue


def a_day() -> dict:
    from planning.selectors.closing import checklist

    workshop = make.WorkshopFactory(status="run")
    booking = make.BookingFactory(workshop=workshop, state="attended")
    planned = make.SetFactory(workshop=workshop, position=1)
    unit = make.UnitFactory()
    make.ReservationFactory(workshop=workshop, unit=unit)
    reasons = {one.key: "Rain" for check in checklist(workshop, OVER) for one in check.items}
    # The same with the turn noted meanwhile: both of them want the rest of the tally.
    lacking = {f"set-{planned.pk}-times-turns": "Rain", f"set-{planned.pk}-times": "Rain"}
    return {
        "workshop": workshop.pk,
        "booking": booking.pk,
        "person": booking.person_id,
        "set": planned.pk,
        "unit": unit.pk,
        "reasons": reasons | lacking,
    }


def race() -> list[str]:
    """Return for each day what came of it: closed or out, and what else there is too much of."""
    make.HouseFactory()
    days = [a_day() for _round in range(ROUNDS)]
    connections.close_all()  # a connection must not be shared with a child
    fork = multiprocessing.get_context("fork")
    gate = fork.Barrier(len(ACTS))
    children = [fork.Process(target=act, args=(n, days, gate)) for n in range(len(ACTS))]
    for child in children:
        child.start()
    for child in children:
        child.join(timeout=120)
    assert [child.exitcode for child in children] == [0] * len(ACTS)
    return [came_of(day) for day in days]


def came_of(day: dict) -> str:
    from planning.models import TallyEvent
    from workshops.models import AuditEntry, Checkout, Closing, Message

    closings = Closing.objects.filter(workshop=day["workshop"]).count()
    out = Checkout.objects.filter(workshop=day["workshop"]).count()
    if (closings, out) not in ((1, 0), (0, 1)):
        return f"{closings}-closings-{out}-out"
    mails = Message.objects.filter(workshop=day["workshop"])
    if sorted(mails.values_list("purpose", flat=True)) != ["feedback", "handout"] * closings:
        return "mails"
    # The audit numbers what happened: no turn was noted after the workshop was closed.
    events = TallyEvent.objects.filter(planned_set=day["set"]).values_list("pk", flat=True)
    noted = AuditEntry.objects.filter(
        record_type="planning.tallyevent", record_id__in=[str(pk) for pk in events]
    ).first()
    closed = AuditEntry.objects.filter(record_type="workshops.closing", record_id__in=_of(day))
    if noted and closed.exists() and noted.pk > closed.get().pk:
        return "noted-behind-it"
    return "closed" if closings else "out"


def _of(day: dict) -> list[str]:
    from workshops.models import Closing

    found = Closing.objects.filter(workshop=day["workshop"]).values_list("pk", flat=True)
    return [str(pk) for pk in found]


def judge(told: list[str]) -> None:
    assert len(told) == ROUNDS
    assert set(told) <= {"closed", "out"}, told


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_a_workshop_is_closed_once_and_nothing_slips_in_on_postgresql():
    judge(race())


def test_a_workshop_is_closed_once_and_nothing_slips_in_on_an_sqlite_file(sqlite_folder):
    settings = {"DATA_DIR": str(sqlite_folder), "DJANGO_SETTINGS_MODULE": "workshops.settings"}
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    done = subprocess.run(
        [sys.executable, "-c", ON_A_FILE],
        cwd=ROOT,
        env=kept | settings,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert done.returncode == 0, done.stderr
    judge(done.stdout.split())
