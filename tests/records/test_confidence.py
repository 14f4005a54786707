"""Whoever would read medical answers without being the lead: refused, or seen by the lead."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import factories as make
from tests.records.browser import filled
from tests.records.test_medical import CANARY, keep, lead_of, logged_in
from workshops.access import leads
from workshops.errors import Refused
from workshops.models import User
from workshops.services.workshops import add_role, save_role, set_lead

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def booking():
    make.HouseFactory()
    soon = timezone.now() + timedelta(days=30)
    return make.BookingFactory(workshop__start_at=soon, workshop__end_at=soon + timedelta(hours=9))


def clerk(**more):
    return make.UserFactory(role="office", is_superuser=False, is_staff=False, **more)


def saved(client, page, **typed):
    return client.post(page, filled(client.get(page)) | typed)


@pytest.mark.parametrize("administrator", [False, True])
def test_nobody_of_the_office_becomes_the_lead_by_their_own_account(booking, administrator):
    keep(booking, rest=CANARY)
    lead = make.RoleFactory(workshop=booking.workshop, role="lead").person
    user = make.UserFactory(is_superuser=administrator, is_staff=administrator)
    clerk()
    client = logged_in(user)
    answer = saved(client, reverse("account-edit", args=[user.pk]), person=lead.pk)
    assert answer.status_code == 422
    assert "somebody else with the right to accounts changes who you are" in answer.content.decode()
    if administrator:
        back_room = reverse("admin:workshops_user_change", args=[user.pk])
        page = client.post(back_room, filled(client.get(back_room)) | {"person": lead.pk})
        assert page.status_code == 302
        assert "changes who you are" in client.get(page.url).content.decode()
    user.refresh_from_db()
    assert user.person is None
    page = reverse("medical-answers", args=[booking.workshop_id])
    assert client.get(page).status_code == 403


def test_nobody_names_themselves_lead_once_somebody_told_something(booking):
    keep(booking, rest=CANARY)
    workshop = booking.workshop
    me = clerk(person=make.PersonFactory(name="Office hand"))
    role = make.RoleFactory(workshop=workshop, role="helper", person=me.person)
    make.UserFactory()
    told = "somebody else of the office names you"
    ways = [
        lambda: set_lead(by=me, workshop=workshop, person=me.person),
        lambda: add_role(by=me, workshop=workshop, person=me.person, role="lead"),
        lambda: save_role(by=me, role=_as_lead(role)),
    ]
    for way in ways:
        with pytest.raises(Refused, match=told):
            way()
    assert not workshop.roles.filter(role="lead").exists()
    boss = make.UserFactory(person=make.PersonFactory())
    admin = logged_in(boss)
    page = reverse("admin:workshops_workshoprole_add")
    typed = {"workshop": workshop.pk, "person": boss.person_id, "role": "lead"}
    assert told in admin.post(page, filled(admin.get(page)) | typed, follow=True).content.decode()
    page = reverse("admin:workshops_workshop_change", args=[workshop.pk])
    typed = {"roles-0-person": boss.person_id, "roles-0-role": "lead"}
    assert told in admin.post(page, filled(admin.get(page)) | typed, follow=True).content.decode()
    assert not workshop.roles.filter(role="lead").exists()
    set_lead(by=boss, workshop=workshop, person=me.person)  # two of them together
    assert leads(me, workshop)


def _as_lead(role):
    role.role = "lead"
    return role


def test_a_house_of_one_names_itself(booking):
    keep(booking)
    me = clerk()
    page = reverse("account-edit", args=[me.pk])
    lead = make.PersonFactory()
    assert saved(logged_in(me), page, person=lead.pk).status_code == 302
    me.refresh_from_db()
    set_lead(by=me, workshop=booking.workshop, person=lead)
    assert leads(me, booking.workshop)


def test_the_lead_reads_who_opened_the_page_and_what_decided_who_may(booking):
    keep(booking, rest=CANARY)
    boss, other = make.UserFactory(email="boss@example.org"), booking.workshop
    first = lead_of(other, email="lead@example.org")
    page = reverse("medical-answers", args=[other.pk])
    logged_in(first).get(page)
    office = logged_in(boss)
    # The office takes the lead's account away and opens one of its own in the lead's name.
    saved(office, reverse("account-edit", args=[first.pk]), person="")
    typed = {"email": "mine@example.org", "role": "instructor", "person": first.person_id}
    saved(office, reverse("account-new"), **typed)
    logged_in(User.objects.get(email="mine@example.org")).get(page)
    mine = User.objects.get(email="mine@example.org")
    saved(office, reverse("account-edit", args=[mine.pk]), person="")
    saved(office, reverse("account-edit", args=[first.pk]), person=first.person_id)
    shown = logged_in(first).get(page).content.decode()
    assert "· mine@example.org</li>" in shown
    assert "· lead@example.org</li>" in shown
    assert f"boss@example.org · changed · User {first}: Person {first.person} → —" in shown
    assert "boss@example.org · created · User mine@example.org" in shown
    # Another lead named and taken back leaves its trace too.
    second = make.PersonFactory(name="Stand-in Lead")
    set_lead(by=boss, workshop=other, person=second)
    set_lead(by=boss, workshop=other, person=first.person)
    shown = logged_in(first).get(page).content.decode()
    assert "boss@example.org · created · Role at the workshop Stand-in Lead" in shown
    assert "boss@example.org · deleted · Role at the workshop Stand-in Lead" in shown
