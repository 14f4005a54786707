"""The house settings, obeyed by the pages at once."""

import pytest
from django.urls import reverse

from tests import factories as make
from tests.records.browser import filled
from workshops.models import AuditEntry, House

pytestmark = pytest.mark.django_db


def save(office, **changes):
    url = reverse("house")
    return office.post(url, filled(office.get(url)) | changes)


def test_the_first_save_makes_the_one_house(client):
    client.force_login(make.UserFactory())
    assert save(client, name="Slate & Tide").status_code == 302
    assert House.objects.get().name == "Slate & Tide"
    assert AuditEntry.objects.get().action == "created"


def test_a_twelve_hour_clock_shows_on_the_pages(office):
    workshop = make.WorkshopFactory()
    page = reverse("workshop", args=[workshop.pk])
    assert "09:00" in office.get(page).content.decode()  # 08:00 UTC in British Summer Time
    assert save(office, clock="12").status_code == 302
    assert "9:00\N{NO-BREAK SPACE}am" in office.get(page).content.decode()


def test_imperial_units_show_in_the_forms_of_the_house_itself(office):
    assert save(office, units="imperial").status_code == 302
    form = filled(office.get(reverse("house")))
    assert form["gust_limit_m_s"] == "24.606"  # 11 m/s / 0.44704
    assert form["carry_cap_kg"] == "55.116"  # 25 kg / 0.45359237
    page = office.get(reverse("house")).content.decode()
    assert "Strike everything above a gust of (mph)" in page
    assert save(office, name="Feet").status_code == 302
    assert House.objects.get().gust_limit_m_s == 11.0


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"safety_factor": "0.5"}, "Safety factor on overturning: enter 1 to 5."),
        ({"safety_factor": "much"}, "Enter a number, such as 2.5."),
        ({"currency": "euro"}, "three letters"),
        ({"name": ""}, "Name of the house: Enter it here; it cannot stay empty."),
        ({"modifier_off_force_n": "30"}, "enter no less than the force"),
        ({"language": "xx"}, "Select a valid choice"),
    ],
)
def test_a_rule_out_of_range_is_refused_with_everything_kept(office, changes, words):
    page = save(office, **changes)
    assert page.status_code == 422
    assert words in page.content.decode()
    assert House.objects.get().name == "Slate & Tide"


def test_a_currency_is_kept_in_capitals(office):
    assert save(office, currency="gbp").status_code == 302
    assert House.objects.get().currency == "GBP"


def test_an_account_without_the_right_neither_sees_nor_saves(stranger):
    assert stranger.get(reverse("house")).status_code == 403
    assert stranger.post(reverse("house"), {"name": "Mine"}).status_code == 403
