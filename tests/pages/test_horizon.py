"""The drawing of a horizon: stored for the page, and as it is typed."""

import re

import pytest
from django.urls import reverse

from tests import factories as make
from workshops.models import Location

pytestmark = pytest.mark.django_db

PREVIEW = reverse("horizon-preview")
LONDON, SYDNEY = "51.5, -0.1", "33.9 S 151.2 E"


@pytest.fixture
def office(client):
    make.HouseFactory()
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


def height_of(day: str, drawing: str) -> float:
    """How far from the top of a drawing the words of a day stand."""
    texts = re.findall(r"<text([^>]*)>([^<]*)</text>", drawing)
    found = [attributes for attributes, words in texts if words == day]
    return float(re.search(r' y="([\d.]+)"', found[0])[1])


def test_the_stored_horizon_is_an_image_kept_by_nobody_else(office):
    place = make.LocationFactory(horizon=[[90, 12.5], [200, 3]])
    answer = office.get(reverse("horizon-drawing", args=[place.pk]))
    assert answer.headers["Content-Type"] == "image/svg+xml"
    assert "private" in answer.headers["Cache-Control"]
    assert answer.content.startswith(b"<svg")


def test_a_place_without_coordinates_has_its_horizon_drawn_all_the_same(office):
    place = make.LocationFactory(latitude_deg=None, longitude_deg=None, horizon=[[90, 12.5]])
    answer = office.get(reverse("horizon-drawing", args=[place.pk]))
    assert answer.status_code == 200
    assert "21 June" not in answer.content.decode()


def test_a_place_without_a_sun_in_december_is_drawn(office):
    place = make.LocationFactory(latitude_deg=89.8, longitude_deg=180, timezone_name="UTC")
    answer = office.get(reverse("horizon-drawing", args=[place.pk]))
    assert answer.status_code == 200
    assert "21 June" in answer.content.decode()
    assert "21 December: the sun does not rise" in answer.content.decode()


def test_an_unknown_place_is_not_found(office):
    assert office.get(reverse("horizon-drawing", args=[999999])).status_code == 404


@pytest.mark.parametrize(("pasted", "high"), [(LONDON, "21 June"), (SYDNEY, "21 December")])
def test_the_sun_stands_high_in_the_summer_of_the_hemisphere(office, pasted, high):
    answer = office.post(PREVIEW, {"coordinates": pasted, "horizon_pairs": "90 12"})
    drawing = answer.content.decode()
    low = "21 December" if high == "21 June" else "21 June"
    assert height_of(high, drawing) < height_of(low, drawing)


def test_the_preview_is_a_fragment_and_saves_nothing(office):
    answer = office.post(PREVIEW, {"coordinates": LONDON, "horizon_pairs": "SSW 8\nN 2"})
    text = answer.content.decode()
    assert answer.status_code == 200
    assert "<svg" in text
    assert "<html" not in text
    assert not Location.objects.exists()


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"coordinates": LONDON, "horizon_pairs": "90 1\n90 2"}, "stands there twice"),
        ({"coordinates": "here", "horizon_pairs": "90 1"}, "is not part of coordinates"),
        ({"coordinates": "", "horizon_pairs": "90 1"}, "once the coordinates are there"),
        ({}, "once the coordinates are there"),
    ],
)
def test_the_preview_says_in_words_what_it_waits_for(office, typed, told):
    answer = office.post(PREVIEW, typed)
    assert answer.status_code == 200
    assert told in answer.content.decode()
    assert "<svg" not in answer.content.decode()


def test_the_preview_escapes_what_was_typed(office):
    hostile = {"coordinates": "<script>1</script>", "horizon_pairs": "<script>1</script> 2"}
    assert "<script>" not in office.post(PREVIEW, hostile).content.decode()


def test_the_preview_refuses_get(office):
    assert office.get(PREVIEW).status_code == 405


def test_the_preview_is_for_accounts_with_the_right_alone(client):
    assert client.post(PREVIEW).headers["Location"].startswith(reverse("log-in"))
    client.force_login(make.UserFactory(role="outsider", is_staff=False, is_superuser=False))
    assert client.post(PREVIEW, {"coordinates": LONDON}).status_code == 403


def test_the_form_asks_for_the_preview_and_works_without_it(office):
    page = office.get(reverse("location-new")).content.decode()
    assert f'data-hx-post="{PREVIEW}"' in page
    assert "Drawn on the page of the location once it is saved." in page
    assert "unsafe" not in office.get(reverse("location-new")).headers["Content-Security-Policy"]
