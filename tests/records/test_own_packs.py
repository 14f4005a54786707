"""Packs read on sets, in the plans of the next sets."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from planning.models import LeftOut, PlannedSet, TallyEvent
from planning.plan import evaluate
from planning.selectors import set_inputs
from planning.selectors.own_packs import flashes_figure
from planning.selectors.pack_health import health_over_time
from tests import factories as make

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def light():
    return make.LightFactory(name="octa")


@pytest.fixture
def pack(light):
    unit = make.UnitFactory(kind=light.strobe.battery_kind, tag="P1")
    make.ReservationFactory(workshop=light.planned_set.workshop, unit=unit)
    return unit


@pytest.fixture
def south():
    return make.LocationFactory(
        name="Jetty", latitude_deg=-43.6, longitude_deg=172.7, timezone_name="Pacific/Auckland"
    )


def earlier(light, pack, south, days, *, flashes=160, power=0.5, shares=(1.0, 0.5), **more):
    """A set some days before on which a pack was read, flashes counted and the recipe locked."""
    start = make.SET_START - timedelta(days=days)
    planned = make.SetFactory(
        workshop=light.planned_set.workshop,
        location=south,
        start_at=start,
        end_at=start + timedelta(hours=1),
    )
    make.LightFactory(planned_set=planned, name="octa", strobe=light.strobe)
    lamps = more.get("lamps")
    note(planned, "pack in", 0, unit=pack, charge_share=shares[0], charge_lamps=lamps)
    if power:
        note(planned, "recipe locked", 5, power=power, f_number=16.0, shutter_s=1 / 128, iso=100.0)
    note(planned, "flashes", 55, count=flashes)
    note(planned, "pack out", 60, unit=pack, charge_share=shares[1], charge_lamps=lamps)
    return planned


def note(planned, kind, minutes, **what):
    return make.EventFactory(
        planned_set=planned,
        kind=kind,
        at=planned.start_at + timedelta(minutes=minutes),
        light_name="octa",
        **what,
    )


def lamp(light):
    return set_inputs(light.planned_set_id).lights[0]


def test_what_a_pack_gave_is_what_the_next_plan_reckons_with(light, pack, south):
    # 160 halves are 80 full flashes for half a charge: 160 a charge; 43 Wh at 75 % reckon 580
    before = evaluate(set_inputs(light.planned_set_id)).battery[0]
    assert (before.source, str(before.flashes_told)) == ("estimate", "reckoned from the watt-hours")
    for days in range(1, 7):
        earlier(light, pack, south, days)
    given = lamp(light)
    assert (given.flashes_readings, given.flashes_days) == (6, 6)
    assert given.flashes_at_full == pytest.approx(160.0, rel=0.12)
    after = evaluate(set_inputs(light.planned_set_id)).battery[0]
    assert after.source == "own"
    assert str(after.flashes_told).startswith("own measurement, 6 readings, ±0.")
    assert after.charge_share > 2.5 * before.charge_share


def test_a_power_changed_between_two_counts_is_reckoned_by_its_minutes(light, pack, south):
    for days in range(1, 7):
        earlier(light, pack, south, days)
    once = lamp(light)
    for planned in PlannedSet.objects.exclude(pk=light.planned_set_id):
        # a half to minute 30 of 5 to 55, an eighth from there on: 0.3125, as locked last 0.125
        again = {"power": 0.125, "f_number": 8.0, "shutter_s": 1 / 128, "iso": 100.0}
        note(planned, "recipe locked", 30, **again)
    twice = lamp(light)
    assert twice.flashes_at_full / once.flashes_at_full == pytest.approx(0.625, rel=0.12)
    assert twice.flashes_within_stops > once.flashes_within_stops


def test_the_age_of_a_pack_is_in_its_own_figure_and_not_taken_off_twice(light, pack, south):
    for days in range(1, 7):
        earlier(light, pack, south, days)
    given = lamp(light)
    pack.health_share = 0.7
    pack.save()
    worn = lamp(light)
    assert worn.flashes_at_full == pytest.approx(given.flashes_at_full, rel=0.05)
    plan = evaluate(set_inputs(light.planned_set_id))
    assert plan.battery[0].flashes_at_full == pytest.approx(worn.flashes_at_full)


def test_a_pack_in_the_cold_gave_less_than_it_has(light, pack, south):
    for days in range(1, 5):
        earlier(light, pack, south, days)
    warm = lamp(light).flashes_at_full
    for days in range(1, 5):
        start = make.SET_START - timedelta(days=days)
        make.ForecastFactory(
            location=south, valid_from=start, valid_to=start + timedelta(hours=2), temperature_c=0.0
        )
    # makers' sheets: 80 to 90 % at freezing
    assert lamp(light).flashes_at_full == pytest.approx(warm / 0.85, rel=0.04)


def test_lamps_of_a_quarter_leave_it_less_sure(light, pack, south):
    earlier(light, pack, south, 1, flashes=560)
    fine = lamp(light).flashes_within_stops
    TallyEvent.objects.filter(kind__startswith="pack").update(charge_lamps=4)
    assert lamp(light).flashes_within_stops > fine


def test_what_is_taken_back_left_out_or_without_a_power_does_not_count(light, pack, south):
    planned = earlier(light, pack, south, 1)
    earlier(light, pack, south, 2, power=None)
    assert lamp(light).flashes_readings == 1
    out = planned.events.get(kind="pack out")
    undo = make.EventFactory(planned_set=planned, kind="pack out", unit=pack, takes_back=out)
    assert lamp(light).flashes_readings == 0
    assert undo.pk
    again = earlier(light, pack, south, 3)
    lights = again.lights.get()
    figure = flashes_figure(light.strobe_id, pack.pk)
    assert lamp(light).flashes_readings == 1
    LeftOut.objects.create(
        figure=figure, witness=f"drawdown:{again.pk}:{lights.pk}:{pack.pk}:1", reason="Rain"
    )
    assert lamp(light).flashes_readings == 0


def test_a_pack_of_another_head_or_another_unit_teaches_this_one_nothing(light, pack, south):
    other = make.UnitFactory(kind=light.strobe.battery_kind, tag="P2")
    earlier(light, other, south, 1)
    assert lamp(light).flashes_readings == 0
    make.ReservationFactory(workshop=light.planned_set.workshop, unit=other)
    assert lamp(light).flashes_readings == 1  # both come along: the plan takes their mean


def test_with_no_pack_on_the_list_those_it_had_before_count(light, south):
    unit = make.UnitFactory(kind=light.strobe.battery_kind, tag="P9")
    earlier(light, unit, south, 1)
    assert lamp(light).flashes_readings == 1


def test_queries_stay_the_same_however_many_sets_were_read(light, pack, south):
    def queries():
        with CaptureQueriesContext(connection) as asked:
            lamp(light)
        return len(asked)

    earlier(light, pack, south, 1)
    few = queries()
    for days in range(2, 6):
        earlier(light, pack, south, days)
    assert queries() == few


def test_a_packs_health_over_time_falls_as_its_drawdowns_do(light, pack, south):
    # 580 full flashes are reckoned of a new pack of 43 Wh: 290 for half a charge, then fewer
    for days, flashes in ((9, 580), (6, 500), (3, 400)):
        earlier(light, pack, south, days, flashes=flashes)
    found = health_over_time(pack)
    assert [one.share for one in found] == pytest.approx(
        [flashes / 580.5 for flashes in (580, 500, 400)], rel=0.01
    )
    assert all(one.low < one.share < one.high for one in found)
    assert [one.at for one in found] == sorted(one.at for one in found)
