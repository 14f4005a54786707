"""A meter reading typed on a phone in the field: plan, sheet and lesson follow at once."""

from datetime import timedelta
from io import BytesIO

import pytest
from django.utils import timezone
from pypdf import PdfReader

from planning.models import PlannedSet, Reading
from planning.physics.exposure import f_mark
from planning.plan import evaluate
from planning.selectors import set_inputs
from tests import factories as make
from tests.browser.looks import WIDER
from tests.browser.test_one_workshop import PHONE
from workshops.models import User

pytestmark = pytest.mark.usefixtures("full_site")

THUMB_PX = 44  # the least side of what a thumb must hit: WCAG 2.2, 2.5.5


@pytest.fixture
def planned() -> PlannedSet:
    """A set that runs now, where it is noon at this hour of the day: there is always daylight."""
    now = timezone.now().replace(second=0, microsecond=0)
    east_h = 12 - now.hour
    place = make.LocationFactory(
        name="Noon wall",
        latitude_deg=20.0,
        longitude_deg=15.0 * east_h,
        timezone_name=f"Etc/GMT{-east_h:+d}" if east_h else "Etc/GMT",
        declination_deg=None,
    )
    instructor = User.objects.get(role="instructor")
    times = {"start_at": now - timedelta(minutes=10), "end_at": now + timedelta(minutes=65)}
    workshop = make.WorkshopFactory(
        title="Noon light", timezone_name=place.timezone_name, status="confirmed", **times
    )
    make.RoleFactory(workshop=workshop, role="lead", person=instructor.person)
    light = make.LightFactory(
        planned_set__workshop=workshop,
        planned_set__location=place,
        planned_set__title="Noon set",
        **{f"planned_set__{name}": at for name, at in times.items()},
    )
    return light.planned_set


def text_of(page, place) -> str:
    answer = page.request.get(place)
    assert answer.ok
    sheet = PdfReader(BytesIO(answer.body()))
    return " ".join(" ".join(one.extract_text() for one in sheet.pages).split())


def tap(page, target) -> None:
    """Tap, and wait for the page that comes of it; none is wider than the phone."""
    with page.expect_navigation():
        target.tap()
    assert page.evaluate(WIDER) == ""


def words(locator) -> str:
    return " ".join(locator.inner_text().split())


def test_a_reading_typed_with_one_thumb_moves_plan_sheet_and_lesson(open_as, planned):
    page = open_as(User.objects.get(role="instructor").email, **PHONE)
    before = evaluate(set_inputs(planned.pk))
    assert before.exposure.base_source == "estimate"

    page.goto("/")
    assert page.evaluate(WIDER) == ""
    way = page.get_by_role("link", name="Type a reading").first
    assert way.bounding_box()["height"] >= THUMB_PX
    tap(page, way)
    # Everything but the figure itself stands there already.
    assert page.locator("#id_plane").input_value() == "backdrop"
    assert page.locator("#id_at").input_value()[:10]
    assert page.locator("#id_shutter_s").input_value() == "1/160"
    assert page.locator("#id_iso").input_value() == "100"

    # A slip of the thumb: told at its field, nothing lost.
    page.locator("#id_f_mark").fill("1l")
    page.locator("#id_tenths").select_option("3")
    tap(page, page.get_by_role("button", name="Save the reading"))
    assert "enter it like f/11 or 11" in page.locator("main").inner_text()
    assert page.locator("#id_f_mark").input_value() == "1l"
    assert page.locator("#id_tenths").input_value() == "3"
    assert not Reading.objects.filter(planned_set=planned).exists()

    page.locator("#id_f_mark").fill("11")
    tap(page, page.get_by_role("button", name="Save the reading"))
    assert page.url.endswith(f"/sets/{planned.pk}/")
    after = evaluate(set_inputs(planned.pk))
    # f/11 and three tenths is 2^3.5 x 2^0.15 = f/12.55 (ISO 2720): the third next to it is f/13.
    assert (after.exposure.base_source, after.exposure.base_f_number) == ("metered", 2 ** (22 / 6))
    told = words(page.locator("main"))
    assert "it is f/13, metered" in told
    assert f"Work at {after.exposure.working_mark} 1/160 ISO 100; it was" in told
    assert before.exposure.working_mark in told
    shown = page.locator("#plan").inner_text()
    assert after.exposure.working_mark in shown
    sheet = text_of(page, f"/sets/{planned.pk}/sheet.pdf")
    for mark in (after.exposure.working_mark, after.lights[0].power_mark):
        assert mark in sheet
    page.goto("/")
    assert "base f/13 metered" in words(page.locator(".today"))

    # Taken back, the estimate stands again.
    page.goto(f"/sets/{planned.pk}/")
    tap(page, page.locator("section[aria-labelledby=readings]").get_by_role("link", name="Delete"))
    tap(page, page.locator("main").get_by_role("button", name="Delete"))
    mark = f_mark(before.exposure.base_f_number)
    assert f"it is {mark}, by estimate" in words(page.locator("main"))
    assert evaluate(set_inputs(planned.pk)).exposure == before.exposure
