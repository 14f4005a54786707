"""The set pages: the plan beside the form, the same one as on paper; nothing typed is lost."""

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planning.models import PlannedLight, PlannedSet
from planning.plan import evaluate
from planning.selectors import set_inputs
from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.records.browser import filled
from workshops.models import AuditEntry, House

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def planned():
    workshop = make.WorkshopFactory()
    record = make.SetFactory(workshop=workshop, position=1)
    make.LightFactory(planned_set=record, name="octa")
    make.ForecastFactory(location=record.location)
    return record


def recipe(page) -> str:
    """The big line of the plan, its words joined by single blanks."""
    inside = re.search(r'<p class="recipe">(.*?)</p>', page.content.decode(), re.S).group(1)
    return " ".join(re.sub(r"<[^>]+>", " ", inside).split())


def test_a_set_shows_the_very_plan_the_sheet_is_made_of(office, planned):
    plan = evaluate(set_inputs(planned.pk))
    page = office.get(reverse("set", args=[planned.pk]))
    assert page.status_code == 200
    assert recipe(page).startswith(plan.exposure.working_mark)
    assert "<svg" in page.content.decode()
    for caution in plan.cautions:
        assert caution.level in ("stop", "act", "note")


def test_a_changed_field_moves_the_plan_and_saves_nothing(office, planned):
    form = filled(office.get(reverse("set", args=[planned.pk])))
    before = recipe(office.get(reverse("set", args=[planned.pk])))
    page = office.post(reverse("set-plan", args=[planned.pk]), form | {"stops_under": "2"})
    # One stop more under the base closes the aperture by a stop: the mark changes.
    assert recipe(page) != before
    assert "not saved yet" in page.content.decode()
    assert PlannedSet.objects.get().stops_under == 1
    assert not AuditEntry.objects.exists()


def test_the_preview_of_what_is_stored_is_the_stored_plan(office, planned):
    page = office.get(reverse("set", args=[planned.pk]))
    preview = office.post(reverse("set-plan", args=[planned.pk]), filled(page))
    assert recipe(preview) == recipe(page)


def test_a_preview_of_a_wrong_figure_says_what_the_form_waits_for(office, planned):
    form = filled(office.get(reverse("set", args=[planned.pk]))) | {"focal_mm": "long"}
    page = office.post(reverse("set-plan", args=[planned.pk]), form).content.decode()
    assert "Focal length (mm): Enter a number" in page


def test_a_saved_set_is_audited_and_keeps_its_lights(office, planned):
    light = planned.lights.get()
    form = filled(office.get(reverse("set", args=[planned.pk]))) | {"title": "Slate in the sun"}
    assert office.post(reverse("set", args=[planned.pk]), form).status_code == 302
    planned.refresh_from_db()
    assert planned.title == "Slate in the sun"
    assert planned.lights.get().pk == light.pk
    entry = AuditEntry.objects.get()
    assert entry.changes == {"title": ["Slate wall", "Slate in the sun"]}
    assert entry.who == office.user


def test_saving_without_a_change_changes_nothing(office, planned):
    before = planned.changed_at
    form = filled(office.get(reverse("set", args=[planned.pk])))
    assert office.post(reverse("set", args=[planned.pk]), form).status_code == 302
    planned.refresh_from_db()
    assert planned.changed_at == before
    assert not AuditEntry.objects.exists()


def test_a_new_set_begins_where_the_last_one_ended(office, planned):
    page = office.get(reverse("set-new", args=[planned.workshop_id]))
    form = filled(page)
    assert form["position"] == "2"
    assert form["start_at"] == "2027-05-08T15:25"  # 14:25 UTC on the clock of the place
    assert form["location"] == [str(planned.location_id)]


def test_a_new_set_with_a_light_is_kept(office, planned):
    light = planned.lights.get()
    url = reverse("set-new", args=[planned.workshop_id])
    form = filled(office.get(url)) | {
        "title": "Wood edge",
        "camera_facing_deg": "20",
        "lights-0-name": "key",
        "lights-0-role": "key",
        "lights-0-strobe": str(light.strobe_id),
        "lights-0-stand": str(light.stand_id),
        "lights-0-distance_m": "2,2",
        "lights-0-angle_deg": "-40",
        "lights-0-lamp_height_m": "2",
    }
    page = office.post(url, form)
    assert page.status_code == 302, page.content.decode()
    made = PlannedSet.objects.get(position=2)
    assert made.lights.get().distance_m == 2.2
    assert page.url == reverse("set", args=[made.pk])


def test_a_set_without_a_light_for_its_job_is_refused_in_words(office, planned):
    url = reverse("set-new", args=[planned.workshop_id])
    form = filled(office.get(url)) | {"title": "Wood edge", "camera_facing_deg": "20"}
    page = office.post(url, form)
    assert page.status_code == 422
    assert "add a light with that role" in page.content.decode()
    assert "Wood edge" in page.content.decode()
    assert PlannedSet.objects.count() == 1


def test_a_light_can_be_dropped_and_another_added_in_one_go(office, planned):
    light = planned.lights.get()
    form = filled(office.get(reverse("set", args=[planned.pk])))
    form |= {"lights-0-DELETE": "on"}
    form |= {
        "lights-1-name": "bare",
        "lights-1-role": "key",
        "lights-1-strobe": str(light.strobe_id),
        "lights-1-stand": str(light.stand_id),
        "lights-1-distance_m": "3",
        "lights-1-angle_deg": "30",
        "lights-1-lamp_height_m": "2",
    }
    page = office.post(reverse("set", args=[planned.pk]), form)
    assert page.status_code == 302, page.content.decode()
    assert [one.name for one in PlannedLight.objects.all()] == ["bare"]


def test_a_stale_set_is_refused_with_both_versions_and_may_then_be_saved(office, planned):
    url = reverse("set", args=[planned.pk])
    mine = filled(office.get(url)) | {"title": "Mine"}
    assert office.post(url, filled(office.get(url)) | {"title": "Theirs"}).status_code == 302
    page = office.post(url, mine)
    text = page.content.decode()
    assert page.status_code == 409
    assert "<td>Mine</td><td>Theirs</td>" in text
    assert PlannedSet.objects.get().title == "Theirs"
    assert office.post(url, filled(page)).status_code == 302
    assert PlannedSet.objects.get().title == "Mine"


def test_a_light_added_by_somebody_else_makes_an_older_form_stale(office, planned):
    url = reverse("set", args=[planned.pk])
    old = filled(office.get(url))
    light = planned.lights.get()
    added = old | {
        "lights-1-name": "edge",
        "lights-1-role": "rim",
        "lights-1-strobe": str(light.strobe_id),
        "lights-1-stand": str(light.stand_id),
        "lights-1-distance_m": "3",
        "lights-1-angle_deg": "170",
        "lights-1-lamp_height_m": "2",
    }
    assert office.post(url, added).status_code == 302
    assert office.post(url, old | {"title": "Without edge"}).status_code == 409
    assert PlannedLight.objects.count() == 2


def test_a_copy_is_the_next_set_with_its_own_lights(office, planned):
    page = office.post(reverse("set-copy", args=[planned.pk]))
    copy = PlannedSet.objects.get(position=2)
    assert page.url == reverse("set", args=[copy.pk])
    assert [light.name for light in copy.lights.all()] == ["octa"]
    assert planned.lights.count() == 1


def test_the_day_lists_every_set_in_a_fixed_number_of_queries(office, planned):
    url = reverse("sets", args=[planned.workshop_id])
    with CaptureQueriesContext(connection) as one:
        assert "Slate wall" in office.get(url).content.decode()
    for position in range(2, 8):
        record = make.SetFactory(workshop=planned.workshop, position=position)
        make.LightFactory(planned_set=record)
        make.ForecastFactory(location=record.location)
    with CaptureQueriesContext(connection) as seven:
        office.get(url)
    assert len(seven) == len(one)


def test_the_sheet_comes_as_pdf_from_the_set_and_from_the_workshop(office, planned):
    for url in (
        reverse("set-sheet", args=[planned.pk]),
        reverse("workshop-sheets", args=[planned.workshop_id]),
        reverse("set-sheet", args=[planned.pk]) + "?paper=letter",
    ):
        page = office.get(url)
        assert page["Content-Type"] == "application/pdf"
        assert page.content.startswith(b"%PDF-")


def test_a_set_without_a_plan_says_why_instead_of_printing(office, planned):
    location = planned.location
    location.latitude_deg = location.longitude_deg = None
    location.save()
    page = office.get(reverse("set-sheet", args=[planned.pk]), follow=True).content.decode()
    assert "has no coordinates" in page
    page = office.get(reverse("workshop-sheets", args=[planned.workshop_id]), follow=True)
    assert "has no coordinates" in page.content.decode()


def test_imperial_houses_type_feet_and_untouched_figures_stay_exact(office, planned):
    House.objects.update(units="imperial")
    url = reverse("set", args=[planned.pk])
    form = filled(office.get(url))
    assert form["lights-0-distance_m"] == "6.562"  # 2 m / 0.3048
    assert office.post(url, form | {"title": "In feet"}).status_code == 302
    light = planned.lights.get()
    assert light.distance_m == 2.0
    form = filled(office.get(url)) | {"lights-0-distance_m": "10"}
    assert office.post(url, form).status_code == 302
    light.refresh_from_db()
    assert light.distance_m == pytest.approx(3.048)


def test_a_range_is_worded_in_the_unit_it_is_typed_in(office, planned):
    House.objects.update(units="imperial")
    url = reverse("set", args=[planned.pk])
    page = office.post(url, filled(office.get(url)) | {"face_height_m": "200"}).content.decode()
    assert "Height of the face (ft): enter 0.328 to 32.808." in page  # 0.1 m and 10 m in feet


@pytest.mark.parametrize("field", ["lights-0-strobe", "lights-0-stand", "location", "camera"])
def test_a_choice_no_database_holds_is_no_choice(office, planned, field):
    url = reverse("set", args=[planned.pk])
    page = office.post(url, filled(office.get(url)) | {field: "9" * 400})
    assert page.status_code == 422
    assert "Select a valid choice" in page.content.decode()


@pytest.mark.parametrize("text", ABSURD, ids=range(len(ABSURD)))
def test_absurd_texts_are_kept_or_refused_never_an_error(office, planned, text):
    url = reverse("set", args=[planned.pk])
    form = filled(office.get(url))
    keep = ("seen", "csrfmiddlewaretoken")
    typed = {
        name: text
        for name, value in form.items()
        if isinstance(value, str) and name not in keep and not name.endswith("_FORMS")
    }
    assert office.post(url, form | typed).status_code in (302, 422)
    assert office.post(reverse("set-plan", args=[planned.pk]), form | typed).status_code == 200
    only = office.post(url, form | {"title": text, "notes": text})
    assert only.status_code in (302, 422)
    assert "<script>alert" not in office.get(url).content.decode()


def test_an_account_without_rights_sees_no_set(stranger, planned):
    for url in (
        reverse("sets", args=[planned.workshop_id]),
        reverse("set", args=[planned.pk]),
        reverse("set-sheet", args=[planned.pk]),
    ):
        assert stranger.get(url).status_code == 403
