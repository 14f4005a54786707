"""The house's language: offered where pages exist in it, and spoken by every page."""

import re

import pytest
from django.urls import reverse

from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def office(client):
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


def offered(page) -> list[str]:
    choices = re.search(r'<select name="language".*?</select>', page.content.decode(), re.DOTALL)
    return re.findall(r'value="(\w+)"', choices.group())


def test_a_spanish_house_has_spanish_pages(office):
    make.HouseFactory(language="es")
    answer = office.get(reverse("workshops"))
    assert answer.headers["Content-Language"] == "es"
    page = answer.content.decode()
    assert '<html lang="es"' in page
    for words in ("Talleres", "Lugares", "Equipo", "Gente", "Salir"):
        assert words in page
    assert "Log out" not in page


def test_a_spanish_page_writes_the_decimal_comma(office):
    """The decimal sign of Spanish is a comma (Unicode CLDR, locale es)."""
    make.HouseFactory(language="es")
    stand = make.StandFactory(mass_kg=2.8)
    page = office.get(reverse("kind", args=[stand.pk])).content.decode()
    assert "2,8\N{NO-BREAK SPACE}kg" in page
    assert "2.8" not in re.sub(r"<[^>]*>", " ", page)


def test_only_languages_the_pages_exist_in_are_offered(office):
    house = make.HouseFactory()
    person = make.PersonFactory()
    for page in (
        reverse("house"),
        reverse("person-edit", args=[person.pk]),
        reverse("admin:workshops_house_change", args=[house.pk]),
        reverse("admin:workshops_person_change", args=[person.pk]),
    ):
        assert offered(office.get(page)) == ["en", "es"]


def test_a_language_kept_from_elsewhere_is_not_lost(office):
    house = make.HouseFactory(language="de")
    page = office.get(reverse("admin:workshops_house_change", args=[house.pk]))
    assert offered(page) == ["en", "es", "de"]
