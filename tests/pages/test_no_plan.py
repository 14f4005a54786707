"""Why there is no plan, as a page says it: labels of the form, never the names of the code."""

import re
from dataclasses import replace
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from planning.day_papers import day_sheets
from planning.figures import Figures
from planning.physics.errors import OutOfRange
from planning.plan import evaluate
from planning.plan.inputs import BatteryInputs
from planning.refused import in_words
from tests import factories as make
from tests.pages.days import coming
from tests.planning.day import CAMERA, END, OCTA, SET, START

CODE = re.compile(r"[a-z]+_[a-z]+")


def refused(**changes) -> OutOfRange:
    with pytest.raises(OutOfRange) as refusal:
        evaluate(replace(SET, **changes))
    return refusal.value


NIGHT = {
    "readings": (),
    "start_at": START.replace(month=12, hour=22),
    "end_at": END.replace(month=12, hour=23),
}


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        (NIGHT, "Start: the sun stands"),
        ({"end_at": START}, "End: the set ends before it starts: enter a later end"),
        ({"slowest_hand_held_s": 0.0}, "Slowest hand-held shutter: 0 must be above 0"),
        ({"rig_min": -1.0}, "Rigging (minutes): -1 is below 0"),
        ({"lights": (replace(OCTA, angle_deg=180.0),)}, "octa, Angle (degrees): at 180°"),
        ({"lights": (replace(OCTA, distance_m=0.2),)}, "octa, Distance (m): a cord of"),
        ({"lights": (replace(OCTA, leg_radius_m=0.0),)}, "octa, Leg radius (m): is not known"),
        (
            {"lights": (replace(OCTA, battery=BatteryInputs("P", 97.0, health_share=0.0)),)},
            "P, ",
        ),
        ({"camera": replace(CAMERA, fastest_shutter_s=0.0)}, "Fastest shutter: 0 must be above"),
        (
            {"forecast": replace(SET.forecast, gust_m_s=1.0, wind_m_s=3.0)},
            "Gust (m/s): a gust of 1",
        ),
    ],
)
def test_a_page_names_the_forms_label_and_no_name_of_the_code(changes, told):
    sentence = in_words(refused(**changes), Figures(timezone="Europe/London"))
    assert told in sentence
    assert not CODE.search(sentence)


def test_figures_come_in_the_houses_units():
    short = refused(lights=(replace(OCTA, distance_m=0.2),))
    assert "8\N{NO-BREAK SPACE}in" in in_words(short, Figures(units="imperial"))
    assert "distance_m: a cord of 0.2 m does not reach" in str(short)  # what the command says


def test_what_a_formula_itself_refuses_is_said_by_label_too():
    told = in_words(OutOfRange("focal_mm must be above 0, not nan"), Figures())
    assert told == "Focal length (mm) must be above 0, not nan"
    assert in_words(OutOfRange("no_such_thing must be"), Figures()) == "no_such_thing must be"


@pytest.mark.django_db
def test_the_pages_of_a_set_and_the_suggested_kit_name_what_to_change(office):
    workshop = coming()
    midnight = (timezone.now() + timedelta(days=300)).replace(month=12, day=21, hour=23, minute=30)
    light = make.LightFactory(
        planned_set__workshop=workshop,
        planned_set__start_at=midnight,
        planned_set__end_at=midnight + timedelta(hours=1),
    )
    for page in (
        reverse("set", args=[light.planned_set_id]),
        reverse("sets", args=[workshop.pk]),
        reverse("suggested-kit", args=[workshop.pk]),
    ):
        shown = office.get(page).content.decode()
        assert "Start: the sun stands" in shown
        assert "start_at:" not in shown
    sheet = office.get(reverse("set-sheet", args=[light.planned_set_id]), follow=True)
    assert "is not printed: Start: the sun stands" in sheet.content.decode()


@pytest.mark.django_db
def test_a_set_without_a_plan_shows_its_flash_readings_all_the_same(office):
    light = make.LightFactory(planned_set__workshop=coming(), distance_m=0.2)
    make.FlashReadingFactory(planned_set=light.planned_set, light_name=light.name)
    shown = office.get(reverse("set", args=[light.planned_set_id]))
    assert shown.status_code == 200
    assert f"{light.name} 1/4 2.0\N{NO-BREAK SPACE}m" in shown.content.decode()


@pytest.mark.django_db
def test_every_paper_and_page_of_a_house_in_feet_says_why_not_in_feet(office, house):
    house.units = "imperial"
    house.save()
    light = make.LightFactory(planned_set__workshop=coming(), distance_m=0.2)
    planned = light.planned_set
    for page in (
        reverse("set", args=[planned.pk]),
        reverse("set-turns", args=[planned.pk]),
        reverse("set-sheet", args=[planned.pk]),
        reverse("set-tally", args=[planned.pk]),
        reverse("workshop-tally", args=[planned.workshop_id]),
    ):
        shown = office.get(page, follow=True).content.decode()
        assert "a cord of 8\N{NO-BREAK SPACE}in does not reach" in shown, page
        assert "0.2\N{NO-BREAK SPACE}m" not in shown, page
    told = str(day_sheets(planned.workshop, house))
    assert "a cord of 8\\xa0in does not reach" in told
