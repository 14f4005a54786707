"""The clock page ticks by the server's time, whatever the device's own clock says."""

import pytest

from workshops.models import Workshop

pytestmark = pytest.mark.usefixtures("full_site")

# Five hours fast, and then seven seconds more, as after a sleep of the device.
WRONG = "const own = Date.now; window.off = 5 * 3600e3; Date.now = () => own() + window.off;"
# What the page shows is the time of the place, at most two seconds off: seven would be found.
SHOWS = """zone => {
  const words = (id) => document.getElementById(id).textContent;
  const shown = words("face-date") + " " + words("face");
  const clock = new Intl.DateTimeFormat("sv-SE", {
    timeZone: zone, dateStyle: "short", timeStyle: "medium" });
  const right = Date.now() - window.off;
  return [-2, -1, 0, 1, 2].some((s) => clock.format(right + s * 1000) === shown);
}"""


def test_a_device_with_a_wrong_clock_shows_the_right_time(open_as):
    workshop = Workshop.objects.order_by("pk").first()
    page = open_as(timezone_id="Asia/Tokyo")
    page.add_init_script(WRONG)
    page.goto(f"/workshops/{workshop.pk}/clock/")
    for jump_ms in (0, 7000):
        page.evaluate(f"window.off += {jump_ms}")
        page.wait_for_function(SHOWS, arg=workshop.timezone_name)


def test_without_scripts_the_page_loads_itself_again(open_as):
    page = open_as(java_script_enabled=False)
    page.goto(f"/workshops/{Workshop.objects.order_by('pk').first().pk}/clock/")
    before = page.locator("#face").inner_text()
    with page.expect_navigation():
        pass
    assert page.locator("#face").inner_text() != before
