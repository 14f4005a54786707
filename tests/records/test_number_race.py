"""Sixteen processes enter payments at once: every receipt number once, and none left out."""

import multiprocessing
import os
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest
from django.db import connections

ROOT = Path(__file__).resolve().parents[2]
PROCESSES, EACH = 16, 3
ON_A_FILE = """
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.records.test_number_race import race_for_numbers
print(*race_for_numbers())
"""


def enter(booking_id: int, start) -> None:
    """Enter a few payments of one booking once all are there."""
    from tests import factories as make
    from workshops.models import Booking
    from workshops.services.payments import record_payment

    connections.close_all()
    booking = Booking.objects.get(pk=booking_id)
    start.wait(timeout=60)
    for _number in range(EACH):
        record_payment(by=None, booking=booking, kind="balance", amount=Decimal(1), now=make.NOW)


def race_for_numbers() -> list[str]:
    """Return the receipt numbers given out, in order."""
    from tests import factories as make
    from workshops.models import Payment

    make.HouseFactory()
    workshop = make.WorkshopFactory()
    bookings = make.BookingFactory.create_batch(PROCESSES, workshop=workshop)
    connections.close_all()  # a connection must not be shared with a child
    fork = multiprocessing.get_context("fork")
    start = fork.Barrier(PROCESSES)
    children = [fork.Process(target=enter, args=(one.pk, start)) for one in bookings]
    for child in children:
        child.start()
    for child in children:
        child.join(timeout=120)
    assert [child.exitcode for child in children] == [0] * PROCESSES
    return sorted(Payment.objects.values_list("number", flat=True))


def every_number() -> list[str]:
    return [f"R2027-{number:04}" for number in range(1, PROCESSES * EACH + 1)]


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_receipt_numbers_have_no_gap_on_postgresql():
    assert race_for_numbers() == every_number()


def test_receipt_numbers_have_no_gap_on_an_sqlite_file(sqlite_folder):
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
    assert done.stdout.split() == every_number()
