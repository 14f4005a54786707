"""The light of a season at a place, asked and shown on its page, and printed."""

import re
from io import BytesIO
from urllib.parse import urlencode

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from pypdf import PdfReader

from tests import factories as make
from tests.pages.absurd import ABSURD

pytestmark = pytest.mark.django_db

SOUTH_WEST = {
    "first": "2027-03-01", "last": "2027-03-31", "from_deg": "200", "to_deg": "250",
    "low_deg": "5", "high_deg": "25",
}  # fmt: skip


@pytest.fixture
def office(client):
    make.HouseFactory()
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


@pytest.fixture
def cove():
    return make.LocationFactory(
        name="Cove", latitude_deg=50.1, longitude_deg=-5.5, timezone_name="Europe/London"
    )


def ask(client, place, *, route: str = "location-light", **words):
    return client.get(f"{reverse(route, args=[place.pk])}?{urlencode(words)}")


def shown(answer, status: int = 200) -> str:
    assert answer.status_code == status
    return answer.content.decode()


def test_the_page_asks_first_and_answers_with_dates_and_a_chart(office, cove):
    blank = shown(office.get(reverse("location-light", args=[cove.pk])))
    assert "<svg" not in blank
    answer = shown(ask(office, cove, **SOUTH_WEST))
    assert "The sun from 200° clockwise to 250° true, 5° to 25° high" in answer
    assert "Best dates" in answer
    assert "<svg" in answer
    assert "cloud decides on the day" in answer
    assert "No horizon is entered here" in answer
    assert len(re.findall(r"<th scope=\"row\">", answer)) == 10 + 31


def test_the_location_leads_there(office, cove):
    page = shown(office.get(reverse("location", args=[cove.pk])))
    assert reverse("location-light", args=[cove.pk]) in page


def test_a_set_that_wants_a_sun_leads_there_with_its_question(office):
    wants = make.SetFactory(
        wanted_from_deg=200, wanted_to_deg=250.5, wanted_low_deg=5, wanted_high_deg=None
    )
    question = "?from_deg=200&amp;to_deg=250.5&amp;low_deg=5"
    address = reverse("location-light", args=[wants.location_id])
    assert f'"{address}{question}"' in shown(office.get(reverse("set", args=[wants.pk])))
    free = make.SetFactory()
    assert "Dates with its light" not in shown(office.get(reverse("set", args=[free.pk])))


def test_an_empty_question_is_a_year_of_sun_above_level(office, cove):
    answer = shown(ask(office, cove, first="2027-01-01"))
    assert "The sun in any direction, 0° to 90° high" in answer
    assert "365 of 365 dates" in answer


def test_decimal_commas_are_read(office, cove):
    answer = shown(ask(office, cove, **SOUTH_WEST | {"low_deg": "5,5"}))
    assert "5.5° to 25° high" in answer


def test_days_with_less_than_wanted_are_left_out_and_none_is_said(office, cove):
    answer = shown(ask(office, cove, **SOUTH_WEST | {"least_min": "1440"}))
    assert "On none of these dates does the sun stand there for so long." in answer


def test_what_the_horizon_hides_is_told(office, cove):
    cove.horizon = [[0, 12]]
    cove.save()
    answer = shown(ask(office, cove, **SOUTH_WEST))
    assert "Hidden by the horizon" in answer
    assert "dashes: it would, but the horizon hides it" in answer


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"first": "soon"}, "Enter a date, such as 2027-05-08."),
        ({"first": "9999-12-31"}, "Enter a year from 1901 to 2098."),
        ({"last": "2027-02-01"}, "enter the first one or a later one"),
        ({"last": "2029-02-01"}, "enter one within a year of the first"),
        ({"to_deg": ""}, "Enter both ends of the arc, or neither."),
        ({"from_deg": "400"}, "Enter a direction from 0 to 360."),
        ({"low_deg": "low"}, "Enter a number, such as 2.5."),
        ({"high_deg": "4"}, "Enter more than the lower height."),
        ({"high_deg": "91"}, "Enter a height from -90 to 90."),
        ({"least_min": "-1"}, "Enter minutes from 0 to 1440."),
    ],
)
def test_what_is_wrong_is_said_at_its_field_and_everything_typed_stays(office, cove, change, told):
    answer = shown(ask(office, cove, **SOUTH_WEST | change), 422)
    assert told in answer
    assert 'value="200"' in answer or "from_deg" in change
    assert "<svg" not in answer


@pytest.mark.parametrize("text", ABSURD)
def test_absurd_text_is_refused_in_words(office, cove, text):
    answer = ask(office, cove, **dict.fromkeys(SOUTH_WEST, text))
    assert answer.status_code == 422
    sheet = ask(office, cove, route="location-light-sheet", **dict.fromkeys(SOUTH_WEST, text))
    assert sheet.status_code == 422


def test_a_place_without_coordinates_says_what_to_do(office):
    place = make.LocationFactory(name="Nowhere yet", latitude_deg=None, longitude_deg=None)
    answer = shown(ask(office, place, **SOUTH_WEST), 422)
    assert "Nowhere yet has no coordinates yet" in answer
    sheet = ask(office, place, route="location-light-sheet", **SOUTH_WEST)
    assert "has no coordinates yet" in shown(sheet, 422)


def test_the_leaf_says_the_same_as_the_page(office, cove):
    page = shown(ask(office, cove, **SOUTH_WEST))
    sheet = ask(office, cove, route="location-light-sheet", **SOUTH_WEST, paper="letter")
    assert sheet.headers["Content-Type"] == "application/pdf"
    (leaf,) = PdfReader(BytesIO(sheet.content)).pages
    printed = " ".join(leaf.extract_text().split())
    best = re.search(r'<th scope="row">([^<]+)</th><td><span class="whole">([^<]+)</span>', page)
    assert best[1] in printed
    assert best[2] in printed
    assert "cloud decides on the day" in printed


def test_the_page_asks_the_database_as_often_for_a_year_as_for_a_day(office, cove):
    counts = []
    for last in ("2027-03-01", "2028-02-20"):
        with CaptureQueriesContext(connection) as asked:
            shown(ask(office, cove, **SOUTH_WEST | {"last": last}))
        counts.append(len(asked))
    assert counts[0] == counts[1] < 8
