"""What the demo's papers say, read off the print, beside the plan: marks, distances, clock times.

The plan's marks come from ``set_plan``'s own object; distances are read back from the paper and
times put on the clock by the standard library, so that none of our printing words tests itself.
"""

import io
import re
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from django.db import transaction
from django.utils import translation
from pypdf import PdfReader

from planning import demo
from planning.day_papers import day_sheets
from planning.handouts import handouts
from planning.plan import evaluate
from planning.plan.result import SetPlan
from planning.printing import sheet_of
from planning.selectors import set_inputs
from planning.sheets.day import day_pdf
from planning.sheets.handout import handout_pdf, lesson_sides
from planning.sheets.options import print_options
from planning.sheets.pdf import write
from workshops.models import House, Workshop

pytestmark = pytest.mark.django_db

METRIC = {"units": "metric", "clock": "24", "paper": "a4"}
IMPERIAL = {"units": "imperial", "clock": "12", "paper": "letter"}
METRES_AN_INCH = 0.0254  # NIST SP 811


@dataclass(frozen=True)
class Papers:
    """What a house with these rules printed of its whole demo, as text."""

    rules: dict
    plans: dict[int, SetPlan]  # by the set's number
    set_sheets: dict[int, str]
    handouts: dict[int, str]  # by the workshop's number
    day_sheets: dict[int, str]
    sets: dict[int, list[int]]  # of each workshop
    zones: dict[int, str]


def text_of(content: bytes) -> str:
    pages = (page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
    return re.sub(r"\s+", " ", " ".join(pages))


def papers(rules: dict) -> Papers:
    House.objects.update(**rules)
    house = House.objects.get()
    options = print_options(house)
    rows = Papers(rules, {}, {}, {}, {}, {}, {})
    # A day that ran says what was locked, not what was planned (tests/pages/test_recipe.py).
    for workshop in Workshop.objects.exclude(sets__events__kind="recipe locked").order_by("pk"):
        pks = [one.pk for one in workshop.sets.order_by("position")]
        rows.sets[workshop.pk], rows.zones[workshop.pk] = pks, workshop.timezone_name
        for pk in pks:
            rows.plans[pk] = evaluate(set_inputs(pk))
            rows.set_sheets[pk] = text_of(write([sheet_of(pk, options).laid_out], options))
        with translation.override(house.language):
            ready, days = handouts(workshop), day_sheets(workshop, house)
        mine = next(iter(ready.mine.values()))
        lessons = lesson_sides(ready.day, options)
        rows.handouts[workshop.pk] = text_of(handout_pdf(mine, ready.day, options, lessons))
        rows.day_sheets[workshop.pk] = text_of(day_pdf(days, options))
    return rows


@pytest.fixture(scope="module")
def both(django_db_setup, django_db_blocker, tmp_path_factory) -> dict[str, Papers]:
    """The papers of the same demo under both kinds of rules."""
    folder = tmp_path_factory.mktemp("demo")
    with django_db_blocker.unblock(), transaction.atomic():
        demo.build(log_ins=folder / "log-ins.txt", report=lambda part: None)
        made = {rules["units"]: papers(rules) for rules in (METRIC, IMPERIAL)}
        transaction.set_rollback(True)
    return made


@pytest.fixture(params=[METRIC, IMPERIAL], ids=["metric, 24 h", "imperial, 12 h"])
def printed(request, both) -> Papers:
    return both[request.param["units"]]


def on_the_clock(at: datetime, zone: str, hours: str) -> str:
    local = at.astimezone(ZoneInfo(zone))
    if hours == "24":
        return local.strftime("%H:%M")
    return local.strftime("%I:%M %p").lstrip("0").lower()


def lengths_m(text: str, units: str) -> list[float]:
    """Return every length a text says, in metres."""
    if units == "metric":
        return [float(found) for found in re.findall(r"(\d+(?:\.\d+)?) m\b(?!/)", text)]
    feet = re.findall(r"(\d+) ft(?: (\d+) in)?", text)
    return [(int(a) * 12 + int(b or 0)) * METRES_AN_INCH for a, b in feet]


def camera(plan: SetPlan) -> tuple[str, str, str]:
    exposure = plan.exposure
    start = next(step.mark for step in exposure.ladder if step.shutter_s == exposure.start_s)
    return exposure.working_mark, start, f"ISO {exposure.iso:.0f}"


def test_every_set_sheet_and_day_sheet_says_the_camera_line_as_planned(printed):
    for workshop, pks in printed.sets.items():
        for pk in pks:
            line = " ".join(camera(printed.plans[pk]))
            assert line in printed.set_sheets[pk], pk
            assert line in printed.day_sheets[workshop], pk
            assert line in printed.handouts[workshop], pk


def test_the_power_of_every_lamp_stands_on_sheet_and_handout(printed):
    for workshop, pks in printed.sets.items():
        for light in (light for pk in pks for light in printed.plans[pk].lights):
            assert light.power_mark in printed.handouts[workshop], light.name
        for pk in pks:
            for light in printed.plans[pk].lights:
                assert light.power_mark in printed.set_sheets[pk], light.name


def test_the_whole_ladder_stands_on_the_set_sheet(printed):
    for pk, plan in printed.plans.items():
        for step in plan.exposure.ladder:
            if step.hand_held:
                assert step.mark in printed.set_sheets[pk], (pk, step.mark)


def test_every_distance_reads_back_in_the_units_of_the_house(printed):
    units = printed.rules["units"]
    within_m = {"metric": 0.05, "imperial": METRES_AN_INCH / 2}[units] + 1e-9
    for workshop, pks in printed.sets.items():
        for pk in pks:
            for text in (printed.set_sheets[pk], printed.handouts[workshop]):
                said = lengths_m(text, units)
                for light in printed.plans[pk].lights:
                    nearest = min(abs(one - light.distance_m) for one in said)
                    assert nearest <= within_m, (pk, light.name, light.distance_m)


def test_the_times_of_every_set_are_on_the_clock_of_its_place(printed):
    hours = printed.rules["clock"]
    for workshop, pks in printed.sets.items():
        zone = printed.zones[workshop]
        for pk in pks:
            for at in (printed.plans[pk].set.start_at, printed.plans[pk].set.end_at):
                said = on_the_clock(at, zone, hours)
                for text in (printed.set_sheets[pk], printed.day_sheets[workshop]):
                    assert said in text, (pk, said)
                assert said in printed.handouts[workshop], (pk, said)


def test_no_paper_mixes_clocks_or_units(printed):
    texts = (*printed.set_sheets.values(), *printed.handouts.values(), *printed.day_sheets.values())
    other = {
        "metric": r"\d (?:ft|lb|lbf|mph)\b|\d°F|\d (?:am|pm)\b",
        "imperial": r"\d (?:m/s|kg|N|°C)\b|\b(?:1[3-9]|2[0-3]):[0-5]\d\b(?! ?(?:am|pm))",
    }[printed.rules["units"]]
    mixed = [
        text[max(0, found.start() - 60) : found.end() + 20]
        for text in texts
        for found in re.finditer(other, text)
    ]
    assert not mixed
