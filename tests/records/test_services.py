"""Services grant or refuse, and leave nothing half done."""

import pytest

from planning.models import PlannedLight, PlannedSet, Reading
from planning.services.sets import record_reading, save_set
from tests import factories as make
from workshops.errors import Refused
from workshops.models import (
    AuditEntry,
    CameraBody,
    House,
    KitUnit,
    Location,
    Person,
    Reservation,
    Seat,
    Strobe,
    Terms,
    TidePoint,
    User,
    Workshop,
)
from workshops.services.accounts import create_user
from workshops.services.house import add_terms, save_house
from workshops.services.kit import add_kind, add_unit, record_guide_number
from workshops.services.locations import add_forecast, add_location
from workshops.services.people import add_person
from workshops.services.reservations import reserve
from workshops.services.workshops import open_workshop

pytestmark = pytest.mark.django_db
WORKSHOP = {
    "title": "One light",
    "start_at": make.WorkshopFactory.start_at,
    "end_at": make.WorkshopFactory.end_at,
    "timezone_name": "Europe/London",
}


def lights(**changes):
    return [
        {
            "name": "octa",
            "strobe": make.StrobeFactory(),
            "stand": make.StandFactory(),
            "distance_m": 2.0,
            "angle_deg": 45.0,
            "lamp_height_m": 2.3,
        }
        | changes
    ]


def set_details():
    return {
        "workshop": make.WorkshopFactory(),
        "location": make.LocationFactory(),
        "title": "Slate wall",
        "start_at": make.SET_START,
        "end_at": make.SET_END,
        "camera": make.CameraFactory(),
        "camera_facing_deg": 205.0,
    }


def test_the_first_account_is_made_by_nobody_and_audited_without_its_password():
    user = create_user(
        by=None, email="Office@Example.org", password="nine-cold-wet-mornings", is_superuser=True
    )
    assert user.email == "office@example.org"
    assert user.check_password("nine-cold-wet-mornings")
    entry = AuditEntry.objects.get(record_type="workshops.user")
    assert entry.changes["password"] == [None, "(not kept)"]


def test_a_weak_password_makes_no_account():
    with pytest.raises(Refused, match="too short"):
        create_user(by=None, email="office@example.org", password="short")
    assert not User.objects.exists()


def test_the_house_is_saved_as_one_record_and_its_change_is_kept():
    user = make.UserFactory()
    save_house(by=user, now=make.NOW, name="Slate & Tide")
    save_house(by=user, now=make.NOW, carry_cap_kg=20.0)
    assert House.objects.get().carry_cap_kg == 20.0
    entry = AuditEntry.objects.filter(action="changed").get()
    assert (entry.who, entry.changes) == (user, {"carry_cap_kg": [25.0, 20.0]})
    with pytest.raises(Refused, match="safety factor on overturning: enter 1 to 5"):
        save_house(by=user, now=make.NOW, safety_factor=0.2)
    assert House.objects.get().safety_factor == 1.5


def test_terms_come_with_all_their_rows_or_not_at_all():
    terms = add_terms(by=None, name="Usual", rows=[(90, 1.0), (60, 0.5)])
    assert [row.refunded_share for row in terms.rows.all()] == [1.0, 0.5]
    with pytest.raises(Refused):
        add_terms(by=None, name="Odd", rows=[(90, 1.0), (60, 1.5)])
    assert Terms.objects.count() == 1


def test_a_person_comes_with_all_cameras_or_not_at_all():
    body = {"name": "Body", "sync_s": "1/200", "lowest_iso": "64"}
    person = add_person(by=None, name="Ada", cameras=[body])
    assert person.cameras.get().sync_s == pytest.approx(2 ** (-23 / 3))
    with pytest.raises(
        Refused, match="flash sync speed: 'fast' is not a number above 0: enter it like 1/160"
    ):
        add_person(by=None, name="Bo", cameras=[body, body | {"sync_s": "fast"}])
    assert (Person.objects.count(), CameraBody.objects.count()) == (1, 1)


def test_a_workshop_opens_with_seats_places_and_people():
    lead, place = make.PersonFactory(), make.LocationFactory()
    roles = [{"person": lead, "role": "lead"}]
    workshop = open_workshop(by=None, seats=6, places=[place], roles=roles, **WORKSHOP)
    assert workshop.seats.count() == 6
    assert [list(workshop.locations.all()), workshop.roles.get().person] == [[place], lead]


def test_a_workshop_refused_leaves_no_seat():
    lead = make.PersonFactory()
    roles = [{"person": lead, "role": "lead"}, {"person": make.PersonFactory(), "role": "lead"}]
    with pytest.raises(Refused, match="lead instructor already"):
        open_workshop(by=None, seats=6, roles=roles, **WORKSHOP)
    assert (Workshop.objects.count(), Seat.objects.count()) == (0, 0)


def test_a_strobe_without_a_figure_is_refused_in_a_sentence():
    with pytest.raises(Refused, match=r"enter the W\.s, or a guide number"):
        add_kind(by=None, of=Strobe, name="Head")
    strobe = add_kind(by=None, of=Strobe, name="Head", guide_number_m=46.0, least_power="1/128")
    assert (strobe.category, strobe.least_power) == ("strobe", 1 / 128)


def test_units_are_tagged_once_and_come_along_once():
    unit = add_unit(by=None, kind=make.BatteryFactory(), tag="B1", health_share=0.9)
    with pytest.raises(Refused):
        add_unit(by=None, kind=make.BatteryFactory(), tag="B1")
    assert KitUnit.objects.count() == 1
    workshop = make.WorkshopFactory()
    with pytest.raises(Refused, match="on this workshop's list already"):
        reserve(by=None, workshop=workshop, units=[unit, unit])
    assert not Reservation.objects.exists()


def test_a_reading_with_daylight_in_it_teaches_no_guide_number():
    reading = {"read_on": make.NOW.date(), "distance_m": 2.0, "f_mark": "11", "tenths": 3}
    kept = record_guide_number(by=None, strobe=make.StrobeFactory(), **reading)
    assert kept.f_number == pytest.approx(12.55, abs=0.005)  # 11.314 * 2^(0.3/2)
    with pytest.raises(Refused, match="without daylight"):
        record_guide_number(by=None, strobe=make.StrobeFactory(), flash_alone=False, **reading)


def test_a_location_comes_with_landmarks_and_tide_or_not_at_all():
    details = {"name": "Cove", "timezone_name": "Europe/London"}
    tide = [{"at": make.SET_START, "height_m": 1.2, "turn": "low"}]
    place = add_location(by=None, tide=tide, landmarks=[], water="tidal", **details)
    assert place.tide_points.get().height_m == 1.2
    with pytest.raises(Refused, match="bearing"):
        add_location(
            by=None, tide=tide, landmarks=[{"name": "Mast", "bearing_deg": 400.0}], **details
        )
    assert (Location.objects.count(), TidePoint.objects.count()) == (1, 1)


def test_a_gust_below_the_mean_is_refused_and_old_snapshots_stay():
    old = make.ForecastFactory()
    hours = {"valid_from": old.valid_from, "valid_to": old.valid_to, "taken_at": make.NOW}
    with pytest.raises(Refused, match="Gust: enter no less than the mean wind"):
        add_forecast(
            by=None, location=old.location, source="x", sky="clear", wind_m_s=9, gust_m_s=8, **hours
        )
    add_forecast(by=None, location=old.location, source="x", sky="partly", **hours)
    assert old.location.forecasts.count() == 2


def test_a_set_is_saved_with_its_lights_and_the_house_default():
    make.HouseFactory(stops_under=2.0)
    planned = save_set(by=None, lights=lights(), **set_details())
    assert (planned.stops_under, planned.lights.get().name) == (2.0, "octa")
    save_set(by=None, planned_set=planned, lights=lights(name="dish"), title="Slate again")
    planned.refresh_from_db()
    assert (planned.title, planned.lights.get().name) == ("Slate again", "dish")


def test_a_set_without_a_light_for_its_job_is_not_kept():
    with pytest.raises(Refused, match="job of this set is key"):
        save_set(by=None, lights=lights(role="rim"), **set_details())
    assert (PlannedSet.objects.count(), PlannedLight.objects.count()) == (0, 0)


def test_a_set_whose_new_lights_are_refused_keeps_its_old_ones():
    planned = save_set(by=None, lights=lights(), **set_details())
    with pytest.raises(Refused, match="distance"):
        save_set(by=None, planned_set=planned, lights=lights(distance_m=0.0, lamp_height_m=1.55))
    assert planned.lights.get().distance_m == 2.0


def test_a_reading_belongs_to_a_set_or_a_place():
    reading = {"at": make.SET_START, "kind": "incident", "plane": "backdrop", "ev": 14.0}
    record_reading(by=None, location=make.LocationFactory(), **reading)
    with pytest.raises(Refused, match="exactly one"):
        record_reading(by=None, **reading)
    assert Reading.objects.count() == 1
