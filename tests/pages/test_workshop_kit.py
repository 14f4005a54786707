"""The list of kit that comes along to a workshop."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.pages.days import COMING, coming, words
from tests.records.browser import filled
from workshops.models import (
    AuditEntry,
    KitUnit,
    Reservation,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def office(client):
    make.HouseFactory(timezone_name="Europe/London")
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


def kit_page(workshop):
    return reverse("workshop-kit", args=[workshop.pk])


def ticked(office, workshop, *units, **more):
    form = filled(office.get(kit_page(workshop)))
    return office.post(kit_page(workshop), form | {"units": [unit.pk for unit in units]} | more)


def test_kit_is_ticked_and_only_what_differs_is_written(office):
    workshop = coming()
    head = make.StrobeFactory(name="Head", mass_kg=3.0).kitkind_ptr
    units = [make.UnitFactory(kind=head, tag=f"H{n}") for n in (1, 2, 3)]
    assert ticked(office, workshop, *units[:2]).status_code == 302
    page = words(office.get(reverse("workshop", args=[workshop.pk])))
    assert "Head: H1, H2" in page
    assert "6 kg in all" in page
    first = Reservation.objects.get(unit=units[0])
    ticked(office, workshop, units[0], units[2])
    assert {row.unit for row in workshop.kit.all()} == {units[0], units[2]}
    assert Reservation.objects.get(unit=units[0]).pk == first.pk
    entries = AuditEntry.objects.filter(record_type="workshops.reservation")
    assert sorted(entry.action for entry in entries) == ["created"] * 3 + ["deleted"]


def test_what_is_in_fault_or_retired_is_shown_with_why_and_cannot_be_ticked(office):
    workshop = coming()
    broken = make.UnitFactory(tag="T1", state="fault", notes="Hot shoe bent.")
    make.UnitFactory(tag="T2", state="retired", notes="Too old.")
    good = make.UnitFactory(tag="T3")
    page = words(office.get(kit_page(workshop)))
    assert "fault: Hot shoe bent." in page
    assert "retired: Too old." in page
    answer = ticked(office, workshop, broken, good)
    assert answer.status_code == 422
    assert "Not fit for use: T1." in words(answer)
    assert f'value="{good.pk}" checked' in answer.content.decode()
    assert not Reservation.objects.exists()


def test_what_broke_on_the_list_can_stay_or_be_taken_off(office):
    along = make.ReservationFactory(workshop=coming())
    KitUnit.objects.update(state="fault")
    assert ticked(office, along.workshop, along.unit).status_code == 302
    page = words(office.get(reverse("workshop", args=[along.workshop_id])))
    assert "is on the list, but its state is fault." in page
    ticked(office, along.workshop)
    assert not Reservation.objects.exists()


def test_a_unit_that_is_elsewhere_at_the_same_time_is_pointed_out(office):
    unit = make.UnitFactory()
    same = coming(title="Same day")
    next_day = COMING + timedelta(days=1)
    other = coming(title="Day after", start_at=next_day, end_at=next_day + timedelta(hours=9))
    off = coming(title="Called off", status="cancelled", cancelled_reason="Gale.")
    for workshop in (same, other, off):
        make.ReservationFactory(workshop=workshop, unit=unit)
    page = words(office.get(kit_page(coming(title="Mine"))))
    assert "at the same time on the list of Same day" in page
    assert "Day after" not in page
    assert "Called off" not in page


def test_a_stale_kit_list_is_refused_and_keeps_its_ticks(office):
    workshop = coming()
    mine, theirs = make.UnitFactory(tag="MINE"), make.UnitFactory(tag="THEIRS")
    stale = filled(office.get(kit_page(workshop)))
    ticked(office, workshop, theirs)
    answer = office.post(kit_page(workshop), stale | {"units": [mine.pk]})
    assert answer.status_code == 409
    assert f'value="{mine.pk}" checked' in answer.content.decode()
    assert f'value="{theirs.pk}" checked' not in answer.content.decode()
    assert workshop.kit.get().unit == theirs
    assert office.post(kit_page(workshop), filled(answer)).status_code == 302
    assert workshop.kit.get().unit == mine


@pytest.mark.parametrize(
    "text", [*ABSURD, "9" * 30, "\N{SUPERSCRIPT TWO}"], ids=lambda text: repr(text[:12])
)
def test_absurd_ticks_are_refused_in_words(office, text):
    workshop = coming()
    make.UnitFactory()
    form = filled(office.get(kit_page(workshop)))
    answer = office.post(kit_page(workshop), form | {"units": [text]})
    assert answer.status_code == 422
    assert "Nothing is saved yet; every tick is still here." in words(answer)


def test_the_kit_page_asks_as_often_for_many_units_as_for_one(office):
    workshop, other = coming(), coming()

    def queries():
        with CaptureQueriesContext(connection) as asked:
            assert office.get(kit_page(workshop)).status_code == 200
        return len(asked)

    make.ReservationFactory(workshop=other)
    few = queries()
    for _ in range(11):
        make.ReservationFactory(workshop=other)
    assert queries() == few
