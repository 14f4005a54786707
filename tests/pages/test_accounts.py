"""Accounts: made by the office, bounded by a role, closed again; and who changed what."""

import pytest
from django.core import mail
from django.urls import reverse

from tests import factories as make
from tests.records.browser import filled
from workshops.models import AuditEntry, User

pytestmark = pytest.mark.django_db


def made(office, **typed):
    page = office.get(reverse("account-new"))
    return office.post(reverse("account-new"), filled(page) | typed)


def test_a_new_account_gets_a_link_to_set_its_password(office):
    ines = make.PersonFactory(name="Ines")
    answer = made(office, email="Ines@Example.org", name="Ines", role="instructor", person=ines.pk)
    assert answer.status_code == 302
    user = User.objects.get(email="ines@example.org")
    assert (user.role, user.person, user.is_staff) == ("instructor", ines, False)
    assert mail.outbox[0].to == ["ines@example.org"]
    link = next(word for word in mail.outbox[0].body.split() if "/password/" in word)
    assert office.get(link.removeprefix("http://testserver"), follow=True).status_code == 200
    assert AuditEntry.objects.get(record_type="workshops.user", action="created").who == office.user


def test_an_address_in_use_is_refused_in_the_field(office):
    answer = made(office, email="OFFICE@example.org", role="helper")
    assert answer.status_code == 422
    assert "an account with this address exists already" in answer.content.decode()


def test_nobody_takes_the_own_role_away(office):
    page = reverse("account-edit", args=[office.user.pk])
    answer = office.post(page, filled(office.get(page)) | {"role": "outsider"})
    assert answer.status_code == 422
    assert "somebody else changes yours" in answer.content.decode()
    office.user.refresh_from_db()
    assert office.user.role == "office"


def test_the_office_cannot_touch_an_administrator(client, house):
    boss = make.UserFactory(email="boss@example.org")
    client.force_login(make.UserFactory(is_staff=False, is_superuser=False))
    page = reverse("account-edit", args=[boss.pk])
    answer = client.post(page, filled(client.get(page)) | {"email": "mine@example.org"})
    assert answer.status_code == 422
    boss.refresh_from_db()
    assert boss.email == "boss@example.org"


def test_a_closed_account_is_logged_out_at_once(office, client):
    user = make.UserFactory(role="helper", is_staff=False, is_superuser=False)
    other = type(client)()
    other.force_login(user)
    page = reverse("account-edit", args=[user.pk])
    typed = filled(office.get(page))
    typed.pop("is_active")
    assert office.post(page, typed).status_code == 302
    assert other.get(reverse("account")).status_code == 302


def test_leaving_the_office_closes_the_back_room(office):
    user = make.UserFactory(is_superuser=False)
    page = reverse("account-edit", args=[user.pk])
    assert office.post(page, filled(office.get(page)) | {"role": "helper"}).status_code == 302
    user.refresh_from_db()
    assert (user.role, user.is_staff) == ("helper", False)


def test_the_changes_of_a_record_and_its_parts_are_read_on_it(office):
    role = make.RoleFactory(workshop__title="Slate and tide", role="model")
    page = reverse("role-edit", args=[role.pk])
    office.post(page, filled(office.get(page)) | {"role": "stand-in"})
    kept = office.get(reverse("history", args=["workshops.workshop", role.workshop_id]))
    shown = " ".join(kept.content.decode().split())
    assert '<th scope="row">Role</th><td>model</td><td>stand-in</td>' in shown
    assert "office@example.org" in shown


@pytest.mark.parametrize("kind", ["workshops.user", "workshops.medicalanswers", "auth.group", "x"])
def test_what_is_kept_apart_has_no_history_page(office, kind):
    place = reverse("history", args=[kind, office.user.pk])
    assert office.get(place).status_code == 404
