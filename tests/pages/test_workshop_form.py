"""A workshop opened and changed: its clock, places, seats, lead and status."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.pages.days import PAST, coming, saved, seated, words
from tests.records.browser import filled
from workshops.models import (
    AuditEntry,
    House,
    Workshop,
)

pytestmark = pytest.mark.django_db
DAY = {"title": "One light", "start_at": "2099-05-08T09:00", "end_at": "2099-05-08T18:00"}


@pytest.fixture
def office(client):
    make.HouseFactory(timezone_name="Europe/London")
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


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
        ("open", "closed", "closed on its page"),
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


def test_a_workshop_runs_once_it_is_over_is_closed_on_its_page_and_then_stays_run(office):
    workshop = coming(start_at=PAST, end_at=PAST + timedelta(hours=9))
    page = words(office.get(reverse("workshop", args=[workshop.pk])))
    assert "The day is over: has it run? Set its status." in page
    assert saved(office, "workshop-edit", workshop.pk, status="run").status_code == 302
    page = words(office.get(reverse("workshop", args=[workshop.pk])))
    assert "The day is over: close it." in page
    answer = saved(
        office, "workshop-edit", workshop.pk, status="cancelled", cancelled_reason="Rain."
    )
    assert "it can no longer be cancelled" in words(answer)
    assert office.post(reverse("workshop-close", args=[workshop.pk])).status_code == 302
    answer = saved(office, "workshop-edit", workshop.pk, status="run")
    assert "The office opens it again on its page" in words(answer)
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
