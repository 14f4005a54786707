"""Phones that note the same thing, and the same pack, at the same moment, each a process.

One event a uuid, a pack in one head; whoever comes second is told so in words.
"""

import multiprocessing
import os
import subprocess
import sys
from collections import Counter
from pathlib import Path
from uuid import UUID, uuid4

import pytest
from django.db import connections

ROOT = Path(__file__).resolve().parents[2]
PHONES = 8
KEY = UUID("11111111-2222-4333-8444-555555555555")
ON_A_FILE = """
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.records.test_tally_races import race
print(*race())
"""


def press(number: int, set_id: int, unit_id: int, start, told) -> None:
    """Count with the one uuid all have, then put the one pack into the head of one's own."""
    from planning.after.packs import Charge
    from planning.models import PlannedSet
    from planning.services.packs import put_pack_in
    from planning.services.tally import note_flashes
    from tests import factories as make
    from workshops.errors import Refused
    from workshops.models import KitUnit

    connections.close_all()
    planned, unit = PlannedSet.objects.get(pk=set_id), KitUnit.objects.get(pk=unit_id)
    asked = {"by": None, "planned_set": planned, "now": make.SET_START}
    start.wait(timeout=60)
    event = note_flashes(**asked, uuid=KEY, light_name="lamp 0", count=71, in_all=True)
    outcomes = [str(event.pk)]
    start.wait(timeout=60)
    try:
        put_pack_in(
            **asked, uuid=uuid4(), light_name=f"lamp {number}", unit=unit, charge=Charge(1.0)
        )
    except Refused as refusal:
        outcomes.append("refused" if "is in lamp" in str(refusal) else str(refusal))
    else:
        outcomes.append("in")
    told.put(outcomes)


def race() -> list[str]:
    """Return how many events were made, how many phones got it, and what the pack came to."""
    from planning.models import TallyEvent
    from tests import factories as make

    make.HouseFactory()
    planned = make.SetFactory(position=1)
    for number in range(PHONES):
        light = make.LightFactory(planned_set=planned, name=f"lamp {number}")
    unit = make.UnitFactory(kind=light.strobe.battery_kind)
    make.ReservationFactory(workshop=planned.workshop, unit=unit)
    connections.close_all()  # a connection must not be shared with a child
    fork = multiprocessing.get_context("fork")
    start, told = fork.Barrier(PHONES), fork.SimpleQueue()
    phones = [
        fork.Process(target=press, args=(number, planned.pk, unit.pk, start, told))
        for number in range(PHONES)
    ]
    for phone in phones:
        phone.start()
    outcomes = [told.get() for _phone in phones]
    for phone in phones:
        phone.join(timeout=60)
    packs = Counter(pack for _event, pack in outcomes)
    return [
        str(TallyEvent.objects.filter(kind="flashes").count()),
        str(len({event for event, _pack in outcomes})),
        str(TallyEvent.objects.filter(kind="pack in").count()),
        *(f"{what}:{count}" for what, count in sorted(packs.items())),
    ]


JUDGED = ["1", "1", "1", "in:1", f"refused:{PHONES - 1}"]


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_one_event_and_one_head_on_postgresql():
    assert race() == JUDGED


def test_one_event_and_one_head_on_an_sqlite_file(sqlite_folder):
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
    assert done.stdout.split() == JUDGED
