"""Meter readings typed on the set: mark and tenths replace the estimate."""

import pytest
from django.urls import reverse

from planning.models import Reading
from planning.plan import evaluate
from planning.selectors import set_inputs
from tests import factories as make
from tests.records.browser import filled

pytestmark = pytest.mark.django_db


@pytest.fixture
def planned():
    record = make.SetFactory(position=1)
    make.LightFactory(planned_set=record)
    return record


def typed(office, url, **more):
    form = filled(office.get(url)) | {"at": "2027-05-08T14:15", "kind": "incident"}
    return office.post(url, form | {"f_mark": "11", "tenths": "3", "shutter_s": "1/125"} | more)


def test_a_mark_and_tenths_become_the_base(office, planned):
    url = reverse("reading-new", args=[planned.pk])
    page = typed(office, url)
    assert page.status_code == 302, page.content.decode()
    reading = Reading.objects.get()
    # f/11 is 2^3.5; three tenths of a stop are a factor 2^(0.3 / 2) on the f-number (ISO 2720).
    assert reading.f_number == pytest.approx(2**3.5 * 2**0.15)
    assert reading.at.isoformat() == "2027-05-08T13:15:00+00:00"  # British Summer Time is UTC + 1
    assert evaluate(set_inputs(planned.pk)).exposure.base_source == "metered"
    assert "The reading is kept." in office.get(page.url).content.decode()


def test_before_the_day_the_beginning_of_the_set_is_offered_as_the_time(office, planned):
    form = filled(office.get(reverse("reading-new", args=[planned.pk])))
    assert form["at"] == "2027-05-08T14:10"  # 13:10 UTC in British Summer Time


def test_the_page_of_the_set_lists_its_readings(office, planned):
    make.ReadingFactory(planned_set=planned, tenths=3)
    page = office.get(reverse("set", args=[planned.pk])).content.decode()
    assert "f/11 + 3/10 1/125" in page


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"f_mark": ""}, "enter f/ and shutter, or the EV alone"),
        ({"ev": "12"}, "enter f/ and shutter, or the EV alone"),
        ({"f_mark": "bright"}, "enter it like f/11"),
        ({"plane": "sky"}, "a sky reading is of the sky"),
        ({"at": "2027-05-01T14:15"}, "enter a time of the day of this set"),
    ],
)
def test_a_half_reading_is_refused_with_everything_kept(office, planned, more, words):
    page = typed(office, reverse("reading-new", args=[planned.pk]), **more)
    assert page.status_code == 422
    assert words in page.content.decode()
    assert 'value="1/125"' in page.content.decode()
    assert not Reading.objects.exists()


def test_a_reading_of_the_recce_belongs_to_the_place(office):
    place = make.LocationFactory()
    page = typed(office, reverse("recce-reading-new", args=[place.pk]), sky="clear", spot="slate")
    assert page.status_code == 302, page.content.decode()
    assert Reading.objects.get().location == place


def test_a_reading_can_be_deleted_after_a_question(office, planned):
    reading = make.ReadingFactory(planned_set=planned)
    url = reverse("reading-delete", args=[reading.pk])
    assert office.get(url).status_code == 200
    assert Reading.objects.exists()
    assert office.post(url).url == reverse("set", args=[planned.pk])
    assert not Reading.objects.exists()
