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
from workshops.services.reservations import reserve

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


def numbered(office, workshop, **numbers):
    """Press the button beside the boxes, with these numbers in those of the kinds."""
    form = filled(office.get(kit_page(workshop)))
    return office.post(kit_page(workshop), form | {"act": "numbers"} | numbers)


def test_kinds_are_reserved_by_number_and_given_free_by_ticks(office):
    workshop = coming()
    simple = make.TriggerFactory(name="Fire-only").kitkind_ptr
    units = [make.UnitFactory(kind=simple, tag=f"T{n}") for n in range(1, 11)]
    answer = numbered(office, workshop, **{f"kind_{simple.pk}": "4"})
    assert answer.status_code == 302
    assert "4 units are reserved: T1, T2, T3, T4." in words(office.get(kit_page(workshop)))
    assert "6 free" in words(office.get(kit_page(workshop)))
    free = {"act": "release", "gone": [units[0].pk, units[3].pk]}
    assert office.post(kit_page(workshop), free).status_code == 302
    assert {row.unit.tag for row in workshop.kit.all()} == {"T2", "T3"}


def test_too_many_are_refused_beside_their_kind_with_the_numbers_kept(office):
    kind = make.UnitFactory(tag="T1").kind
    workshop = coming()
    answer = numbered(office, workshop, **{f"kind_{kind.pk}": "3"})
    assert answer.status_code == 422
    page = words(answer)
    assert f"{kind}: 3 asked, 1 free. Ask for fewer." in page
    assert filled(answer)[f"kind_{kind.pk}"] == "3"
    for empty in ({}, {f"kind_{kind.pk}": "0"}):
        assert "Enter a number beside at least one kind" in words(
            numbered(office, workshop, **empty)
        )


def test_a_double_click_on_numbers_reserves_once(office):
    workshop = coming()
    kind = make.TriggerFactory().kitkind_ptr
    for tag in ("T1", "T2", "T3", "T4"):
        make.UnitFactory(kind=kind, tag=tag)
    form = filled(office.get(kit_page(workshop)))
    form |= {"act": "numbers", f"kind_{kind.pk}": "2"}
    assert office.post(kit_page(workshop), form).status_code == 302
    again = office.post(kit_page(workshop), form)
    assert again.status_code == 409
    assert workshop.kit.count() == 2


def test_a_clash_is_told_with_the_other_workshop_and_until_when_and_linked(office):
    kind = make.TriggerFactory().kitkind_ptr
    units = [make.UnitFactory(kind=kind, tag=tag) for tag in ("T1", "T2", "T3")]
    same = coming(title="Same day")
    after = COMING + timedelta(days=4)
    other = coming(title="Days after", start_at=after, end_at=after + timedelta(hours=9))
    reserve(by=None, workshop=same, units=units[:2])
    reserve(by=None, workshop=other, units=units)
    page = words(office.get(kit_page(coming(title="Mine"))))
    # 9 May 2099, 18:00 at the place: nine hours from 09:00, and 24 to bring it back.
    assert f'T1, T2: promised to <a href="{kit_page(same)}">Same day</a>, May 8, 2099' in page
    assert "until May 9, 2099, 18:00" in page
    assert "1 free" in page
    assert "Days after" not in page
    refused = words(ticked(office, coming(), units[0]))
    assert "T1 is promised to Same day on May 8, 2099, until May 9, 2099, 18:00." in refused


def test_an_instructor_sees_the_kit_of_an_own_workshop_and_changes_nothing(client):
    person = make.PersonFactory()
    workshop, other = coming(title="Own"), coming(title="Not theirs")
    make.RoleFactory(workshop=workshop, person=person, role="lead")
    unit = make.UnitFactory(tag="T1")
    reserve(by=None, workshop=other, units=[unit])
    client.force_login(
        make.UserFactory(role="instructor", is_superuser=False, is_staff=False, person=person)
    )
    page = words(client.get(kit_page(workshop)))
    assert "T1: promised to Not theirs, May 8, 2099" in page
    assert "Reserve these numbers" not in page
    assert client.get(kit_page(other)).status_code == 404
    for act in ("numbers", "units", "release", ""):
        assert client.post(kit_page(workshop), {"act": act}).status_code == 403


def test_the_page_of_a_kind_shows_what_is_promised_until_when(office):
    unit = make.UnitFactory(tag="T7")
    reserve(by=None, workshop=coming(title="Slate coast"), units=[unit])
    page = words(office.get(reverse("kind", args=[unit.kind_id])))
    assert "Slate coast" in page
    assert "May 9, 2099, 18:00" in page


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
