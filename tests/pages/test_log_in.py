"""Logging in: by e-mail, with a pause after many failures."""

import pytest
from django.core.cache import cache
from django.urls import reverse

from workshops.services.accounts import create_user
from workshops.throttle import MOST_FAILURES

pytestmark = pytest.mark.django_db
PASSWORD = "slate-and-tide-2027"


@pytest.fixture
def office(db):
    cache.clear()
    yield create_user(
        by=None,
        email="office@example.org",
        password=PASSWORD,
        role="office",
        is_staff=True,
        is_superuser=True,
    )
    cache.clear()


def log_in(client, password, email="Office@Example.org"):
    return client.post(reverse("log-in"), {"username": email, "password": password})


def test_the_address_counts_in_any_case(client, office):
    assert log_in(client, PASSWORD).url == reverse("start")


def test_a_wrong_password_is_told_without_saying_which_half_was_wrong(client, office):
    wrong = log_in(client, "guess")
    unknown = log_in(client, "guess", email="nobody@example.org")
    assert wrong.status_code == unknown.status_code == 422
    told = [page.context["form"].non_field_errors()[0] for page in (wrong, unknown)]
    assert told[0] == told[1]


def test_many_failures_make_an_address_wait_and_no_other(client, office):
    for _guess in range(MOST_FAILURES):
        assert log_in(client, "guess").status_code == 422
    page = log_in(client, PASSWORD)
    assert page.status_code == 429
    assert "Wait five minutes" in page.content.decode()
    assert log_in(client, "guess", email="ines@example.org").status_code == 422


def test_a_success_forgets_the_failures_before_it(client, office):
    for _guess in range(MOST_FAILURES - 1):
        log_in(client, "guess")
    assert log_in(client, PASSWORD).status_code == 302
    client.post(reverse("log-out"))
    assert log_in(client, "guess").status_code == 422
    assert log_in(client, PASSWORD).status_code == 302


def test_next_leads_inside_the_site_only(client, office):
    url = reverse("log-in") + "?next=https://elsewhere.example/"
    data = {"username": office.email, "password": PASSWORD, "next": "https://elsewhere.example/"}
    assert client.post(url, data).url == reverse("start")
