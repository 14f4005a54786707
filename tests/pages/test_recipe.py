"""A recipe is locked from a phone, once for each press, and the page says it."""

from uuid import uuid4

import pytest

from planning.models import TallyEvent
from planning.selectors.recipes import locked_recipe
from tests import factories as make
from workshops import marks

pytestmark = pytest.mark.django_db


@pytest.fixture
def planned(client):
    make.HouseFactory()
    client.force_login(make.UserFactory())
    light = make.LightFactory()
    return light.planned_set


def typed(planned, **changes):
    given = {
        "key": str(uuid4()),
        "f_number": "16",
        "shutter_s": "1/160",
        "iso": "100",
        "at": "2027-05-08T14:40",
        "power_0": "1/4 +0.3",
    }
    return given | changes


def test_the_form_offers_what_is_planned(client, planned):
    page = client.get(f"/sets/{planned.pk}/recipe/").content.decode()
    assert 'name="power_0"' in page
    assert 'value="1/' in page


def test_what_was_locked_last_counts(client, planned):
    place = f"/sets/{planned.pk}/recipe/"
    client.post(place, typed(planned))
    answer = client.post(place, typed(planned, f_number="13", at="2027-05-08T14:50"), follow=True)
    locked = locked_recipe(planned, planned.events.all())
    assert marks.APERTURES.mark(locked.f_number) == "f/13"
    # A quarter and 0.3 stop: 0.25 x 2^0.3 = 0.308.
    assert locked.powers[0][1] == pytest.approx(0.308, abs=0.001)
    assert "f/13" in answer.content.decode()


def test_the_same_press_twice_is_one_recipe(client, planned):
    same = typed(planned)
    client.post(f"/sets/{planned.pk}/recipe/", same)
    client.post(f"/sets/{planned.pk}/recipe/", same)
    assert TallyEvent.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("power_0", "eleven"),
        ("power_0", "1/99999"),
        ("shutter_s", ""),
        ("f_number", "f/0"),
        ("at", "2027-05-07T23:00"),
    ],
)
def test_what_is_no_setting_is_told_at_its_field(client, planned, field, words):
    answer = client.post(f"/sets/{planned.pk}/recipe/", typed(planned, **{field: words}))
    assert answer.status_code == 422
    assert not TallyEvent.objects.exists()
    assert f'id="id_{field}"' in answer.content.decode()


@pytest.mark.parametrize(
    ("words", "share"),
    [
        ("1/1", 1.0),
        ("full", 1.0),
        ("1/8", 0.125),
        ("1/4 +0.5", 0.3536),
        ("8.0", 0.25),
        ("0.5", 0.5),
    ],
)
def test_powers_are_read_as_heads_show_them(words, share):
    # 1/4 and half a stop is 0.25 x 2^0.5; a scale of ten counts one a stop down from 10.0.
    assert marks.power(words) == pytest.approx(share, abs=0.0005)
