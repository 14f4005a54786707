"""What did not fire on a set feeds who fits: the pair is avoided until a later rehearsal fires."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from planning.match import match
from planning.plan import evaluate
from planning.selectors import set_inputs
from planning.selectors.inputs import of_people
from planning.services.events import take_back
from tests import factories as make
from tests.pages.days import coming, seated, words
from workshops.models import Rehearsal, Workshop

pytestmark = pytest.mark.django_db

BEFORE = make.SET_START  # of an earlier workshop


@pytest.fixture
def triggers():
    return [make.UnitFactory(tag=tag) for tag in ("T1", "T2")]


@pytest.fixture
def workshop(office, triggers):
    day = coming(seats=3)
    for unit in triggers:
        make.ReservationFactory(workshop=day, unit=unit)
    return day


@pytest.fixture
def bea(workshop):
    body = make.CameraFactory(owner__name="Bea")
    return seated(workshop, person=body.owner, camera=body)


def misfired(person, unit, cause="body", **more):
    """A lamp that did not fire for somebody at an earlier workshop."""
    planned = make.SetFactory(workshop__title="Slate in spring")
    booking = person and make.BookingFactory(workshop=planned.workshop, person=person)
    asked = {"planned_set": planned, "booking": booking, "unit": unit, "cause": cause}
    return make.EventFactory(kind="misfire", **asked | {"at": BEFORE} | more)


def proposed(workshop, house):
    found = match(of_people(Workshop.objects.filter(pk=workshop.pk)).get(), house)
    return [pair.unit and pair.unit.tag for pair in found.pairs]


def shown(office, workshop):
    return words(office.get(reverse("workshop-match", args=[workshop.pk])))


def test_a_pair_that_misfired_for_the_body_is_avoided_and_told(
    office, house, workshop, triggers, bea
):
    assert proposed(workshop, house) == ["T1"]
    misfired(bea.person, triggers[0], notes="three times")
    assert proposed(workshop, house) == ["T2"]
    page = shown(office, workshop)
    assert "T1 and this body did not go together on a set on May 8, 2027" in page
    for told in (
        "Slate in spring",
        "three times",
        "Try this body with this trigger before the day",
    ):
        assert told in page


def test_a_later_rehearsal_that_fires_counts_and_an_earlier_one_does_not(
    house, workshop, triggers, bea
):
    misfired(bea.person, triggers[0])
    lamp = make.UnitFactory(kind=make.StrobeFactory().kitkind_ptr)
    row = Rehearsal.objects.create(
        booking=bea, trigger_unit=triggers[0], lamp_unit=lamp, result="fires",
        tried_at=BEFORE - timedelta(hours=3),
    )  # fmt: skip
    assert proposed(workshop, house) == ["T2"]
    row.tried_at = BEFORE + timedelta(days=40)
    row.save()
    assert proposed(workshop, house) == ["T1"]


def test_another_cause_another_body_and_what_was_taken_back_leave_the_pair_alone(
    house, workshop, triggers, bea
):
    misfired(bea.person, triggers[0], cause="cell")
    other = make.BookingFactory(camera=make.CameraFactory(owner=bea.person), person=bea.person)
    make.EventFactory(
        kind="misfire", cause="body", unit=triggers[0], booking=other, at=BEFORE,
        planned_set=make.SetFactory(workshop=other.workshop),
    )  # fmt: skip
    bea.camera_id = bea.person.cameras.order_by("pk").first().pk
    bea.save()
    wrong = misfired(make.PersonFactory(), triggers[0])
    assert proposed(workshop, house) == ["T1"]
    wrong.booking.person = bea.person
    wrong.booking.camera = bea.camera
    wrong.booking.save()
    assert proposed(workshop, house) == ["T2"]
    take_back(by=None, event=wrong, uuid=uuid4(), now=timezone.now())
    assert proposed(workshop, house) == ["T1"]


def test_the_plan_of_a_set_gives_another_trigger_and_an_earlier_set_keeps_its_own(
    workshop, triggers, bea
):
    light = make.LightFactory(planned_set__workshop=workshop)
    misfired(bea.person, triggers[0])

    def trigger_of(pk):
        return evaluate(set_inputs(pk)).turns[0].trigger

    assert trigger_of(light.planned_set_id) == f"{triggers[1].kind.name} T2"
    planned = light.planned_set
    planned.start_at, planned.end_at = (BEFORE - timedelta(days=2, hours=n) for n in (2, 1))
    planned.save()
    assert trigger_of(planned.pk) == f"{triggers[0].kind.name} T1"


def test_a_trigger_tells_what_it_did_with_people_who_are_not_here_without_their_names(
    office, workshop, triggers, bea
):
    misfired(make.PersonFactory(name="Zoe"), triggers[1], cause="cell", light_name="octa")
    misfired(make.PersonFactory(name="Yan"), make.UnitFactory(tag="T9"), cause="range")
    page = shown(office, workshop)
    assert "empty cell in the trigger" in page
    assert "carry a spare" in page
    assert "Zoe" not in page
    assert "T9" not in page


def test_more_misfires_take_no_more_questions(office, workshop, triggers, bea):
    misfired(bea.person, triggers[0])
    with CaptureQueriesContext(connection) as few:
        shown(office, workshop)
    for _number in range(3):
        misfired(bea.person, triggers[1])
    with CaptureQueriesContext(connection) as many:
        shown(office, workshop)
    assert len(many) == len(few)
