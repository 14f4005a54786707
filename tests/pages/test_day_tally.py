"""The tables of a day: every figure is a sum of what the test noted, done by hand."""

import re
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planning.selectors.packs import tallied_cycles
from tests import factories as make
from tests.pages.days import words

pytestmark = pytest.mark.django_db


def at(minutes):
    return make.SET_START + timedelta(minutes=minutes)


def a_set(workshop, title, unit, *, count):
    """A set that ran 8 min over, whose pack gave 0.9 of a charge."""
    light = make.LightFactory(
        name="octa", planned_set__workshop=workshop, planned_set__title=title,
        planned_set__location=make.LocationFactory(name=f"At the {title}"),
        strobe=make.StrobeFactory(name=f"Head of {title}", battery_kind=unit.kind.battery),
    )  # fmt: skip
    events = (
        {"kind": "set began", "at": at(5)},
        {"kind": "set ended", "at": at(88)},
        {"kind": "flashes", "at": at(88), "light_name": "octa", "count": count},
        {"kind": "pack in", "at": at(5), "light_name": "octa", "unit": unit, "charge_share": 1.0},
        {"kind": "pack out", "at": at(88), "light_name": "octa", "unit": unit, "charge_share": 0.1},
    )
    for event in events:
        make.EventFactory(planned_set=light.planned_set, **event)
    return light.planned_set


@pytest.fixture
def pack():
    return make.UnitFactory(kind=make.BatteryFactory(name="Pack"), tag="B7", cycles=120)


@pytest.fixture
def workshop(house, pack):
    """Two sets: a pack that gave 0.9 on each, 60 and 41 flashes, somebody with 18 and 7 frames."""
    workshop = make.WorkshopFactory()
    first = a_set(workshop, "wall", pack, count=60)
    second = a_set(workshop, "pier", pack, count=41)
    abel = make.BookingFactory(workshop=workshop, person__name="Abel")
    for planned, count in ((first, 18), (second, 7)):
        named = {"planned_set": planned, "booking": abel, "at": at(40)}
        make.EventFactory(kind="turn given", **named)
        make.EventFactory(kind="frames", count=count, **named)
    make.EventFactory(kind="misfire", cause="cell", planned_set=first, booking=abel)
    return workshop


def table(answer, name):
    """The cells of a table as people read them, row by row."""
    part = re.search(rf'<h2 id="{name}">.*?</section>', words(answer))[0]
    rows = re.findall(r"<tr>(.*?)</tr>", part.partition("<tbody>")[2])
    return [
        [
            " ".join(re.sub(r"<[^>]+>", " ", cell).split())
            for cell in re.split(r"</t[hd]>", row)[:-1]
        ]
        for row in rows
    ]


def test_every_table_adds_up(office, workshop):
    shown = office.get(reverse("workshop-tallies", args=[workshop.pk]))
    wall, pier = table(shown, "sets")
    assert wall[2:8] == ["+8 min", "60", "1", "1", "18", "1"]  # 83 min against 75
    assert pier[2:8] == ["+8 min", "41", "1", "1", "7", "0"]
    assert wall[8] == "nothing"
    assert wall[1].startswith("14:15 to 15:38")  # London in May
    assert table(shown, "people") == [["Abel", "2", "0", "25", "1"]]
    assert [row[3] for row in table(shown, "strobes")] == ["60", "41"]
    ((pack, stays, used, cycles, health),) = table(shown, "packs")
    assert pack.startswith("B7")
    assert stays.count("100 % → 10 %") == 2
    assert (used, cycles, health) == ("180 %", "120 + 1.8", "100 %")


def test_what_was_not_noted_is_a_dash_and_named(office, house):
    planned = make.LightFactory(name="octa").planned_set
    make.BookingFactory(workshop=planned.workshop)
    shown = office.get(reverse("workshop-tallies", args=[planned.workshop_id]))
    ((_title, times, over, flashes, _packs, turns, frames, _misfires, missing),) = table(
        shown, "sets"
    )
    assert times.startswith("— to —")
    assert (over, flashes, turns, frames) == ("—", "—", "0", "—")
    assert missing == "beginning or end, flashes of a lamp, turns, packs of a lamp"


def test_cycles_count_every_set_ever_and_nothing_that_was_taken_back(workshop, pack):
    other = a_set(make.WorkshopFactory(), "quay", pack, count=5)
    assert tallied_cycles([pack.pk]) == {pack.pk: pytest.approx(2.7)}  # three times 0.9
    out = other.events.get(kind="pack out")
    make.EventFactory(
        planned_set=other, kind="pack out", unit=pack, takes_back=out, light_name="octa"
    )
    assert tallied_cycles([pack.pk]) == {pack.pk: pytest.approx(1.8)}


def test_more_sets_take_no_more_questions(office, workshop, pack):
    def asked():
        with CaptureQueriesContext(connection) as questions:
            office.get(reverse("workshop-tallies", args=[workshop.pk]))
        return len(questions)

    before = asked()
    a_set(workshop, "dunes", pack, count=9)
    assert asked() == before


def test_a_workshop_without_sets_says_so(office, house):
    shown = office.get(reverse("workshop-tallies", args=[make.WorkshopFactory().pk]))
    assert "No set is planned yet" in words(shown)
