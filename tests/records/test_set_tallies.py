"""The tally of stored sets: what stands counts, what was taken back does not, queries are few."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from planning.selectors.tally import set_tallies
from tests import factories as make

pytestmark = [pytest.mark.django_db, pytest.mark.database]

LATER = make.SET_START + timedelta(minutes=40)


def flashes(light, count, **values):
    asked = {"planned_set": light.planned_set, "kind": "flashes", "light_name": light.name}
    return make.EventFactory(**asked | {"at": LATER, "count": count} | values)


@pytest.fixture
def light():
    return make.LightFactory(planned_set__position=1, name="octa")


def test_the_planned_side_is_the_plans(light):
    make.BookingFactory(workshop=light.planned_set.workshop)
    (one,) = set_tallies(light.planned_set.workshop)
    (head,) = one.heads
    assert (head.light, head.strobe) == ("octa", light.strobe.name)
    assert head.planned_flashes > 0
    assert head.planned_share > 0
    assert 0 < head.power <= 1
    assert [person.turns for person in one.people] == [0]
    assert f"{one.planned_start_at:%H:%M}" == "14:10"  # the clock of the place


def test_what_was_taken_back_does_not_count(light):
    wrong = flashes(light, 400)
    flashes(light, 40)
    flashes(light, 400, takes_back=wrong, at=LATER + timedelta(minutes=1))
    (one,) = set_tallies(light.planned_set.workshop)
    assert one.heads[0].flashes == 40


def test_a_pack_in_a_head_is_named_by_its_tag(light):
    unit = make.UnitFactory(kind=light.strobe.battery_kind, tag="B3")
    asked = {"planned_set": light.planned_set, "light_name": "octa", "unit": unit}
    make.EventFactory(kind="pack in", at=make.SET_START, charge_share=1.0, **asked)
    make.EventFactory(kind="pack out", at=LATER, charge_share=0.75, charge_lamps=4, **asked)
    (one,) = set_tallies(light.planned_set.workshop)
    (use,) = one.heads[0].packs
    assert (use.tag, use.used_share, use.within_share) == ("B3", 0.25, 0.125)


def test_a_place_without_coordinates_still_has_its_counts(light):
    flashes(light, 40)
    location = light.planned_set.location
    location.latitude_deg = location.longitude_deg = None
    location.save()
    (one,) = set_tallies(light.planned_set.workshop)
    (head,) = one.heads
    assert (head.flashes, head.planned_flashes, head.full_power_flashes) == (40, None, None)


def test_more_sets_people_and_events_take_no_more_queries(light):
    workshop = light.planned_set.workshop
    flashes(light, 5)
    make.BookingFactory(workshop=workshop)
    with CaptureQueriesContext(
        connection,
    ) as few:
        set_tallies(workshop)
    for number in range(4):
        another = make.LightFactory(
            planned_set__workshop=workshop, planned_set__location=light.planned_set.location
        )
        make.BookingFactory(workshop=workshop, person__name=f"Cyd {number}")
        unit = make.UnitFactory(kind=another.strobe.battery_kind)
        flashes(another, number)
        make.EventFactory(
            planned_set=another.planned_set, kind="pack in", unit=unit, light_name=another.name
        )
    with CaptureQueriesContext(connection) as many:
        assert len(set_tallies(workshop)) == 5
    assert len(many) == len(few)
