"""The pages of who teaches, models and helps."""

import pytest
from django.urls import reverse

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.pages.days import COMING, coming, saved, words
from tests.records.browser import filled
from workshops.models import (
    AuditEntry,
    Person,
    WorkshopRole,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def office(client):
    make.HouseFactory(timezone_name="Europe/London")
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


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
