"""Meter readings typed on the set: mark and tenths replace the estimate."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from planning.figures import Figures
from planning.models import Reading
from planning.moved import doubts
from planning.physics.exposure import f_mark
from planning.plan import evaluate
from planning.selectors import set_inputs
from tests import factories as make
from tests.pages.days import words
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


def told(office, page) -> str:
    return words(office.get(page.url))


def test_the_page_says_what_the_reading_moved_with_old_and_new_figures(office, planned):
    before = evaluate(set_inputs(planned.pk))
    was = before.exposure.working_mark
    page = typed(office, reverse("reading-new", args=[planned.pk]))
    after = evaluate(set_inputs(planned.pk))
    now, camera = after.exposure.working_mark, "1/160 ISO 100"
    shown = told(office, page)
    base = f_mark(before.exposure.base_f_number)
    # f/12.55 at 1/125, so a third of a stop wider at 1/160: f/11.2, the mark f/11 (ISO 2720).
    assert f"Base was {base}, by estimate; it is f/11, metered:" in shown
    assert f"Work at {now} {camera}; it was {was} {camera}." in shown
    name, power = after.lights[0].name, after.lights[0].power_mark
    assert before.lights[0].power_mark != power
    assert f"{name} at {power}" in shown
    assert f"it was {before.lights[0].power_mark}" in shown
    gone = office.post(reverse("reading-delete", args=[Reading.objects.get().pk]))
    back = told(office, gone)
    assert f"Base was f/11, metered; it is {base}, by estimate" in back
    assert f"Work at {was} {camera}; it was {now} {camera}." in back
    assert evaluate(set_inputs(planned.pk)).exposure == before.exposure


def test_a_reading_of_the_face_moves_the_light_and_leaves_the_base(office, planned):
    before = evaluate(set_inputs(planned.pk))
    page = typed(office, reverse("reading-new", args=[planned.pk]), plane="face", f_mark="5.6")
    shown = told(office, page)
    assert "Base was" not in shown
    assert f"Work at {before.exposure.working_mark} 1/160 ISO 100, as before." in shown
    assert "Lit to shadow" in shown


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"flash_in": "on"}, "Flash was in it, so it says nothing of the daylight"),
        ({"at": "2027-05-08T09:00"}, "Read 5 h 10 before the set"),
        ({"at": "2027-05-08T20:25"}, "after the set"),
        ({"f_mark": "45"}, "look once more at what was metered, the shutter and the ISO"),
    ],
)
def test_what_is_odd_is_kept_with_a_word_of_caution(office, planned, more, said):
    sent = typed(office, reverse("reading-new", args=[planned.pk]), **more)
    assert Reading.objects.count() == 1
    shown = told(office, sent)
    # Typed before the day, its time is still to come: that is said instead of early or late.
    if "at" in more and Reading.objects.get().at > timezone.now():
        assert "this is a trial: delete it before the day" in shown
        say, later = Figures(timezone="Europe/London"), planned.end_at + timedelta(days=1)
        (doubt,) = doubts(Reading.objects.get(), None, None, now=later, say=say)
        assert said in doubt
    else:
        assert said in shown


def test_the_same_reading_sent_twice_is_kept_once(office, planned):
    for _press in range(2):
        assert typed(office, reverse("reading-new", args=[planned.pk])).status_code == 302
    assert Reading.objects.count() == 1
    typed(office, reverse("reading-new", args=[planned.pk]), tenths="4")
    assert Reading.objects.count() == 2


def test_what_the_base_needs_and_the_meter_at_hand_stand_there_already(office, planned):
    url = reverse("reading-new", args=[planned.pk])
    form = filled(office.get(url))
    assert (form["plane"], form["kind"]) == (["backdrop"], ["incident"])
    assert (form["shutter_s"], form["iso"]) == ("1/160", "100")
    meter = make.UnitFactory(tag="M1", kind=make.MeterFactory().kitkind_ptr)
    make.ReservationFactory(workshop=planned.workshop, unit=meter)
    assert filled(office.get(url))["meter"] == [str(meter.pk)]
    other = make.UnitFactory(tag="M2", kind=meter.kind)
    make.ReadingFactory(planned_set=make.SetFactory(workshop=planned.workshop), meter=other)
    assert filled(office.get(url))["meter"] == [str(other.pk)]
    # A fill set's base is the sunny side of the face (light-method: stops under 0, base in sun).
    make.LightFactory(planned_set=planned, role="fill")
    type(planned).objects.update(job="fill", base_kind="spot")
    form = filled(office.get(url))
    assert (form["plane"], form["kind"]) == (["face"], ["incident"])
    type(planned).objects.update(job="key", base_kind="sky")
    form = filled(office.get(url))
    assert (form["plane"], form["kind"]) == (["sky"], ["sky"])


def test_readings_are_typed_from_the_list_of_sets_too(office, planned):
    listed = office.get(reverse("sets", args=[planned.workshop_id])).content.decode()
    assert reverse("reading-new", args=[planned.pk]) in listed


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
