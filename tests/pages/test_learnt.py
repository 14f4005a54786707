"""Flash readings typed on the set, and the pages of the house's own figures."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from planning.models import CountsFrom, FlashReading, LeftOut
from planning.selectors import set_inputs
from planning.selectors.own_flash import guide_figure
from tests import factories as make
from tests.pages.days import words
from tests.records.browser import filled
from workshops.models import AuditEntry

pytestmark = pytest.mark.django_db


def plain(page):
    """What a page says, without its marks, blanks made one."""
    return " ".join(re.sub(r"<[^>]+>", " ", words(page)).split())


@pytest.fixture
def light():
    make.HouseFactory()
    strobe = make.StrobeFactory(name="Head 200", guide_number_m=80.0)
    octa = make.ModifierFactory(name="Octa 90")
    return make.LightFactory(name="octa", strobe=strobe, modifier=octa)


def typed(office, light, **more):
    url = reverse("flash-reading-new", args=[light.planned_set_id])
    form = filled(office.get(url)) | {"at": "2027-05-08T14:15", "power": "1/4"}
    return office.post(url, form | {"f_mark": "11", "tenths": "0"} | more)


def test_the_form_begins_with_the_key_its_cord_and_the_time_of_the_set(office, light):
    form = filled(office.get(reverse("flash-reading-new", args=[light.planned_set_id])))
    assert (form["light_name"], form["distance_m"], form["how"]) == (["octa"], "2", ["alone"])
    assert form["at"] == "2027-05-08T14:10"


def test_a_reading_moves_the_guide_number_and_the_page_says_how(office, light):
    page = typed(office, light)
    assert page.status_code == 302, words(page)
    told = words(office.get(page.url))
    assert "Guide number: Head 200, Octa 90: 46 m at ISO 100" in told
    assert "f/11 ISO 100" in told
    assert set_inputs(light.planned_set_id).lights[0].guide_number_source == "own"
    assert AuditEntry.objects.filter(record_type="planning.flashreading").exists()


def test_the_same_reading_sent_twice_is_kept_once(office, light):
    typed(office, light)
    typed(office, light)
    assert FlashReading.objects.count() == 1


def test_together_needs_the_daylight_and_daylight_must_be_less(office, light):
    page = typed(office, light, how="together")
    assert page.status_code == 422
    assert "enter what the meter read with the flash off" in words(page)
    page = typed(office, light, ambient_mark="16")
    assert "it must read less than with the flash" in words(page)
    assert not FlashReading.objects.exists()


def test_daylight_far_brighter_than_the_lamp_is_kept_and_said_to_teach_nothing(office, light):
    page = typed(office, light, ambient_mark="10.5")
    told = words(office.get(page.url))
    assert "It teaches nothing: daylight was more than four times as bright as the lamp" in told
    assert set_inputs(light.planned_set_id).lights[0].guide_number_source == "estimate"
    figure = guide_figure(light.strobe_id, light.modifier_id)
    assert "more than four times" in words(office.get(reverse("learnt-figure", args=[figure])))


def test_a_reading_of_another_day_belongs_to_the_head(office, light):
    page = typed(office, light, at="2027-05-18T14:15")
    assert "enter it under its kind of kit" in words(page)


def test_a_deleted_reading_is_unlearned_and_the_sheet_is_newer(office, light):
    typed(office, light)
    before = set_inputs(light.planned_set_id)
    office.post(reverse("flash-reading-delete", args=[FlashReading.objects.get().pk]))
    after = set_inputs(light.planned_set_id)
    assert after.lights[0].guide_number_source == "estimate"
    assert after.inputs_changed_at > before.inputs_changed_at
    assert after.revision != before.revision


@pytest.fixture
def figure(office, light):
    for days in range(4):
        make.FlashReadingFactory(
            planned_set=light.planned_set, at=make.SET_START - timedelta(days=days)
        )
    return guide_figure(light.strobe_id, light.modifier_id)


def test_the_list_has_every_figure_with_its_spread_and_what_was_held_before(office, figure):
    told = plain(office.get(reverse("learnt")))
    assert "Guide number: Head 200, Octa 90 46 m at ISO 100 o ±0.2 stop 4" in told
    assert "40 m at ISO 100 (±0.7 stop)" in told  # the maker's 80 m less two stops
    assert "Minutes of one turn 5.0 min e 2.5 min to 10.0 min 0" in told
    assert "Daylight beside the equations, sky clear" in told


def test_a_kinds_own_figures_can_be_asked_for_alone(office, figure, light):
    told = words(office.get(reverse("learnt") + f"?kind={light.strobe_id}"))
    assert "Head 200, Octa 90" in told
    assert "Minutes of one turn" not in told
    assert "?kind=" in office.get(reverse("kind", args=[light.strobe_id])).content.decode()


def test_a_figure_shows_every_measurement_drawn_and_what_it_counts_for(office, figure):
    page = office.get(reverse("learnt-figure", args=[figure]))
    html = page.content.decode()
    assert html.count("<circle") == 4 + 2  # the measurements, and the middles of both spans
    assert "f/11 at 2.0\xa0m, power 1/4, ISO 100" in html
    assert "Own measurement: 4 count, of 4 days." in words(page)


def test_a_measurement_is_left_out_with_a_reason_and_counts_again(office, figure, light):
    witness = f"flash-reading:{FlashReading.objects.first().pk}"
    url = reverse("leave-out-new", args=[figure])
    form = filled(office.get(f"{url}?witness={witness}"))
    assert form["witness"] == [witness]
    refused = office.post(url, form | {"reason": ""})
    assert refused.status_code == 422
    office.post(url, form | {"reason": "Meter slipped"})
    assert set_inputs(light.planned_set_id).lights[0].guide_number_readings == 3
    told = words(office.get(reverse("learnt-figure", args=[figure])))
    assert "left out: Meter slipped" in told
    changed = set_inputs(light.planned_set_id).inputs_changed_at
    office.post(reverse("leave-out-delete", args=[LeftOut.objects.get().pk]))
    again = set_inputs(light.planned_set_id)
    assert again.lights[0].guide_number_readings == 4
    assert again.inputs_changed_at > changed


def test_a_figure_begins_anew_from_a_date_and_from_the_start_again(office, figure, light):
    url = reverse("counts-from-new", args=[figure])
    page = office.post(url, {"from_on": "2027-05-07", "reason": "New tube"})
    assert page.status_code == 302, words(page)
    assert set_inputs(light.planned_set_id).lights[0].guide_number_readings == 2
    assert "New tube" in words(office.get(reverse("learnt-figure", args=[figure])))
    office.post(reverse("counts-from-delete", args=[CountsFrom.objects.get().pk]))
    assert set_inputs(light.planned_set_id).lights[0].guide_number_readings == 4


def test_there_is_no_page_of_a_figure_nobody_measured(office, light):
    assert office.get(reverse("learnt-figure", args=["guide-number:9:9"])).status_code == 404


def test_the_instructor_looks_and_the_office_chooses(client, figure, light):
    person = make.PersonFactory()
    user = make.UserFactory(
        email="ines@example.org",
        role="instructor",
        person=person,
        is_staff=False,
        is_superuser=False,
    )
    make.RoleFactory(workshop=light.planned_set.workshop, person=person, role="lead")
    client.force_login(user)
    page = client.get(reverse("learnt-figure", args=[figure]))
    assert page.status_code == 200
    assert "Leave out…" not in words(page)
    assert client.get(reverse("leave-out-new", args=[figure])).status_code == 403
    assert client.get(reverse("counts-from-new", args=[figure])).status_code == 403
