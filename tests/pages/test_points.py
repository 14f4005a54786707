"""Teaching points on their own pages, on the page of a set and on the back of its sheet."""

import html
import json
import re

import pytest
from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.db.models import ProtectedError
from django.urls import reverse
from django.utils.translation import override

from planning.lesson.points import LIBRARY, PARTS
from planning.models import PlannedSet, TeachingPoint
from planning.plan import evaluate
from planning.plan.inputs import PointInputs
from planning.selectors import set_inputs
from planning.sheets import back, pages
from planning.sheets.options import PrintOptions
from tests import factories as make
from tests.pages.days import words
from tests.records.browser import filled
from workshops import audit

pytestmark = pytest.mark.django_db


@pytest.fixture
def point():
    return TeachingPoint.objects.get(code="one-under")


def test_the_navigation_leads_to_the_points_and_says_where_one_is(office):
    link = f'<a href="{reverse("points")}"'
    assert f"{link}>Points</a>" in office.get(reverse("start")).content.decode()
    here = office.get(reverse("points")).content.decode()
    assert f'{link} aria-current="page">Points</a>' in here


@pytest.fixture
def taught(point):
    record = make.SetFactory(position=1, main_point=point, objective="")
    make.LightFactory(planned_set=record)
    return record


def saved(office, point, **typed):
    url = reverse("point", args=[point.pk])
    form = filled(office.get(url)) | typed
    form.pop("show", None)
    page = office.post(url, form)
    point.refresh_from_db()
    return page


def test_the_list_names_every_point_and_who_words_it(office, taught):
    shown = html.unescape(words(office.get(reverse("points"))))
    assert all(str(one) in shown for one in TeachingPoint.objects.all())
    assert shown.count("the library’s") == len(LIBRARY)


def test_saved_as_it_stands_a_point_keeps_nothing_of_its_own(office, point):
    assert saved(office, point).status_code == 302
    assert [getattr(point, part) for part in ("name", *PARTS)] == [""] * (1 + len(PARTS))


def test_a_changed_part_is_the_house_s_and_the_rest_stays_the_library_s(office, point):
    saved(office, point, task="Set {working}.\r\nSay it aloud.  \r\n")
    assert point.task == "Set {working}.\nSay it aloud."
    assert (point.demo, point.name) == ("", "")
    assert "ours: attendees' task" in html.unescape(words(office.get(reverse("points"))))


def test_a_tick_gives_a_part_back_to_the_library(office, point):
    saved(office, point, task="Ours.")
    saved(office, point, library_task="on")
    assert point.task == ""


def test_the_library_s_words_in_another_language_of_the_site_are_no_own_words(office, point):
    with override("es"):
        spanish = point.library_part("objective")
    saved(office, point, objective=spanish)
    assert point.objective == ""


@pytest.mark.parametrize("text", ["Set {workng}.", "half {working", "{}", "{{working}}"])
def test_brackets_that_name_no_figure_are_refused_with_the_names(office, point, text):
    page = saved(office, point, demo=text)
    assert page.status_code == 422
    said = words(page)
    assert "names no figure" in said
    assert "double_power" in said  # the list of names
    assert point.demo == ""
    assert text in page.content.decode()  # what was typed is still there


def test_the_record_itself_refuses_them_whoever_writes_it(point):
    point.faults = "Dark: {nearer}"
    with pytest.raises(ValidationError, match="names no figure"):
        audit.write(point, by=None)


def test_a_part_too_long_for_the_sheet_is_refused(office, point):
    page = saved(office, point, exercise="long " * 400)
    assert page.status_code == 422
    assert "more than the back of a sheet holds" in words(page)


def test_a_point_of_our_own_needs_a_name_and_an_objective(office):
    url = reverse("point-new")
    form = filled(office.get(url))
    assert office.post(url, form).status_code == 422
    page = office.post(url, form | {"name": "Fog", "objective": "Use the fog at {working}."})
    assert page.status_code == 302
    assert TeachingPoint.objects.get(name="Fog").code is None


def test_a_look_with_a_set_s_figures_saves_nothing(office, point, taught):
    url = reverse("point", args=[point.pk])
    form = filled(office.get(url)) | {
        "demo": "Look: {working} at {start}.",
        "with_set": str(taught.pk),
        "show": "1",
    }
    page = office.post(url, form)
    plan = evaluate(set_inputs(taught.pk))
    assert page.status_code == 200
    assert f"Look: {plan.exposure.working_mark} at " in words(page)
    point.refresh_from_db()
    assert point.demo == ""


def test_a_point_in_use_and_one_of_the_library_stay(office, point, taught):
    office.post(reverse("point-delete", args=[point.pk]))
    own = TeachingPoint.objects.create(name="Fog", objective="See it.")
    PlannedSet.objects.filter(pk=taught.pk).update(main_point=own)
    page = office.post(reverse("point-delete", args=[own.pk]), follow=True)
    assert "is used by" in words(page)
    assert TeachingPoint.objects.filter(pk__in=(point.pk, own.pk)).count() == 2
    with pytest.raises(ProtectedError):
        own.delete()
    PlannedSet.objects.filter(pk=taught.pk).update(main_point=None)
    office.post(reverse("point-delete", args=[own.pk]))
    assert not TeachingPoint.objects.filter(pk=own.pk).exists()


def test_a_hidden_point_is_offered_to_no_other_set(office, point, taught):
    saved(office, point, hidden="on")
    other = make.SetFactory(position=2, workshop=taught.workshop)
    name = f'value="{point.pk}"'

    def chooser(record):
        page = office.get(reverse("set", args=[record.pk])).content.decode()
        return re.search(r'<select name="main_point".*?</select>', page, re.DOTALL)[0]

    assert name in chooser(taught)
    assert name not in chooser(other)


def lesson_on_sheet(record) -> str:
    inputs = set_inputs(record.pk)
    options = PrintOptions()
    context = pages.back_page(evaluate(inputs), inputs, options, pages.ROOMS[0], pages.ROOMY_BACK)
    return " ".join(context["points"][0].demo)


def test_a_metered_reading_changes_the_lesson_on_page_and_sheet_at_once(office, taught):
    url = reverse("set", args=[taught.pk])
    before, sheet_before = words(office.get(url)), lesson_on_sheet(taught)
    assert "Nobody has metered the base yet" in before
    assert "expect about f/" in sheet_before
    make.ReadingFactory(planned_set=taught, at=taught.start_at, f_mark="5.6", tenths=0)
    after, sheet_after = words(office.get(url)), lesson_on_sheet(taught)
    base = evaluate(set_inputs(taught.pk)).exposure
    assert base.base_source == "metered"
    assert "Nobody has metered the base yet" not in after
    # The reading is f/5.6 at 1/125; the group works at 1/160, a third less: f/5 (ISO 2720 marks).
    assert "expect f/5 at 1/160" in sheet_after
    assert "expect f/5 at 1/160" in after
    assert f"set {base.working_mark}" in sheet_after
    assert sheet_after != sheet_before


def test_the_point_s_objective_stands_in_for_the_set_s_own(office, taught):
    page = words(office.get(reverse("set", args=[taught.pk])))
    assert "Read the backdrop without flash, work" in page


def test_two_points_are_warned_of_as_a_note(taught):
    assert "two-points" not in {one.code for one in evaluate(set_inputs(taught.pk)).cautions}
    taught.second_point = TeachingPoint.objects.get(code="depth")
    taught.save()
    found = {one.code: one.level for one in evaluate(set_inputs(taught.pk)).cautions}
    assert found["two-points"] == "note"


def test_the_command_tells_the_lesson_and_names_the_points(taught, house, capsys):
    call_command("set_plan", str(taught.pk))
    text = capsys.readouterr().out
    assert "LESSON  Base reading and one under" in text
    assert "Exercise for home: In the evening" in text
    call_command("set_plan", str(taught.pk), "--json")
    assert json.loads(capsys.readouterr().out)["points"] == ["one-under"]


def test_the_inputs_carry_the_house_s_words_only(taught):
    # The revision is a hash over the inputs: it must not change with the reader's language.
    assert set_inputs(taught.pk).points == (PointInputs("one-under"),)
    with override("es"):
        assert set_inputs(taught.pk).points == (PointInputs("one-under"),)


def test_common_faults_make_way_for_those_of_the_point(taught):
    inputs = set_inputs(taught.pk)
    plan, say = evaluate(inputs), PrintOptions().figures("Europe/London")
    taught_lines = back.number_lines(plan, inputs, say, taught=True)
    assert not any(line.startswith("Flash off") for line in taught_lines)
    assert back.number_lines(plan, inputs, say)[0].startswith("Flash off")
