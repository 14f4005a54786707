"""The clock page ticks by the server's time, whatever the device's own clock says."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from workshops.models import Workshop

pytestmark = pytest.mark.usefixtures("full_site")

# Five hours fast, and then seven seconds more, as after a sleep of the device.
WRONG = "const own = Date.now; window.off = 5 * 3600e3; Date.now = () => own() + window.off;"
SHOWS = "near => near.includes(document.getElementById('face').textContent)"


def test_a_device_with_a_wrong_clock_shows_the_right_time(open_as):
    workshop = Workshop.objects.order_by("pk").first()
    page = open_as(timezone_id="Asia/Tokyo")
    page.add_init_script(WRONG)
    page.goto(f"/workshops/{workshop.pk}/clock/")
    for jump_ms in (0, 7000):
        page.evaluate(f"window.off += {jump_ms}")
        right = datetime.now(UTC).astimezone(ZoneInfo(workshop.timezone_name))
        # Seven seconds out would be past the last of these.
        near = [f"{right + timedelta(seconds=later):%H:%M:%S}" for later in range(5)]
        page.wait_for_function(SHOWS, arg=near, timeout=4000)
        assert page.locator("#face-date").inner_text() == f"{right:%Y-%m-%d}"


def test_without_scripts_the_page_loads_itself_again(open_as):
    page = open_as(java_script_enabled=False)
    page.goto(f"/workshops/{Workshop.objects.order_by('pk').first().pk}/clock/")
    before = page.locator("#face").inner_text()
    with page.expect_navigation():
        pass
    assert page.locator("#face").inner_text() != before
