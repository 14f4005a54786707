"""Who fits: which trigger fires which camera, and what the rehearsal says against the book."""

import pytest
from django.urls import reverse

from planning.models import PlannedSet
from planning.selectors import set_inputs
from tests import factories as make
from tests.pages.days import coming, seated, words
from tests.records.browser import filled
from workshops import marks
from workshops.models import AuditEntry, Rehearsal

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop(office):
    day = coming(seats=3)
    for tag in ("T1", "T2"):
        make.ReservationFactory(workshop=day, unit=make.UnitFactory(tag=tag))
    lamp = make.UnitFactory(tag="S1", kind=make.StrobeFactory().kitkind_ptr)
    make.ReservationFactory(workshop=day, unit=lamp)
    return day


def booked(workshop, owner, **camera):
    body = make.CameraFactory(owner__name=owner, **camera)
    return seated(workshop, person=body.owner, camera=body)


def shown(office, workshop):
    return words(office.get(reverse("workshop-match", args=[workshop.pk])))


def test_the_page_names_the_group_shutter_who_sets_it_and_who_is_not_served(office, workshop):
    booked(workshop, "Ana")
    booked(workshop, "Bo", centre_contact=False, name="Old body")
    page = shown(office, workshop)
    # 1/160 less a third of a stop of a simple radio link: 1/125 (common practice)
    assert "<strong>1/125</strong> set by Ana" in page
    assert "the shoe has no centre contact" in page
    assert "reserve an advanced trigger" in page


def test_a_slow_body_is_told_with_what_it_costs_everybody(office, workshop):
    booked(workshop, "Ana")
    booked(workshop, "Cy")
    booked(workshop, "Bo", sync_s=marks.shutter_s("1/60"))
    page = shown(office, workshop)
    assert "Bo: left in, it would cost everybody 1.3" in page
    assert "own line" in page


def test_proposed_triggers_are_settled_by_one_button(office, workshop):
    ana, bo = booked(workshop, "Ana"), booked(workshop, "Bo")
    assert office.post(reverse("match-settle", args=[workshop.pk])).status_code == 302
    for booking in (ana, bo):
        booking.refresh_from_db()
    assert {ana.trigger_unit.tag, bo.trigger_unit.tag} == {"T1", "T2"}
    assert AuditEntry.objects.filter(record_type="workshops.booking", action="changed").count() == 2


def tried(office, booking, **typed):
    page = reverse("rehearsal", args=[booking.pk])
    return office.post(page, filled(office.get(page)) | typed)


def lamp_field(workshop):
    lamp = workshop.kit.get(unit__kind__category="strobe").unit
    return f"lamp{lamp.pk}"


def test_what_the_rehearsal_measures_beats_the_manual_in_the_plan(office, workshop):
    light = make.LightFactory(planned_set__workshop=workshop)
    ana = booked(workshop, "Ana")
    answer = tried(office, ana, **{lamp_field(workshop): "band", "measured_sync_s": "1/80"})
    assert answer.status_code == 302
    assert "a dark band" in shown(office, workshop)
    attendee = set_inputs(light.planned_set_id).attendees[0]
    assert [marks.SHUTTERS.mark(one.measured_sync_s) for one in attendee.tried] == ["1/80"]
    from planning.plan import evaluate

    plan = evaluate(set_inputs(PlannedSet.objects.get().pk))
    assert marks.SHUTTERS.mark(plan.exposure.sync_s) == "1/80"


def test_a_trigger_that_does_not_fire_is_replaced_by_another(office, workshop):
    ana = booked(workshop, "Ana")
    trigger = workshop.kit.get(unit__tag="T1").unit
    tried(office, ana, **{"trigger_unit": trigger.pk, lamp_field(workshop): "no"})
    row = shown(office, workshop)
    assert "<strong>T2</strong> fire-only" in row
    assert "T1 → S1: <strong>does not fire</strong>" in row


def test_what_fired_beats_a_questionnaire_that_says_it_cannot(office, workshop):
    light = make.LightFactory(planned_set__workshop=workshop)
    ana = booked(workshop, "Ana", electronic_only=True, shoe="other")
    assert "the electronic shutter does not fire flash" in shown(office, workshop)
    trigger = workshop.kit.get(unit__tag="T2").unit
    tried(office, ana, **{"trigger_unit": trigger.pk, lamp_field(workshop): "band"})
    assert "the electronic shutter does not fire flash" in shown(office, workshop)
    typed = {"trigger_unit": trigger.pk, "measured_sync_s": "1/50"}
    tried(office, ana, **typed, **{lamp_field(workshop): "fires"})
    assert "<strong>T2</strong> fire-only" in shown(office, workshop)
    from planning.plan import evaluate

    plan = evaluate(set_inputs(light.planned_set_id))
    assert [one.trigger for one in plan.turns] == [f"{trigger.kind} T2"]
    assert marks.SHUTTERS.mark(plan.exposure.sync_s) == "1/50"
    assert plan.exposure.own_lines == ()


def test_where_triggers_run_out_the_page_says_what_to_do(office, workshop):
    for name in ("Ana", "Bo", "Cy"):
        booked(workshop, name)
    page = shown(office, workshop)
    assert "shared: pass it on with the turn, or reserve one more trigger" in page


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"measured_sync_s": "1/125"}, "Say of one lamp at least"),
        ({"lamp": "band"}, "one mark slower at a time"),
        ({"lamp": "no", "measured_sync_s": "1/125"}, "leave it empty where nothing fires"),
        ({"lamp": "fires", "measured_sync_s": "<b>soon"}, "enter it like"),
    ],
)
def test_a_try_without_its_finding_is_refused_in_words(office, workshop, typed, told):
    ana = booked(workshop, "Ana")
    typed = {lamp_field(workshop) if key == "lamp" else key: value for key, value in typed.items()}
    answer = tried(office, ana, **typed)
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert not Rehearsal.objects.exists()


def test_a_newer_try_takes_the_place_of_the_older(office, workshop):
    ana = booked(workshop, "Ana")
    for result in ("no", "fires"):
        trigger = workshop.kit.get(unit__tag="T1").unit
        tried(office, ana, **{"trigger_unit": trigger.pk, lamp_field(workshop): result})
    assert [one.result for one in Rehearsal.objects.all()] == ["fires"]


def test_the_page_asks_as_often_for_six_attendees_as_for_one(
    office, workshop, django_assert_max_num_queries
):
    for number in range(3):
        booked(workshop, f"Attendee {number}")
    with django_assert_max_num_queries(16):
        shown(office, workshop)
