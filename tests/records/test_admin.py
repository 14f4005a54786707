"""The back room: pages open, search finds, saves are audited, a refused form keeps its words."""

import json
from datetime import UTC, datetime, timedelta

import pytest
from django.contrib import admin
from django.urls import reverse

from planning.models import PlannedLight, PlannedSet, Reading, SetPicture, TallyEvent
from planning.plan import evaluate
from planning.selectors import set_inputs
from tests import factories as make
from tests.pages.days import coming
from tests.records.browser import filled
from workshops.models import (
    AuditEntry,
    Booking,
    CameraBody,
    Closing,
    Forecast,
    Person,
    User,
    Workshop,
)

pytestmark = pytest.mark.django_db
OURS = sorted(
    (model for model in admin.site._registry if model._meta.app_label in ("workshops", "planning")),
    key=lambda model: model._meta.label,
)
FACTORIES = {
    factory._meta.model: factory
    for factory in vars(make).values()
    if isinstance(factory, type) and getattr(factory, "_meta", None) and factory._meta.model
}


@pytest.fixture
def office(client):
    user = make.UserFactory(email="office@example.org")
    client.force_login(user)
    client.user = user
    return client


def url(model, page, *args):
    return reverse(f"admin:{model._meta.app_label}_{model._meta.model_name}_{page}", args=args)


# The site writes the first itself, makes the second anew from what is brought in, and closes
# workshops on a page of their own.
NOT_BEGUN_HERE = (AuditEntry, SetPicture, Closing)


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label)
def test_every_list_opens_and_searches(office, model):
    if model in FACTORIES:
        FACTORIES[model]()
    page = office.get(url(model, "changelist"), {"q": "a"})
    assert page.status_code == 200
    assert admin.site._registry[model].search_fields


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label)
def test_every_record_opens_and_can_be_begun(office, model):
    if model in NOT_BEGUN_HERE:
        assert office.get(url(model, "add")).status_code == 403
        return
    page = office.get(url(model, "add"))
    assert page.status_code == 200
    # A browser's number box sends nothing where it cannot read what was typed, such as 50,7351.
    assert 'type="number"' not in page.content.decode()
    record = FACTORIES[model]() if model in FACTORIES else None
    if record:
        assert office.get(url(model, "change", record.pk)).status_code == 200


@pytest.mark.parametrize(
    "model",
    [model for model in OURS if model in FACTORIES and model not in (User, AuditEntry)],
    ids=lambda model: model._meta.label,
)
def test_saving_a_record_as_it_stands_changes_nothing(office, model):
    record = FACTORIES[model]()
    if model is Workshop:
        make.SeatFactory(workshop=record)
    if model is PlannedSet:
        make.LightFactory(planned_set=record)
        make.ReadingFactory(planned_set=record)
    page = office.get(url(model, "change", record.pk))
    answer = office.post(url(model, "change", record.pk), filled(page))
    if model in (TallyEvent, Closing):  # neither is changed: taken back, or opened again
        assert answer.status_code == 403
        return
    assert answer.status_code == 302, answer.context["errors"]
    assert not AuditEntry.objects.exists()


def test_search_finds_a_person_by_camera(office):
    make.CameraFactory(owner__name="Ada", name="Old slow body")
    make.PersonFactory(name="Bo")
    page = office.get(url(Person, "changelist"), {"q": "slow body"})
    assert [person.name for person in page.context["cl"].queryset] == ["Ada"]


def test_a_save_writes_who_and_what_with_the_inlines(office):
    camera = make.CameraFactory(owner__name="Ada")
    page = office.get(url(Person, "change", camera.owner_id))
    sent = filled(page) | {"name": "Ada L.", "cameras-0-sync_s": "1/200"}
    assert office.post(url(Person, "change", camera.owner_id), sent).status_code == 302
    person, body = AuditEntry.objects.order_by("pk")
    assert (person.who, person.changes) == (office.user, {"name": ["Ada", "Ada L."]})
    assert body.record_type == "workshops.camerabody"
    assert set(body.changes) == {"sync_s"}


def test_a_delete_writes_a_row_for_everything_that_goes(office):
    camera = make.CameraFactory()
    office.post(url(Person, "delete", camera.owner_id), {"post": "yes"})
    gone = AuditEntry.objects.filter(action="deleted").values_list("record_type", flat=True)
    assert sorted(gone) == ["workshops.camerabody", "workshops.person"]


def test_deleting_a_selection_is_audited(office):
    people = make.PersonFactory.create_batch(2)
    office.post(
        url(Person, "changelist"),
        {"action": "delete_selected", "_selected_action": [p.pk for p in people], "post": "yes"},
    )
    assert not Person.objects.exists()
    assert AuditEntry.objects.filter(action="deleted").count() == 2


def test_a_refused_form_keeps_what_was_typed_and_says_what_to_enter(office):
    camera = make.CameraFactory()
    sent = filled(office.get(url(CameraBody, "change", camera.pk)))
    sent |= {"sync_s": "quick", "sensor_width_mm": "0"}
    page = office.post(url(CameraBody, "change", camera.pk), sent)
    assert page.status_code == 200
    body = page.content.decode()
    assert 'value="quick"' in body
    assert "enter it like 1/160 or 0.8 s" in body
    assert "sensor width (mm): enter 4 to 100" in body
    assert not AuditEntry.objects.exists()


def test_marks_are_shown_as_a_camera_shows_them(office):
    planned = make.LightFactory().planned_set
    body = office.get(url(PlannedSet, "change", planned.pk)).content.decode()
    assert 'name="widest_f_number" value="f/2.8"' in body
    assert 'name="slowest_hand_held_s" value="1/60"' in body


def new_set(office, planned, **changes):
    """Return the answer to a set like ``planned`` sent from the page of a new one."""
    light = planned.lights.get()
    sent = filled(office.get(url(PlannedSet, "change", planned.pk)))
    sent |= {"lights-INITIAL_FORMS": "0", "lights-TOTAL_FORMS": "1", "readings-INITIAL_FORMS": "0"}
    sent |= {
        "position": str(planned.position % 100 + 1),
        "lights-0-id": "",
        "lights-0-planned_set": "",
    }
    assert sent["lights-0-name"] == light.name
    return office.post(url(PlannedSet, "add"), sent | changes)


def test_a_set_is_entered_on_the_clock_of_its_place(office):
    place = make.LocationFactory(timezone_name="Pacific/Auckland")
    planned = make.LightFactory(planned_set__location=place).planned_set
    page = office.get(url(PlannedSet, "change", planned.pk)).content.decode()
    assert 'value="01:10:00"' in page  # 13:10 UTC, twelve hours on
    answer = new_set(
        office, planned, title="Dawn", start_at_0="2027-05-09", start_at_1="07:00:00",
        end_at_0="2027-05-09", end_at_1="08:15:00",
    )  # fmt: skip
    assert answer.status_code == 302, answer.context["errors"]
    dawn = PlannedSet.objects.get(title="Dawn")
    assert dawn.start_at == datetime(2027, 5, 8, 19, 0, tzinfo=UTC)
    assert PlannedLight.objects.filter(planned_set=dawn).count() == 1


def test_an_hour_the_clocks_skip_is_refused(office):
    planned = make.LightFactory().planned_set
    page = new_set(office, planned, start_at_0="2027-03-28", start_at_1="01:30:00")
    assert "01:30 does not exist on 2027-03-28" in page.content.decode()


def test_a_set_without_a_light_for_its_job_is_refused(office):
    planned = make.LightFactory().planned_set
    page = new_set(office, planned, **{"lights-0-role": "rim"})
    assert "job of this set is key" in page.content.decode()
    assert PlannedSet.objects.count() == 1


def test_the_end_before_the_start_stands_in_the_form(office):
    planned = make.LightFactory().planned_set
    page = new_set(office, planned, end_at_1="12:00:00")
    body = page.content.decode()
    assert "End: enter a time after the start." in body
    assert 'value="12:00:00"' in body


def test_seats_are_made_with_the_workshop_and_shrink_to_the_free_ones(office):
    workshop = make.WorkshopFactory()
    page = office.get(url(Workshop, "change", workshop.pk))
    office.post(url(Workshop, "change", workshop.pk), filled(page) | {"seats_wanted": "3"})
    assert workshop.seats.count() == 3
    for seat in workshop.seats.all()[:2]:
        make.BookingFactory(workshop=workshop, seat=seat)
    page = office.get(url(Workshop, "change", workshop.pk))
    page = office.post(url(Workshop, "change", workshop.pk), filled(page) | {"seats_wanted": "1"})
    assert "2 are held; enter at least 2" in page.content.decode()
    assert workshop.seats.count() == 3


def test_a_booking_entered_here_gets_a_seat_or_the_reason_why_not(office):
    seat = coming(seats=1).seats.get()
    for person in make.PersonFactory.create_batch(2):
        sent = {"workshop": seat.workshop_id, "person": person.pk}
        page = office.post(url(Booking, "add"), sent)
    assert Booking.objects.get().seat == seat
    assert "is full: all 1 seats are held" in page.content.decode()


def test_bookings_are_confirmed_and_cancelled_by_the_actions(office):
    booking = make.BookingFactory()
    for action in ("confirm", "cancel_by_house"):
        sent = {"action": action, "_selected_action": [booking.pk]}
        office.post(url(Booking, "changelist"), sent)
    booking.refresh_from_db()
    assert (booking.state, booking.seat) == ("cancelled", None)
    assert AuditEntry.objects.filter(record_type="workshops.booking").count() == 2


def test_times_of_inlines_are_local_too(office):
    place = make.LocationFactory(timezone_name="Pacific/Auckland")
    planned = make.LightFactory(planned_set__location=place).planned_set
    sent = filled(office.get(url(PlannedSet, "change", planned.pk)))
    sent |= {
        "readings-TOTAL_FORMS": "1", "readings-0-at_0": "2027-05-09", "readings-0-at_1": "07:00",
        "readings-0-kind": "incident", "readings-0-plane": "backdrop", "readings-0-f_mark": "11",
        "readings-0-tenths": "3", "readings-0-shutter_s": "1/125", "readings-0-iso": "100",
        "readings-0-spread_stops": "0.2",
    }  # fmt: skip
    answer = office.post(url(PlannedSet, "change", planned.pk), sent)
    assert answer.status_code == 302, answer.context["errors"]
    assert Reading.objects.get().at == datetime(2027, 5, 8, 19, 0, tzinfo=UTC)


def test_a_horizon_out_of_order_is_refused_with_what_was_typed(office):
    place = make.LocationFactory()
    sent = filled(office.get(url(type(place), "change", place.pk)))
    page = office.post(
        url(type(place), "change", place.pk), sent | {"horizon": json.dumps([[90, 3], [0, 2]])}
    )
    body = page.content.decode()
    assert "azimuth 0 comes after 90" in body
    assert "[[90, 3], [0, 2]]" in body


@pytest.mark.parametrize(
    "typed",
    [
        "[" * 3000 + "]" * 3000,
        "[[0, " + "9" * 5000 + "]]",
        "[[0, " + "9" * 400 + "]]",
        "ridge",
        "[[0",
    ],
    ids=["brackets", "endless", "huge", "words", "cut off"],
)
def test_no_horizon_however_odd_breaks_the_form_or_is_lost(office, typed):
    place = make.LocationFactory()
    sent = filled(office.get(url(type(place), "change", place.pk)))
    page = office.post(url(type(place), "change", place.pk), sent | {"horizon": typed})
    assert page.status_code == 200
    body = page.content.decode()
    assert "Horizon:" in body
    assert typed[:60] in body


def test_a_changed_password_is_audited_without_either(office):
    user = make.UserFactory()
    office.post(
        reverse("admin:auth_user_password_change", args=[user.pk]),
        {"password1": "nine-cold-wet-mornings", "password2": "nine-cold-wet-mornings"},
    )
    assert AuditEntry.objects.get().changes == {"password": ["(not kept)", "(not kept)"]}


def test_a_lists_columns_cost_no_query_for_each_row(office, django_assert_max_num_queries):
    make.ForecastFactory.create_batch(5)
    make.LightFactory.create_batch(5)
    for model in (Forecast, PlannedSet):
        with django_assert_max_num_queries(12):
            office.get(url(model, "changelist"))


def test_a_set_entered_on_an_empty_page_is_ready_to_be_planned(office):
    light = make.LightFactory.build(
        strobe=make.StrobeFactory(), stand=make.StandFactory(), modifier=make.ModifierFactory()
    )
    workshop, place, camera = make.WorkshopFactory(), make.LocationFactory(), make.CameraFactory()
    sent = filled(office.get(url(PlannedSet, "add")))
    sent |= {
        "workshop": workshop.pk, "location": place.pk, "camera": camera.pk, "title": "New set",
        "start_at_0": "2027-05-08", "start_at_1": "14:10", "end_at_0": "2027-05-08",
        "end_at_1": "15:25", "camera_facing_deg": "205", "widest_f_number": "f/2",
        "lights-0-name": "octa", "lights-0-strobe": light.strobe.pk,
        "lights-0-modifier": light.modifier.pk, "lights-0-stand": light.stand.pk,
        "lights-0-distance_m": "2", "lights-0-angle_deg": "-45", "lights-0-lamp_height_m": "2.3",
    }  # fmt: skip
    answer = office.post(url(PlannedSet, "add"), sent)
    assert answer.status_code == 302, answer.context["errors"]
    inputs = set_inputs(PlannedSet.objects.get().pk)
    assert (inputs.start_at, inputs.widest_f_number) == (make.SET_START, 2.0)
    assert evaluate(inputs).exposure.sync_s == camera.sync_s


@pytest.mark.parametrize("mark", ["f/0", "0", "-4", "wide"])
def test_an_aperture_that_is_none_stays_in_the_form_with_what_to_enter(office, mark):
    planned = make.LightFactory().planned_set
    body = new_set(office, planned, widest_f_number=mark).content.decode()
    assert f'name="widest_f_number" value="{mark}"' in body
    assert "enter it like f/11 or 11" in body


def test_a_workshop_moved_in_the_admin_takes_its_kit_along_or_is_refused(office):
    unit = make.UnitFactory(tag="T1")
    mine = make.ReservationFactory(unit=unit)
    later = mine.workshop.start_at + timedelta(days=10)
    other = make.WorkshopFactory(
        title="Dunes at dusk", start_at=later, end_at=later + timedelta(hours=9)
    )
    make.ReservationFactory(unit=unit, workshop=other)
    make.SeatFactory(workshop=mine.workshop)
    page = reverse("admin:workshops_workshop_change", args=[mine.workshop_id])
    form = filled(office.get(page))
    moved = {"start_at_0": "2027-05-12", "end_at_0": "2027-05-12"}
    assert office.post(page, form | moved).status_code == 302
    mine.refresh_from_db()
    assert mine.start_at == datetime(2027, 5, 11, 8, 0, tzinfo=UTC)
    clash = {"start_at_0": "2027-05-17", "end_at_0": "2027-05-17"}
    answer = office.post(page, filled(office.get(page)) | clash)
    assert "T1 is promised to Dunes at dusk" in answer.content.decode()
    mine.refresh_from_db()
    assert mine.start_at == datetime(2027, 5, 11, 8, 0, tzinfo=UTC)
