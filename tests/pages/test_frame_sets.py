"""The page of frames by set and turn: whose they are, and those moved to another set by hand."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from planning.models import Frame
from tests import factories as make
from tests.pages.days import words
from tests.records.browser import filled

pytestmark = pytest.mark.django_db

START = make.SET_START  # 14:10 on the clock of the place, 13:10 UTC


@pytest.fixture
def planned(house):
    return make.LightFactory(planned_set__position=1, planned_set__turn_min=5.0).planned_set


@pytest.fixture
def workshop(planned):
    return planned.workshop


@pytest.fixture
def lot(workshop):
    return make.FrameLotFactory(workshop=workshop)


@pytest.fixture
def instructor(workshop):
    person = make.RoleFactory(workshop=workshop, role="lead").person
    client = Client()
    client.force_login(
        make.UserFactory(role="instructor", person=person, is_staff=False, is_superuser=False)
    )
    return client


def frame(lot, at, **more):
    return make.FrameFactory(lot=lot, clock_at=at, **more)


def test_frames_are_listed_by_set_with_person_and_turn(instructor, workshop, planned, lot):
    ana = make.BookingFactory(workshop=workshop, person=make.PersonFactory(name="Ana"))
    make.EventFactory(
        planned_set=planned,
        kind="turn given",
        booking=ana,
        at=START + timedelta(minutes=40),
        round=1,
    )
    hour = timedelta(hours=1)
    frame(lot, START + hour + timedelta(minutes=38), booking=ana, file_name="own.jpg")
    frame(lot, START + hour + timedelta(minutes=50), booking=ana, file_name="over.jpg")
    frame(lot, START + timedelta(hours=9), booking=ana, file_name="late.jpg")
    page = instructor.get(reverse("frames-sets", args=[workshop.pk]))
    rows = {one.file_name: (one.person, one.where, one.flashed) for one in page.context["frames"]}
    assert rows == {
        "own.jpg": ("Ana", "own turn", True),
        "over.jpg": ("Ana", "outside own turn", False),
        "late.jpg": ("Ana", "of no set", False),
    }
    assert "that mark proves nothing" in words(page)
    assert "1 frame counts as flashed" in words(page)
    assert "3 frames go by guessed clocks" in words(page)
    assert "<title>Frames along the turns of Slate wall</title>" in page.content.decode()
    none = instructor.get(reverse("frames-sets", args=[workshop.pk]), {"set": "none"})
    assert [one.file_name for one in none.context["frames"]] == ["late.jpg"]


def test_ticked_frames_and_a_stretch_of_time_are_moved(instructor, workshop, planned, lot):
    place = reverse("frames-sets", args=[workshop.pk])
    hour = timedelta(hours=1)
    one = frame(lot, START + hour)
    two = frame(lot, START + timedelta(hours=9))  # 22:10, taken for the clock of the place
    form = filled(instructor.get(place)) | {"to": "none", "frame": [str(one.pk)]}
    assert instructor.post(place, form).status_code == 302
    assert Frame.objects.get(settled=True) == one
    form = {"to": str(planned.pk), "from_time": "22:00", "to_time": "22:20", "day": "2027-05-08"}
    assert instructor.post(place, form).status_code == 302
    assert Frame.objects.get(pk=two.pk).planned_set == planned
    assert instructor.post(place, {"to": "time", "frame": [str(two.pk)]}).status_code == 302
    assert Frame.objects.filter(settled=True).count() == 1
    for wrong in ({"from_time": "22:00"}, {"from_time": "03:00", "to_time": "03:01"}, {}):
        answer = instructor.post(place, {"to": str(planned.pk)} | wrong)
        assert answer.status_code == 422
