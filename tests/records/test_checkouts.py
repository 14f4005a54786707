"""Kit signed out, taken back, tagged: one at a time, and by two people at once."""

import os
import subprocess
import sys
from collections import Counter
from datetime import UTC, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction

from tests import factories as make
from tests.records.test_races import ROOT, at_once
from workshops.errors import AlreadyOut, Refused
from workshops.models import AuditEntry, Checkout, KitUnit
from workshops.selectors.checkouts import free_units, whereabouts
from workshops.selectors.needs import coming, needs
from workshops.services import checkouts as acts

NOW = datetime(2027, 5, 8, 8, 12, tzinfo=UTC)  # 09:12 at the place
LATER = NOW + timedelta(hours=9)


def listed(workshop, **more):
    return make.ReservationFactory(workshop=workshop, unit=make.UnitFactory(**more)).unit


@pytest.fixture
def booking(db):
    make.HouseFactory(timezone_name="Europe/London")
    return make.BookingFactory(person__name="Ana")


@pytest.fixture
def unit(booking):
    return listed(booking.workshop, tag="TRIG-03")


def out(unit, booking, **more):
    given = {"person": booking.person, "workshop": booking.workshop, "now": NOW} | more
    return acts.sign_out(by=None, unit=unit, **given)


def test_a_unit_goes_out_to_a_person_and_comes_back(unit, booking):
    made = out(unit, booking, condition="hot shoe a little loose")
    unit.refresh_from_db()
    assert (unit.state, made.condition_out) == ("out", "hot shoe a little loose")
    assert unit not in free_units(booking.workshop)
    back = acts.take_back(by=None, checkout=made, now=LATER, condition="as it went")
    unit.refresh_from_db()
    assert (unit.state, back.in_at, back.fault) == ("ready", LATER, False)
    assert unit in free_units(booking.workshop)
    kept = AuditEntry.objects.filter(record_type="workshops.checkout", record_id=made.pk)
    assert Counter(kept.values_list("action", flat=True)) == {"created": 1, "changed": 1}


def test_a_second_press_says_who_has_it_and_changes_nothing(unit, booking):
    out(unit, booking)
    before = AuditEntry.objects.count()
    # 08:12 UTC in May is 09:12 on the clocks of London.
    with pytest.raises(AlreadyOut, match=r"TRIG-03 is out already: Ana has it since .*09:12"):
        out(unit, booking)
    assert (Checkout.objects.count(), AuditEntry.objects.count()) == (1, before)


@pytest.mark.parametrize(
    ("state", "told"),
    [
        ("fault", "has a fault: take another"),
        ("retired", "is retired"),
        ("out", "marked as out, with nobody's name"),
    ],
)
def test_a_unit_that_is_not_ready_stays_where_it_is(unit, booking, state, told):
    KitUnit.objects.filter(pk=unit.pk).update(state=state)
    with pytest.raises(Refused, match=told):
        out(unit, booking)


def test_only_kit_of_the_workshops_list_goes_out_and_only_to_its_people(unit, booking):
    with pytest.raises(Refused, match=r"not on the kit list .* added on its Kit page"):
        out(make.UnitFactory(), booking)
    with pytest.raises(Refused, match="has no part in"):
        out(unit, booking, person=make.PersonFactory())
    helper = make.RoleFactory(workshop=booking.workshop, role="helper").person
    assert out(unit, booking, person=helper).person == helper


def test_a_fault_takes_the_unit_off_the_free_list_and_mending_puts_it_back(unit, booking):
    made = out(unit, booking)
    with pytest.raises(Refused, match="say it in a few words"):
        acts.take_back(by=None, checkout=made, now=LATER, fault=True)
    acts.take_back(by=None, checkout=made, now=LATER, fault=True, note="misfires, one in three")
    unit.refresh_from_db()
    assert unit.state == "fault"
    assert "2027-05-08: misfires, one in three" in unit.notes
    assert free_units(booking.workshop) == []
    acts.mend(by=None, unit=unit, now=LATER, note="new foot")
    unit.refresh_from_db()
    assert unit.state == "ready"
    assert "mended: new foot" in unit.notes


def test_a_unit_tagged_while_somebody_has_it_stays_theirs_and_comes_back_faulty(unit, booking):
    made = out(unit, booking)
    acts.tag_fault(by=None, unit=unit, note="wet", now=NOW)
    with pytest.raises(Refused, match="Take it back first"):
        acts.mend(by=None, unit=unit, now=NOW)
    back = acts.take_back(by=None, checkout=made, now=LATER)
    unit.refresh_from_db()
    assert (unit.state, back.fault) == ("fault", True)
    with pytest.raises(Refused, match="is back already"):
        acts.take_back(by=None, checkout=made, now=LATER)


def test_handing_over_is_both_or_neither(unit, booking):
    made = out(unit, booking)
    with pytest.raises(Refused, match="has no part in"):
        acts.hand_over(by=None, checkout=made, person=make.PersonFactory(), now=LATER)
    made.refresh_from_db()
    assert made.in_at is None
    other = make.BookingFactory(workshop=booking.workshop).person
    over = acts.hand_over(by=None, checkout=made, person=other, now=LATER)
    made.refresh_from_db()
    assert (made.in_at, over.person, over.in_at) == (LATER, other, None)


def test_at_the_briefing_all_go_out_or_none(unit, booking):
    second = listed(booking.workshop, tag="BAT-01", state="fault")
    given = {"person": booking.person, "workshop": booking.workshop, "now": NOW}
    with pytest.raises(Refused, match="BAT-01 has a fault"):
        acts.sign_out_all(by=None, units=[unit, second], **given)
    unit.refresh_from_db()
    assert (unit.state, Checkout.objects.count()) == ("ready", 0)


def test_the_database_itself_refuses_a_unit_out_twice(unit, booking):
    made = out(unit, booking)
    copy = Checkout(workshop=made.workshop, unit=unit, person=made.person, out_at=NOW)
    with pytest.raises(IntegrityError), transaction.atomic():
        copy.save()


def test_a_day_that_is_over_needs_its_kit_back_whatever_its_status(unit, booking):
    out(unit, booking)
    workshop = booking.workshop
    type(workshop).objects.filter(pk=workshop.pk).update(status="run")
    after = workshop.end_at + timedelta(hours=1)
    (found,) = coming(after)
    assert [need.words for need in needs(found, after, set())] == [
        "Kit is still out: TRIG-03 with Ana.",
        "The day is over: close it.",
    ]
    acts.take_back_all(by=None, checkouts=Checkout.objects.all(), now=after)
    assert not coming(after)


def test_the_workshop_of_a_unit_is_the_one_it_is_promised_to_now(unit, booking):
    ours = type(booking.workshop).objects.all()
    later = make.WorkshopFactory(
        start_at=booking.workshop.start_at + timedelta(days=30),
        end_at=booking.workshop.end_at + timedelta(days=30),
    )
    make.ReservationFactory(workshop=later, unit=unit)
    assert whereabouts(unit, ours, NOW).workshop == booking.workshop
    between = NOW + timedelta(days=10)
    assert whereabouts(unit, ours, between).workshop is None
    assert whereabouts(unit, ours, between, str(later.pk)).workshop == later
    assert whereabouts(unit, ours.none(), NOW).workshop is None


def race_for_a_unit():
    """Return what four sign-outs of one unit to four people came to."""
    unit = make.ReservationFactory().unit
    workshop = unit.reservations.get().workshop
    people = [row.person for row in make.BookingFactory.create_batch(4, workshop=workshop)]
    given = {"by": None, "unit": unit, "workshop": workshop, "now": NOW}
    return at_once(
        [lambda person=person: acts.sign_out(person=person, **given) for person in people]
    )


ON_A_FILE = """
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.records.test_checkouts import race_for_a_unit
print(*race_for_a_unit())
"""


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_a_unit_goes_out_once_on_postgresql():
    assert Counter(race_for_a_unit()) == {"Checkout": 1, "AlreadyOut": 3}


def test_a_unit_goes_out_once_on_an_sqlite_file(sqlite_folder):
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
    assert Counter(done.stdout.split()) == {"Checkout": 1, "AlreadyOut": 3}
