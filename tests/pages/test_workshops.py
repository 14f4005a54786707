"""The pages of workshops: list, one day, its form, its people and its kit list."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.records.browser import filled
from workshops.models import (
    AuditEntry,
    House,
    KitUnit,
    Person,
    Workshop,
    WorkshopKit,
    WorkshopRole,
)

pytestmark = pytest.mark.django_db
COMING = datetime(2099, 5, 8, 8, 0, tzinfo=UTC)  # still to come whenever the tests run
PAST = datetime(2020, 5, 8, 8, 0, tzinfo=UTC)
DAY = {"title": "One light", "start_at": "2099-05-08T09:00", "end_at": "2099-05-08T18:00"}


@pytest.fixture
def office(client):
    make.HouseFactory(timezone_name="Europe/London")
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


def coming(seats=2, **more):
    workshop = make.WorkshopFactory(
        **{"start_at": COMING, "end_at": COMING + timedelta(hours=9)} | more
    )
    for number in range(1, seats + 1):
        make.SeatFactory(workshop=workshop, number=number)
    return workshop


def seated(workshop, **more):
    seat = workshop.seats.exclude(bookings__state__in=("held", "confirmed")).first()
    return make.BookingFactory(workshop=workshop, seat=seat, **more)


def words(answer):
    return " ".join(answer.content.decode().split()).replace("\N{NO-BREAK SPACE}", " ")


def saved(office, page, pk=None, /, **typed):
    place = reverse(page, args=[pk] if pk else [])
    return office.post(place, filled(office.get(place)) | typed)


def every_page():
    role = make.RoleFactory(workshop=coming())
    pages = ("workshop", "workshop-edit", "workshop-delete", "workshop-kit", "role-new")
    return [
        reverse("workshops"),
        reverse("workshop-new"),
        *(reverse(page, args=[role.workshop_id]) for page in pages),
        reverse("role-edit", args=[role.pk]),
        reverse("role-delete", args=[role.pk]),
    ]


def test_every_page_opens_for_the_office(office):
    for page in every_page():
        assert office.get(page).status_code == 200, page


def test_every_page_is_closed_to_an_account_without_rights(client):
    client.force_login(make.UserFactory(is_staff=False, is_superuser=False))
    for page in every_page():
        assert client.get(page).status_code == 403, page


def test_every_page_leads_a_stranger_to_the_log_in(client):
    for page in every_page():
        assert client.get(page).headers["Location"].startswith(reverse("log-in")), page


# --- the list -------------------------------------------------------------------------


def test_an_empty_list_says_what_to_do_first(office):
    page = office.get(reverse("workshops"))
    assert "No workshop is coming. Open one" in words(page)
    assert reverse("workshop-new") in words(page)


def test_the_list_shows_what_comes_first_and_what_is_over_apart(office):
    coming(title="Second", start_at=COMING + timedelta(days=1), end_at=COMING + timedelta(days=2))
    coming(title="First")
    coming(title="Called off", status="cancelled", cancelled_reason="Gale.")
    coming(title="Long ago", start_at=PAST, end_at=PAST + timedelta(hours=9))
    page = words(office.get(reverse("workshops")))
    found = [page.index(one) for one in ("To come", "First", "Second", "Over or called", "Long")]
    assert found == sorted(found)
    assert page.index("Called off") > page.index("Over or called")


def test_the_list_says_when_on_the_clock_of_the_place_and_who_holds_seats(office):
    # Auckland is UTC+12 in May (standard time, IANA tz database).
    workshop = coming(seats=3, timezone_name="Pacific/Auckland", minimum_to_run=2)
    seated(workshop, state="confirmed")
    seated(workshop)
    page = words(office.get(reverse("workshops")))
    assert "May 8, 2099, 20:00 – May 9, 2099, 05:00" in page
    assert "2 of 3 held, 1 free" in page
    assert "1 confirmed booking short of the 2 needed" in page
    workshop.bookings.update(state="confirmed")
    assert "the 2 needed to run are confirmed" in words(office.get(reverse("workshops")))


@pytest.mark.parametrize("asked", ["GARCÍA", "slipway", "fog lamp", "one head model"])
def test_search_finds_by_title_place_people_and_notes(office, asked):
    workshop = coming(title="One head", notes="Bring the fog lamp.")
    workshop.places.create(location=make.LocationFactory(name="Old slipway"))
    seated(workshop, person=make.PersonFactory(name="Ana Garcia"))
    make.RoleFactory(workshop=workshop, person=make.PersonFactory(name="Mo Model"))
    coming(title="Another day")
    page = words(office.get(reverse("workshops"), {"q": asked}))
    assert "One head" in page
    assert "Another day" not in page


def test_the_list_asks_as_often_for_many_workshops_as_for_one(office):
    def queries():
        with CaptureQueriesContext(connection) as asked:
            assert office.get(reverse("workshops")).status_code == 200
        return len(asked)

    def another(at):
        workshop = coming(start_at=at, end_at=at + timedelta(hours=8))
        workshop.places.create(location=make.LocationFactory())
        seated(workshop)

    another(COMING)
    another(PAST)
    few = queries()
    for day in range(11):
        another(COMING + timedelta(days=day))
        another(PAST - timedelta(days=day))
    assert queries() == few


# --- a new one and its changes --------------------------------------------------------


def test_a_new_workshop_needs_a_title_a_place_a_day_and_its_seats(office):
    House.objects.update(currency="GBP")
    lead = make.PersonFactory()
    first, second = make.LocationFactory(), make.LocationFactory()
    typed = {"place_0": first.pk, "place_1": second.pk, "lead": lead.pk, "price": "120,50"}
    answer = saved(office, "workshop-new", **DAY, **typed)
    workshop = Workshop.objects.get()
    assert answer.headers["Location"] == reverse("workshop", args=[workshop.pk])
    assert (workshop.status, workshop.currency, str(workshop.price)) == ("open", "GBP", "120.50")
    assert workshop.seats.count() == 6
    assert [place.location for place in workshop.places.order_by("position")] == [first, second]
    assert workshop.roles.get().person == lead
    entry = AuditEntry.objects.get(record_type="workshops.workshop")
    assert (entry.action, entry.who_text) == ("created", "office@example.org")


@pytest.mark.parametrize(
    ("zone", "starts"),
    [
        # 8 May: London is on summer time, UTC+1; Auckland on standard time, UTC+12; St John's on
        # daylight time, UTC-2:30 (IANA tz database).
        ("Europe/London", datetime(2099, 5, 8, 8, 0, tzinfo=UTC)),
        ("Pacific/Auckland", datetime(2099, 5, 7, 21, 0, tzinfo=UTC)),
        ("America/St_Johns", datetime(2099, 5, 8, 11, 30, tzinfo=UTC)),
    ],
)
def test_times_are_read_on_the_clock_of_the_first_place(office, zone, starts):
    House.objects.update(timezone_name="Asia/Tokyo")
    places = {
        "place_0": make.LocationFactory(timezone_name=zone).pk,
        "place_1": make.LocationFactory(timezone_name="Europe/Madrid").pk,
    }
    saved(office, "workshop-new", **DAY, **places)
    workshop = Workshop.objects.get()
    assert (workshop.timezone_name, workshop.start_at) == (zone, starts)
    assert filled(office.get(reverse("workshop-edit", args=[workshop.pk])))["start_at"] == (
        "2099-05-08T09:00"
    )


def test_without_a_place_times_are_read_on_the_clock_of_the_office(office):
    House.objects.update(timezone_name="Asia/Tokyo")
    saved(office, "workshop-new", **DAY)
    assert Workshop.objects.get().start_at == datetime(2099, 5, 8, 0, 0, tzinfo=UTC)


def test_the_zone_follows_another_first_place_and_the_clock_times_stay(office):
    old, new = make.LocationFactory(), make.LocationFactory(timezone_name="Pacific/Auckland")
    saved(office, "workshop-new", **DAY, place_0=old.pk)
    workshop = Workshop.objects.get()
    saved(office, "workshop-edit", workshop.pk, place_0=new.pk, place_1=old.pk)
    workshop.refresh_from_db()
    assert workshop.timezone_name == "Pacific/Auckland"
    assert workshop.start_at == datetime(2099, 5, 7, 21, 0, tzinfo=UTC)
    assert [place.location for place in workshop.places.order_by("position")] == [new, old]


def test_a_zone_chosen_by_hand_stays(office):
    place = make.LocationFactory()
    typed = {"place_0": place.pk, "timezone_name": "Asia/Tokyo"}
    saved(office, "workshop-new", **DAY, **typed)
    saved(office, "workshop-edit", Workshop.objects.get().pk, title="Again")
    assert Workshop.objects.get().timezone_name == "Asia/Tokyo"


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"end_at": "2099-05-08T08:00"}, "End: enter a time after the start."),
        ({"end_at": "2099-05-08T09:00"}, "End: enter a time after the start."),
        # Summer time begins on the last Sunday of March at 01:00 UTC, ends on that of October
        # (directive 2000/84/EC; the Summer Time Act 1972 alike): 2026-03-29 and 2026-10-25.
        (
            {"start_at": "2026-03-29T01:30", "end_at": "2026-03-29T18:00"},
            "01:30 does not exist on 2026-03-29",
        ),
        (
            {"start_at": "2026-10-25T01:30", "end_at": "2026-10-25T18:00"},
            "01:30 comes twice on 2026-10-25",
        ),
        ({"start_at": "0001-01-01T00:00"}, "Enter a year from 1900 to 2200."),
        ({"end_at": "9999-12-31T23:59"}, "Enter a year from 1900 to 2200."),
        ({"start_at": "soon"}, "Enter a date and a time, such as 2027-05-08 14:10."),
        ({"title": ""}, "required"),
        ({"seats": "0"}, "greater than or equal to 1"),
        ({"seats": "1000"}, "less than or equal to 100"),
        ({"seats": "1e999"}, "Enter a whole number"),
        ({"minimum_to_run": "0"}, "people needed to run: enter 1 to 1000"),
        ({"price": "-5"}, "price: enter 0 or more"),
        ({"currency": "pounds"}, "at most 3"),
        ({"currency": "12€"}, "three letters"),
        ({"timezone_name": "Mars/Base"}, "valid choice"),
        ({"place_0": "999999"}, "valid choice"),
        ({"lead": "x"}, "valid choice"),
        ({"status": "run"}, "valid choice"),
    ],
)
def test_a_day_nobody_can_hold_is_refused_in_words_and_kept_as_typed(office, typed, told):
    answer = saved(office, "workshop-new", **DAY | {"notes": "Kept."} | typed)
    assert answer.status_code == 422
    assert told in words(answer)
    assert filled(answer)["notes"] == "Kept."
    assert not Workshop.objects.exists()


def test_a_workshop_may_last_three_days(office):
    saved(office, "workshop-new", **DAY | {"end_at": "2099-05-10T18:00"})
    workshop = Workshop.objects.get()
    page = words(office.get(reverse("workshop", args=[workshop.pk])))
    assert "May 8, 2099, 09:00 – May 10, 2099, 18:00" in page


@pytest.mark.parametrize("text", ABSURD, ids=lambda text: repr(text[:12]))
def test_absurd_text_is_kept_or_refused_in_words(office, text):
    place = reverse("workshop-new")
    blank = filled(office.get(place)) | DAY | {"seats": "1"}
    alike = {"place_1", "place_2", "place_3"}  # as place_0
    for name in set(blank) - {"csrfmiddlewaretoken", "seen"} - alike:
        answer = office.post(place, blank | {name: text})
        assert answer.status_code in (302, 422), name
        assert "<script>alert" not in answer.content.decode()
        if answer.status_code == 302:
            assert "<script>alert" not in office.get(answer.headers["Location"]).content.decode()
    assert "<script>alert" not in office.get(reverse("workshops")).content.decode()


def test_places_are_rewritten_only_where_they_differ(office):
    workshop = coming()
    first, second = make.LocationFactory(), make.LocationFactory()
    for position, location in enumerate((first, second), start=1):
        workshop.places.create(location=location, position=position)
    before = AuditEntry.objects.count()
    saved(office, "workshop-edit", workshop.pk)
    assert AuditEntry.objects.count() == before
    saved(office, "workshop-edit", workshop.pk, place_1="")
    changed = AuditEntry.objects.filter(record_type="workshops.workshopplace")
    assert [(entry.action, entry.record_text) for entry in changed] == [("deleted", str(second))]


def test_only_free_seats_go_and_the_field_says_so(office):
    workshop = coming(seats=4)
    for _ in range(3):
        seated(workshop)
    answer = saved(office, "workshop-edit", workshop.pk, seats="2", title="Kept")
    assert answer.status_code == 422
    assert "Seats: 3 are held; enter at least 3." in words(answer)
    assert (filled(answer)["title"], filled(answer)["seats"]) == ("Kept", "2")
    assert Workshop.objects.get().title != "Kept"
    saved(office, "workshop-edit", workshop.pk, seats="3")
    assert workshop.seats.count() == 3


def test_another_lead_takes_over_and_none_gives_it_up(office):
    workshop, new = coming(), make.PersonFactory()
    make.RoleFactory(workshop=workshop, role="lead", notes="Of the old one.")
    saved(office, "workshop-edit", workshop.pk, lead=new.pk)
    role = workshop.roles.get()
    assert (role.person, role.notes) == (new, "")
    saved(office, "workshop-edit", workshop.pk, lead="")
    assert not workshop.roles.exists()


@pytest.mark.parametrize(
    "change", [{"title": "Theirs"}, {"seats": "5"}, {"place_0": "PLACE"}, {"lead": "PERSON"}]
)
def test_a_stale_edit_is_refused_whatever_the_other_changed(office, change):
    workshop = coming()
    numbers = {"PLACE": make.LocationFactory().pk, "PERSON": make.PersonFactory().pk}
    theirs = {name: numbers.get(value, value) for name, value in change.items()}
    place = reverse("workshop-edit", args=[workshop.pk])
    form = filled(office.get(place))
    assert office.post(place, form | theirs).status_code == 302
    answer = office.post(place, form | {"radio_channel": "11"})
    assert answer.status_code == 409
    assert "Stored now" in words(answer)
    assert "2099-05-08" not in words(answer).partition("</table>")[0].partition("Stored now")[2]
    workshop.refresh_from_db()
    assert workshop.radio_channel == "7"
    assert office.post(place, filled(answer)).status_code == 302


@pytest.mark.parametrize(
    ("was", "wanted", "told"),
    [
        ("open", "run", "it has not started yet"),
        ("open", "closed", "it is not over yet"),
        ("open", "cancelled", "say why"),
        ("open", "draft", "somebody holds a seat"),
    ],
)
def test_a_status_that_cannot_be_is_refused_in_words(office, was, wanted, told):
    workshop = coming(status=was)
    seated(workshop)
    answer = saved(office, "workshop-edit", workshop.pk, status=wanted)
    assert answer.status_code == 422
    assert told in words(answer)
    workshop.refresh_from_db()
    assert workshop.status == was


def test_a_workshop_runs_and_is_closed_once_it_is_over_and_then_stays_run(office):
    workshop = coming(start_at=PAST, end_at=PAST + timedelta(hours=9))
    page = words(office.get(reverse("workshop", args=[workshop.pk])))
    assert "The day is over: has it run? Set its status." in page
    for status in ("run", "closed"):
        assert saved(office, "workshop-edit", workshop.pk, status=status).status_code == 302
    answer = saved(
        office, "workshop-edit", workshop.pk, status="cancelled", cancelled_reason="Rain."
    )
    assert "it can no longer be cancelled" in words(answer)
    assert "Still to do" not in words(office.get(reverse("workshop", args=[workshop.pk])))


def test_a_cancelled_workshop_says_why_and_is_opened_again_without_it(office):
    workshop = coming()
    saved(office, "workshop-edit", workshop.pk, status="cancelled", cancelled_reason="Gale.")
    page = words(office.get(reverse("workshop", args=[workshop.pk])))
    assert "cancelled: Gale." in page
    answer = saved(office, "workshop-edit", workshop.pk, status="open")
    assert "empty it, or set the status to cancelled" in words(answer)
    saved(office, "workshop-edit", workshop.pk, status="open", cancelled_reason="")
    workshop.refresh_from_db()
    assert workshop.status == "open"


def test_only_a_draft_without_bookings_and_sets_is_deleted(office):
    workshop = coming(status="open", title="Kept day")
    place = reverse("workshop-delete", args=[workshop.pk])
    assert "Kept day is no draft any more" in words(office.post(place, follow=True))
    Workshop.objects.update(status="draft")
    planned = make.SetFactory(workshop=workshop)
    booking = seated(workshop)
    assert "is used by booking" in words(office.post(place, follow=True))
    booking.delete()
    assert "is used by planned set" in words(office.post(place, follow=True))
    planned.delete()
    assert "Kept day is deleted." in words(office.post(place, follow=True))
    assert AuditEntry.objects.filter(action="deleted", record_text="Kept day").exists()


# --- one day --------------------------------------------------------------------------


def test_the_page_of_a_new_day_says_what_is_missing_with_links(office):
    workshop = coming()
    page = words(office.get(reverse("workshop", args=[workshop.pk])))
    for told, place in (
        ("No lead instructor is named.", reverse("role-new", args=[workshop.pk]) + "?role=lead"),
        ("No model is named.", reverse("role-new", args=[workshop.pk]) + "?role=model"),
        ("1 more confirmed booking is needed to run.", "#attendees"),
        ("No place is chosen.", reverse("workshop-edit", args=[workshop.pk])),
        ("No kit is on the list.", reverse("workshop-kit", args=[workshop.pk])),
    ):
        assert told in page
        assert f'{place}">{told}' in page


def test_the_page_warns_of_permit_forecast_cameras_and_triggers(office):
    start = timezone.now() + timedelta(days=3)
    workshop = coming(start_at=start, end_at=start + timedelta(hours=8))
    place = make.LocationFactory(name="Pier", permission_until=date(2020, 1, 1))
    workshop.places.create(location=place)
    make.WorkshopKitFactory(workshop=workshop)
    seated(workshop)
    seated(workshop)
    address = reverse("workshop", args=[workshop.pk])
    page = words(office.get(address))
    assert "The permit of Pier ends before the day." in page
    assert "No forecast yet for Pier." in page
    assert "2 attendees have no camera recorded" in page
    assert "1 triggers for 2 attendees: somebody cannot fire the light." in page
    make.ForecastFactory(location=place, valid_from=start, valid_to=start + timedelta(hours=1))
    make.WorkshopKitFactory(workshop=workshop)
    page = words(office.get(address))
    assert "No forecast yet" not in page
    assert "triggers for" not in page


def test_the_page_shows_people_cameras_marks_and_guardians_but_not_who_is_photosensitive(office):
    workshop = coming(seats=3)
    camera = make.CameraFactory(owner__name="Ana", owner__photosensitive=True)
    trigger = make.UnitFactory(tag="T7")
    seated(workshop, person=camera.owner, camera=camera, trigger_unit=trigger)
    # 17 on 8 May 2099
    young = make.PersonFactory(
        name="Bo", birth_date=date(2081, 5, 9), guardian_name="Cy", guardian_phone="+44 1632 960199"
    )
    seated(workshop, person=young, booked_at=make.NOW + timedelta(days=1))
    make.RoleFactory(
        workshop=workshop, role="lead", person=make.PersonFactory(name="Di", phone="01632 960100")
    )
    page = words(office.get(reverse("workshop", args=[workshop.pk])))
    row = page[page.index("Ana") : page.index("Bo</a>")]
    for shown in ("held", "Full-frame body", "1/160", "100", "T7"):
        assert shown in row
    assert "under 18, with Cy, <a href" in page
    assert "Somebody here must not be near strobe effects" in page
    assert "strobe" not in row
    assert "lead instructor" in page
    assert 'href="tel:01632%20960100"' in page


def test_the_page_asks_as_often_for_twelve_attendees_as_for_one(office):
    workshop = coming(seats=12)
    place = make.LocationFactory()
    workshop.places.create(location=place)

    def another():
        camera = make.CameraFactory()
        unit = make.UnitFactory()
        seated(workshop, person=camera.owner, camera=camera, trigger_unit=unit)
        make.WorkshopKitFactory(workshop=workshop, unit=unit)
        make.RoleFactory(workshop=workshop)

    def queries():
        with CaptureQueriesContext(connection) as asked:
            assert office.get(reverse("workshop", args=[workshop.pk])).status_code == 200
        return len(asked)

    another()
    few = queries()
    for _ in range(11):
        another()
    assert queries() == few


# --- people of the day ----------------------------------------------------------------


def test_a_role_is_given_to_a_known_person_with_hours_on_the_clock_of_the_place(office):
    workshop, person = coming(timezone_name="Pacific/Auckland"), make.PersonFactory()
    hours = {"start_at": "2099-05-08T20:00", "end_at": "2099-05-08T22:00"}
    saved(office, "role-new", workshop.pk, person=person.pk, role="model", **hours)
    role = workshop.roles.get()
    assert (role.person, role.start_at) == (person, COMING)
    assert AuditEntry.objects.filter(record_type="workshops.workshoprole").count() == 1
    saved(office, "role-edit", role.pk, release_signed="on", minutes_limit="60")
    role.refresh_from_db()
    assert (role.release_signed, role.minutes_limit) == (True, 60)
    assert "60 minutes at most" in words(office.get(reverse("workshop", args=[workshop.pk])))


def test_a_role_is_given_to_somebody_new_in_the_same_form(office):
    workshop = coming()
    saved(office, "role-new", workshop.pk, name="Mo", phone="01632 960101", role="model")
    assert workshop.roles.get().person.phone == "01632 960101"


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"role": "model"}, "choose one, or enter the name of a new one"),
        ({"role": "lead", "name": "Second"}, "this workshop has a lead instructor already"),
        ({"role": "model", "name": "Mo", "phone": "call me"}, "Enter a phone number"),
        ({"role": "model", "phone": "01632 960101"}, "enter the name of a new one"),
        ({"role": "model", "person": "FIRST", "name": "Mo"}, "Choose “somebody new” above"),
        ({"role": "lead", "person": "FIRST"}, "lead instructor already"),
        ({"name": "Mo"}, "required"),
        ({"role": "model", "name": "Mo", "skin_reflectance": "1e999"}, "Enter a number"),
        ({"role": "model", "name": "Mo", "minutes_limit": "0"}, "enter 1 to 1440"),
        (
            {
                "role": "model",
                "name": "Mo",
                "start_at": "2099-05-08T12:00",
                "end_at": "2099-05-08T11:00",
            },
            "enter a time after the beginning",
        ),
    ],
)
def test_a_role_refused_in_words_leaves_nobody_behind(office, typed, told):
    workshop = coming()
    lead = make.RoleFactory(workshop=workshop, role="lead")
    typed = {name: lead.person_id if value == "FIRST" else value for name, value in typed.items()}
    answer = saved(office, "role-new", workshop.pk, notes="Kept.", **typed)
    assert answer.status_code == 422
    assert told in words(answer)
    assert filled(answer)["notes"] == "Kept."
    assert (Person.objects.count(), WorkshopRole.objects.count()) == (1, 1)


def test_a_stale_role_is_refused(office):
    role = make.RoleFactory(workshop=coming())
    place = reverse("role-edit", args=[role.pk])
    form = filled(office.get(place))
    office.post(place, form | {"notes": "Theirs"})
    assert office.post(place, form | {"notes": "Mine"}).status_code == 409


def test_a_role_is_taken_back(office):
    role = make.RoleFactory(workshop=coming())
    answer = office.post(reverse("role-delete", args=[role.pk]))
    assert answer.headers["Location"] == reverse("workshop", args=[role.workshop_id])
    assert not WorkshopRole.objects.exists()


@pytest.mark.parametrize("text", ABSURD, ids=lambda text: repr(text[:12]))
def test_absurd_text_in_a_role_is_kept_or_refused_in_words(office, text):
    workshop = coming()
    place = reverse("role-new", args=[workshop.pk])
    blank = filled(office.get(place)) | {"name": "Mo", "role": "helper"}
    for name in set(blank) - {"csrfmiddlewaretoken", "seen"}:
        assert office.post(place, blank | {name: text}).status_code in (302, 422), name
    page = office.get(reverse("workshop", args=[workshop.pk])).content.decode()
    assert "<script>alert" not in page
    assert office.get(place, {"role": text, "q": text}).status_code == 200


# --- kit ------------------------------------------------------------------------------


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
    first = WorkshopKit.objects.get(unit=units[0])
    ticked(office, workshop, units[0], units[2])
    assert {row.unit for row in workshop.kit.all()} == {units[0], units[2]}
    assert WorkshopKit.objects.get(unit=units[0]).pk == first.pk
    entries = AuditEntry.objects.filter(record_type="workshops.workshopkit")
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
    assert not WorkshopKit.objects.exists()


def test_what_broke_on_the_list_can_stay_or_be_taken_off(office):
    along = make.WorkshopKitFactory(workshop=coming())
    KitUnit.objects.update(state="fault")
    assert ticked(office, along.workshop, along.unit).status_code == 302
    page = words(office.get(reverse("workshop", args=[along.workshop_id])))
    assert "is on the list, but its state is fault." in page
    ticked(office, along.workshop)
    assert not WorkshopKit.objects.exists()


def test_a_unit_that_is_elsewhere_at_the_same_time_is_pointed_out(office):
    unit = make.UnitFactory()
    same = coming(title="Same day")
    next_day = COMING + timedelta(days=1)
    other = coming(title="Day after", start_at=next_day, end_at=next_day + timedelta(hours=9))
    off = coming(title="Called off", status="cancelled", cancelled_reason="Gale.")
    for workshop in (same, other, off):
        make.WorkshopKitFactory(workshop=workshop, unit=unit)
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

    make.WorkshopKitFactory(workshop=other)
    few = queries()
    for _ in range(11):
        make.WorkshopKitFactory(workshop=other)
    assert queries() == few
