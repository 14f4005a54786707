"""A press where there is no signal: told at the button, what was typed stays, and counts once."""

import pytest

from planning.models import TallyEvent
from tests.browser.test_one_day import part, running  # noqa: F401  a fixture
from tests.browser.test_one_workshop import PHONE, go

pytestmark = pytest.mark.usefixtures("full_site")


def test_without_signal_a_press_is_told_to_be_lost_and_its_figure_stays(open_as, running):  # noqa: F811
    page = open_as("ines@example.org", **PHONE)
    light = running.lights.order_by("position").first().name
    go(page, f"/sets/{running.pk}/tally/")
    lamp = part(page, f"{light} Head 600")
    press = lamp.get_by_role("button", name=f"So many more {light}")
    assert not page.locator("#no-signal").is_visible()

    page.context.set_offline(True)
    lamp.get_by_label("Flashes").fill("37")
    press.click()
    page.locator("#no-signal").wait_for(state="visible")
    assert "this is not noted yet" in lamp.inner_text()  # beside the button, not elsewhere
    assert lamp.get_by_label("Flashes").input_value() == "37"
    assert not TallyEvent.objects.filter(planned_set=running, kind="flashes").exists()

    page.context.set_offline(False)
    with page.expect_navigation():
        press.click()
    assert f"Noted: {light}: 37 flashes." in page.get_by_role("status").inner_text()
    assert TallyEvent.objects.get(planned_set=running, kind="flashes").count == 37
