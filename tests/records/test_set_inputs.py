"""From the records to the inputs of a plan."""

import dataclasses
import math
from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from planning.models import PlannedSet
from planning.plan import evaluate
from planning.selectors import set_inputs, set_list, sets_of
from planning.selectors.places import reading_ev100
from tests import factories as make
from workshops.errors import NotFound, Refused

pytestmark = pytest.mark.django_db


@pytest.fixture
def planned():
    return make.LightFactory().planned_set


def along(planned, kind, **unit):
    return make.ReservationFactory(
        workshop=planned.workshop, unit=make.UnitFactory(kind=kind, **unit)
    ).unit


def test_plain_fields_and_times_arrive_as_recorded(planned):
    inputs = set_inputs(planned.pk)
    assert (inputs.id, inputs.title, inputs.channel) == (planned.pk, "Slate wall", "7")
    assert inputs.start_at == make.SET_START
    assert inputs.start_at.hour == 14  # 13:10 UTC is 14:10 in British summer time
    assert inputs.location.place.latitude_deg == 50.61
    assert inputs.house.safety_factor == 1.5


def test_an_unknown_id_points_to_the_list():
    with pytest.raises(NotFound, match="There is no set 999999: `set_plan --list` shows"):
        set_inputs(999999)


def test_a_location_without_coordinates_is_refused(planned):
    type(planned.location).objects.update(latitude_deg=None, longitude_deg=None)
    with pytest.raises(Refused, match="has no coordinates: enter latitude and longitude"):
        set_inputs(planned.pk)


def test_the_list_shows_every_set_in_the_order_of_the_day(planned):
    planned.position = 2
    planned.save()
    first = make.SetFactory(workshop=planned.workshop, position=1, title="Pier")
    assert [row.title for row in set_list()] == ["Pier", "Slate wall"]
    assert sets_of(planned.workshop_id) == [first.pk, planned.pk]


def fill(planned, count):
    """Everything a set reads, ``count`` times over."""
    for number in range(count):
        make.LightFactory(planned_set=planned, role="fill", gel=make.GelFactory())
        make.GuideNumberReadingFactory(strobe=planned.lights.first().strobe)
        make.ReadingFactory(planned_set=planned, meter=make.UnitFactory(kind=make.MeterFactory()))
        make.ReadingFactory(planned_set=None, location=planned.location)
        make.LandmarkFactory(location=planned.location)
        make.TidePointFactory(
            location=planned.location, at=make.SET_START + timedelta(hours=number + count)
        )
        camera = make.CameraFactory()
        make.BookingFactory(workshop=planned.workshop, person=camera.owner, camera=camera)
        make.RoleFactory(workshop=planned.workshop, role="helper")
        for kind in (make.TriggerFactory(), make.NdFilterFactory(), make.BatteryFactory()):
            along(planned, kind)


def queries_of(planned):
    with CaptureQueriesContext(
        connection,
    ) as queries:
        set_inputs(planned.pk)
    return len(queries)


def test_queries_do_not_grow_with_what_a_set_holds(planned):
    fill(planned, 1)
    few = queries_of(planned)
    fill(planned, 4)
    assert queries_of(planned) == few
    assert few <= 29


def test_the_revision_changes_with_any_input_and_only_then(planned):
    before = set_inputs(planned.pk).revision
    assert len(before) == 8
    assert set_inputs(planned.pk).revision == before
    light = planned.lights.get()
    light.bag_kg += 1
    light.save()
    assert set_inputs(planned.pk).revision != before


def test_a_dome_for_330_read_a_stronger_flash_than_its_mark_says(planned):
    # ISO 2720: the same mark is log2(330/250) = 0.40 stop more light, so N by its root
    light = planned.lights.get()
    dome = make.UnitFactory(kind=make.MeterFactory(incident_constant=330.0))
    reading = {"strobe": light.strobe, "modifier": light.modifier}
    for day in range(1, 9):  # so many that the prior hardly counts
        make.GuideNumberReadingFactory(read_on=f"2027-03-{day:02}", meter=dome, **reading)
    shown = set_inputs(planned.pk).lights[0].guide_number_m
    dome.incident_constant = 250.0  # the unit's own beats its kind's
    dome.save()
    flat = set_inputs(planned.pk).lights[0].guide_number_m
    assert 2 * math.log2(shown / flat) == pytest.approx(0.40, abs=0.03)


def test_namesakes_are_told_apart_and_carry_their_own_trigger(planned):
    unit = along(planned, make.TriggerFactory(name="fire-only"), tag="T9")
    people = [make.PersonFactory(name="Ana") for _ in range(2)]
    for person, trigger in zip(people, (None, unit), strict=True):
        make.BookingFactory(workshop=planned.workshop, person=person, trigger_unit=trigger)
    one, two = set_inputs(planned.pk).attendees
    assert (one.name, two.name) == ("Ana 1", "Ana 2")
    assert (one.trigger, two.trigger) == ("", "fire-only T9")


def test_own_readings_of_the_pair_beat_the_maker(planned):
    # N sqrt(d^2 + r^2): f/22.6 at 2 m from a face 0.9 m across gives 22.627 * 2.05 = 46.4 m
    light = planned.lights.get()
    light.strobe.guide_number_m = 80.0  # less the octa's two stops 40 m: 0.43 stop below
    light.strobe.save()
    metered_m = 2**4.5 * math.hypot(2.0, 0.45)
    for day in range(1, 7):
        make.GuideNumberReadingFactory(
            strobe=light.strobe, modifier=light.modifier, read_on=f"2027-03-{day:02}"
        )
        (given,) = set_inputs(planned.pk).lights
        assert (given.guide_number_source, given.guide_number_readings) == ("own", day)
        assert 40.0 < given.guide_number_m < metered_m
    assert 2 * math.log2(metered_m / given.guide_number_m) < 0.05
    assert given.guide_number_days == 6
    assert 0.15 < given.guide_number_spread_stops < 0.25
    (lamp,) = evaluate(set_inputs(planned.pk)).lights
    assert str(lamp.guide_number_told) == "own measurement, 6 readings, ±0.2 stop"


def test_a_makers_guide_number_is_lessened_by_the_modifier(planned):
    light = planned.lights.get()
    light.strobe.guide_number_m = 46.0
    light.strobe.save()
    (given,) = set_inputs(planned.pk).lights
    assert given.guide_number_m == pytest.approx(23.0)  # two stops down halves it
    assert given.guide_number_source == "estimate"
    assert given.guide_number_spread_stops == pytest.approx(math.hypot(0.5, 0.5))


def test_watt_seconds_alone_leave_the_guess_to_the_plan(planned):
    (given,) = set_inputs(planned.pk).lights
    assert (given.guide_number_m, given.energy_ws, given.modifier_stops) == (None, 200.0, -2.0)


def test_the_wind_sees_the_face_and_the_stand_carries_head_and_modifier(planned):
    (given,) = set_inputs(planned.pk).lights
    assert given.face_area_m2 == pytest.approx(math.pi / 4 * 0.81)
    assert given.source_diameter_m == pytest.approx(0.9)
    assert (given.top_mass_kg, given.stand_mass_kg) == (pytest.approx(2.7), 2.5)


def test_packs_of_the_kind_on_the_list_are_counted_with_their_health(planned):
    kind = planned.lights.get().strobe.battery_kind
    along(planned, kind, health_share=0.8)
    along(planned, kind, health_share=0.9)
    along(planned, kind, state="fault", health_share=0.1)
    battery = set_inputs(planned.pk).lights[0].battery
    assert (battery.charged_count, battery.health_share) == (2, pytest.approx(0.85))


def test_triggers_and_filters_come_from_the_list(planned):
    simple, advanced = make.TriggerFactory(), make.TriggerFactory(advanced=True)
    along(planned, simple, tag="S1", sync_penalty_stops=0.0)
    along(planned, advanced, tag="A1")
    along(planned, make.NdFilterFactory(stops=6.0))
    along(planned, make.NdFilterFactory(stops=3.0))
    inputs = set_inputs(planned.pk)
    assert {(one.advanced, one.sync_penalty_stops) for one in inputs.triggers} == {
        (False, 0.0),
        (True, 1 / 3),
    }
    assert [one.stops for one in inputs.filters] == [3.0, 6.0]
    planned.advanced_trigger = False
    planned.save()
    assert [one.advanced for one in set_inputs(planned.pk).triggers] == [False]


def test_who_holds_a_seat_attends_and_the_flag_goes_without_more(planned):
    camera = make.CameraFactory(owner=make.PersonFactory(name="Ada"))
    make.BookingFactory(
        workshop=planned.workshop, person=camera.owner, camera=camera, measured_sync_s="1/100"
    )
    make.BookingFactory(
        workshop=planned.workshop, seat=None, state="cancelled", cancelled_at=make.NOW
    )
    (ada,) = set_inputs(planned.pk).attendees
    assert (ada.name, ada.under_age) == ("Ada", False)
    assert ada.camera.measured_sync_s == pytest.approx(2 ** (-20 / 3))


def test_under_age_is_settled_by_the_birthday_on_the_day(planned):
    person = make.PersonFactory(
        birth_date=datetime(2009, 5, 9, tzinfo=UTC).date(), guardian_name="Gran"
    )
    make.BookingFactory(workshop=planned.workshop, person=person)
    (young,) = set_inputs(planned.pk).attendees
    assert (young.under_age, young.guardian) == (True, "Gran")


def test_model_and_helpers_count_as_heads(planned):
    model = make.RoleFactory(workshop=planned.workshop, skin_reflectance=0.2, minutes_limit=40)
    helper = make.RoleFactory(workshop=planned.workshop, role="helper").person
    make.RoleFactory(workshop=planned.workshop, role="chaperone", person=model.person)
    inputs = set_inputs(planned.pk)
    assert (inputs.other_heads, inputs.helpers) == (2, (helper.name,))
    assert (inputs.skin_reflectance, inputs.model_minutes_limit) == (0.2, 40)


def test_the_newest_forecast_for_those_hours_counts(planned):
    make.ForecastFactory(location=planned.location, gust_m_s=6.0)
    make.ForecastFactory(
        location=planned.location, gust_m_s=12.0, taken_at=make.SET_START - timedelta(hours=3)
    )
    make.ForecastFactory(
        location=planned.location,
        gust_m_s=20.0,
        taken_at=make.SET_START,
        valid_from=make.SET_END,
        valid_to=make.SET_END + timedelta(hours=9),
    )
    assert set_inputs(planned.pk).forecast.gust_m_s == 12.0


def test_tide_rows_arrive_in_order_where_the_water_is_tidal(planned):
    for hours in (6, 0):
        make.TidePointFactory(location=planned.location, at=make.SET_START + timedelta(hours=hours))
    assert set_inputs(planned.pk).tide == ()
    type(planned.location).objects.update(water="tidal")
    first, second = set_inputs(planned.pk).tide
    assert (first.at, second.at) == (make.SET_START, make.SET_START + timedelta(hours=6))


def test_only_daylight_readings_of_the_set_and_its_spot_arrive(planned):
    make.ReadingFactory(planned_set=planned)
    make.ReadingFactory(planned_set=planned, flash_in=True)
    make.ReadingFactory(planned_set=None, location=planned.location, spot="Slate Wall", sky="clear")
    make.ReadingFactory(planned_set=None, location=planned.location, spot="pier")
    readings = set_inputs(planned.pk).readings
    assert [(one.source, one.sky) for one in readings] == [("metered", ""), ("own", "clear")]


def test_mark_and_tenths_give_the_exact_exposure_value():
    # EV100 = log2(N^2/t): f/11 is 7 stops, three tenths 0.3, 1/125 (1/128 s) another 7.
    reading = make.ReadingFactory(tenths=3)
    assert reading_ev100(reading) == pytest.approx(14.3)
    assert reading_ev100(make.ReadingFactory(iso=200)) == pytest.approx(13.0)
    by_ev = make.ReadingFactory(f_mark=None, shutter_s=None, ev=14.0, iso=400)
    assert reading_ev100(by_ev) == pytest.approx(12.0)


def test_a_dome_built_for_330_stands_for_more_light_than_a_disc_for_250():
    # ISO 2720: E = C N^2/(t S), so the same mark is log2(330/250) = 0.40 stop more light.
    dome = make.MeterFactory(incident_constant=330.0)
    by_kind = make.ReadingFactory(meter=make.UnitFactory(kind=dome))
    assert reading_ev100(by_kind) == pytest.approx(14.0 + 0.40, abs=0.005)
    own = make.ReadingFactory(meter=make.UnitFactory(kind=dome, incident_constant=250.0))
    assert reading_ev100(own) == pytest.approx(14.0)
    spot = make.ReadingFactory(
        kind="spot", meter=make.UnitFactory(kind=make.MeterFactory(reflected_constant=14.0))
    )
    assert reading_ev100(spot) == pytest.approx(14.0 + math.log2(14 / 12.5))


def test_a_southern_place_keeps_its_own_clock_and_sign():
    place = make.LocationFactory(
        latitude_deg=-36.85, longitude_deg=174.76, timezone_name="Pacific/Auckland"
    )
    planned = make.LightFactory(planned_set__location=place).planned_set
    inputs = set_inputs(planned.pk)
    assert inputs.location.place.latitude_deg == -36.85
    assert inputs.start_at.utcoffset() == timedelta(hours=12)  # standard time in May


def test_every_input_of_the_set_has_a_field_to_come_from():
    made_here = {
        "workshop location house camera lights triggers attendees other_heads helpers forecast "
        "tide readings filters skin_reflectance set_index model_minutes_limit inputs_changed_at "
        "revision strobe_sensitive given points daylight turn_own frames_own"
    }
    from planning.plan.inputs import SetInputs

    own = {field.name for field in PlannedSet._meta.concrete_fields}
    asked = {field.name for field in dataclasses.fields(SetInputs)}
    assert asked - own - set(" ".join(made_here).split()) == set()
