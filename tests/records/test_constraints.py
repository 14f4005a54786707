"""What the database forbids, whoever writes; and the sentence that says so in a form."""

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from tests import factories as make
from workshops.models import House, Location

pytestmark = pytest.mark.django_db


def refused_by_the_database(act):
    with pytest.raises(IntegrityError), transaction.atomic():
        act()


def sentences(record) -> str:
    with pytest.raises(ValidationError) as fault:
        record.full_clean()
    return str(fault.value.message_dict)


BROKEN = [
    (make.HouseFactory, {"safety_factor": 0.5}, "safety factor"),
    (make.HouseFactory, {"hold_force_n": 90.0}, "Modifier comes off above"),
    (make.PersonFactory, {"under_age": True}, "Guardian"),
    (make.CameraFactory, {"sensor_width_mm": 0.0}, "sensor width"),
    (make.CameraFactory, {"fastest_shutter_s": 1 / 64}, "Fastest shutter"),
    (make.WorkshopFactory, {"end_at": make.NOW}, "End: enter a time after the start"),
    (make.WorkshopFactory, {"status": "cancelled"}, "Reason of the cancellation"),
    (make.WorkshopFactory, {"cancelled_reason": "storm"}, "Reason of the cancellation"),
    (make.WorkshopFactory, {"minimum_to_run": 0}, "people needed to run"),
    (make.RoleFactory, {"skin_reflectance": 1.2}, "skin reflectance"),
    (make.LocationFactory, {"latitude_deg": 91.0}, "latitude"),
    (make.LocationFactory, {"longitude_deg": None}, "Latitude and longitude"),
    (make.LocationFactory, {"ground_reflectance": 1.1}, "ground reflectance"),
    (make.LocationFactory, {"wind_exposure_factor": 0.8}, "wind exposure"),
    (make.LandmarkFactory, {"bearing_deg": 361.0}, "bearing"),
    (make.ForecastFactory, {"gust_m_s": 4.0}, "Gust: enter no less than the mean wind"),
    (make.ForecastFactory, {"valid_to": make.NOW}, "Until"),
    (make.ForecastFactory, {"humidity_percent": 101.0}, "humidity"),
    (make.BatteryFactory, {"capacity_wh": 0.0}, "capacity"),
    (make.StrobeFactory, {"energy_ws": None}, "enter the W.s, or a guide number"),
    (make.StrobeFactory, {"energy_ws": 0.0}, "energy"),
    (make.StrobeFactory, {"least_power": 1.5}, "least power"),
    (make.ModifierFactory, {"source_offset_m": 0.1}, "a diffuse face has a diameter"),
    (make.ModifierFactory, {"face": "beam", "source_diameter_m": 0.3}, "a beam has no diameter"),
    (make.StandFactory, {"leg_radius_m": 0.0}, "leg radius"),
    (make.UnitFactory, {"health_share": 0.0}, "battery health"),
    (make.GuideNumberReadingFactory, {"flash_alone": False}, "without daylight"),
    (make.GuideNumberReadingFactory, {"tenths": 10}, "tenths"),
    (make.SetFactory, {"end_at": make.SET_START}, "End: enter a time after the start"),
    (make.SetFactory, {"placement_stops": 1.0}, "set placement to 0, or choose a spot reading"),
    (make.SetFactory, {"smallest_f_number": 2.0}, "Smallest aperture"),
    (make.SetFactory, {"iso": 3200.0}, "Highest ISO"),
    (make.SetFactory, {"backdrop_reflectance": 0.0}, "backdrop reflectance"),
    (make.SetFactory, {"least_ratio": 0.5}, "least ratio"),
    (make.LightFactory, {"distance_m": 0.0}, "distance"),
    (make.LightFactory, {"stand": None}, "tick hand held"),
    (make.LightFactory, {"hand_held": True}, "tick hand held"),
    (make.ReadingFactory, {"planned_set": None}, "exactly one"),
    (make.ReadingFactory, {"ev": 12.0}, "or the EV alone"),
    (make.ReadingFactory, {"plane": "sky"}, "a sky reading is of the sky"),
    (make.ReadingFactory, {"kind": "spot", "plane": "face"}, "read the face with the dome"),
    (make.ReadingFactory, {"kind": "spot", "plane": "shade"}, "or choose the backdrop"),
    # What the physics refuses, the record refuses first.
    (make.LocationFactory, {"slope_deg": 31.0}, "slope (degrees): enter 0 to 30"),
    (make.LocationFactory, {"sky_cover_share": 1.0}, "share of the sky hidden: enter 0 to 0.95"),
    (make.ForecastFactory, {"temperature_c": -41.0}, "enter -40 to 60"),
    (make.ModifierFactory, {"beam_deg": 180.0}, "beam angle (degrees): enter 1 to 179"),
    (make.StrobeFactory, {"power_step_stops": 0.25}, "whole, half, third or tenth stops"),
    (make.StandFactory, {"mass_kg": 0.0}, "Mass: enter what the stand weighs"),
    (make.GelFactory, {"shift_mired": -190.0}, "enter -150 to 500"),
    (make.NdFilterFactory, {"stops": 13.0}, "enter 0.1 to 12"),
    (make.SetFactory, {"focal_mm": 600.0, "camera_distance_m": 0.6}, "more than the focal length"),
    (make.LightFactory, {"angle_deg": 150.0}, "make it a rim"),
    (make.LightFactory, {"role": "fill", "angle_deg": -150.0}, "make it a rim"),
    (make.LightFactory, {"lamp_height_m": 0.0}, "height of the lamp (m): enter 0.05 to 20"),
]


@pytest.mark.parametrize(("factory", "fault", "words"), BROKEN)
def test_a_broken_rule_is_named_to_people_and_forbidden_by_the_database(factory, fault, words):
    record = factory.build(**_parts(factory, fault), **fault)
    assert words in sentences(record)
    refused_by_the_database(record.save)


def _parts(factory, fault):
    """Saved records for the foreign keys of an unsaved one."""
    parts = {}
    for name, declared in factory._meta.pre_declarations.as_dict().items():
        if hasattr(declared, "get_factory") and name not in fault:
            parts[name] = declared.get_factory()()
    return parts


def test_there_is_one_house():
    make.HouseFactory()
    refused_by_the_database(lambda: House.objects.create(id=2, name="Second"))


def test_one_live_booking_for_each_person():
    first = make.BookingFactory()
    seat = make.SeatFactory(workshop=first.workshop)
    again = make.BookingFactory.build(workshop=first.workshop, person=first.person, seat=seat)
    assert "already holds a booking" in sentences(again)
    refused_by_the_database(again.save)


def test_one_live_booking_for_each_seat():
    first = make.BookingFactory()
    other = make.BookingFactory.build(
        workshop=first.workshop, person=make.PersonFactory(), seat=first.seat
    )
    assert "another booking holds it" in sentences(other)
    refused_by_the_database(other.save)


def test_a_live_booking_needs_a_seat_and_a_cancelled_one_gives_it_back():
    booking = make.BookingFactory()
    booking.seat = None
    refused_by_the_database(booking.save)
    booking.refresh_from_db()
    booking.state, booking.cancelled_at = "cancelled", make.NOW
    refused_by_the_database(booking.save)


def test_a_seat_belongs_to_the_workshop_booked():
    booking = make.BookingFactory.build(
        workshop=make.WorkshopFactory(), person=make.PersonFactory(), seat=make.SeatFactory()
    )
    assert "choose one of this workshop" in sentences(booking)


def test_one_lead_instructor():
    lead = make.RoleFactory(role="lead")
    second = make.RoleFactory.build(
        workshop=lead.workshop, person=make.PersonFactory(), role="lead"
    )
    assert "lead instructor already" in sentences(second)
    refused_by_the_database(second.save)


def test_addresses_differ_by_more_than_case():
    make.UserFactory(email="office@example.org")
    refused_by_the_database(lambda: make.UserFactory(email="Office@example.org"))


@pytest.mark.parametrize(
    ("profile", "words"),
    [
        ([[90, 3], [0, 2]], "azimuth 0 comes after 90"),
        ([[0, 3], [0, 2]], "azimuth 0 comes after 0"),
        ([[360, 3]], "0 to below 360"),
        ([[10, 95]], "elevation -10 to below 90"),
        ([[10, 90]], "elevation -10 to below 90"),
        ([[10, -11]], "elevation -10 to below 90"),
        ([[10]], "no pair of numbers"),
        ([[0, 10**400]], "no pair of numbers"),
        ([[True, False]], "no pair of numbers"),
        ({"10": 3}, "enter pairs like"),
    ],
)
def test_a_horizon_out_of_order_says_what_to_enter(profile, words):
    assert words in sentences(make.LocationFactory.build(horizon=profile))


def test_a_zone_nobody_knows_is_refused():
    assert "IANA name" in sentences(make.LocationFactory.build(timezone_name="Europe/Atlantis"))


def test_a_lamp_stands_no_higher_than_its_stand():
    light = make.LightFactory()
    light.lamp_height_m = 3.0
    assert "this stand reaches 2.8 m" in sentences(light)


def test_the_cord_reaches_from_face_to_lamp():
    light = make.LightFactory()
    light.distance_m = 0.5
    assert "at least 0.75 m" in sentences(light)  # lamp at 2.3 m, face at 1.55 m


def test_whatever_is_stored_is_a_member_of_the_series():
    camera = make.CameraFactory(sync_s="1/125", lowest_iso="200")
    camera.refresh_from_db()
    assert (camera.sync_s, camera.lowest_iso) == (1 / 128, 200.0)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("f/128", "f/128 lies outside the marks f/0.7 to f/90: enter it like f/11"),
        ("0.5", "0.5 lies outside the marks f/0.7 to f/90"),
    ],
)
def test_a_mark_no_dial_has_is_refused_with_the_ends_of_the_series(typed, told):
    planned = make.SetFactory()
    planned.smallest_f_number = typed
    assert told in sentences(planned)


def test_the_ends_of_every_series_can_be_kept():
    planned = make.SetFactory(
        widest_f_number="f/0.7", smallest_f_number="f/90", iso="25", highest_iso="102400"
    )
    reading = make.ReadingFactory(planned_set=planned, f_mark="f/90", shutter_s="1/32000", iso="25")
    for record in (planned, reading, make.ReadingFactory(f_mark="f/0.7", shutter_s="30 s")):
        record.refresh_from_db()
        record.full_clean()
    assert reading.f_mark == 2.0 ** (39 / 6)


@pytest.mark.parametrize(
    ("typed", "words"),
    [("1", "whole"), ("1/2", "half"), ("1/3", "third"), ("1/10", "tenth"), (0.1, "tenth")],
)
def test_a_power_step_is_kept_exactly_and_shown_in_words(typed, words):
    strobe = make.StrobeFactory(power_step_stops=typed)
    strobe.refresh_from_db()
    strobe.full_clean()
    assert strobe.get_power_step_stops_display() == f"{words} stops"


def test_a_rim_stands_behind_and_a_slope_of_thirty_is_kept():
    make.LightFactory(role="rim", angle_deg=180.0).full_clean()
    make.LocationFactory(slope_deg=30.0, sky_cover_share=0.95).full_clean()


def test_a_plain_kind_cannot_pose_as_one_with_figures():
    from workshops.models import KitKind

    assert "own heading" in sentences(KitKind(name="Head", category="strobe"))


def test_coordinates_may_wait():
    Location(name="Unscouted", timezone_name="UTC").full_clean()
