"""The keyboard alone is enough, from the log-in page to a saved set."""

import pytest

from planning.models import PlannedSet
from workshops.models import User

pytestmark = pytest.mark.usefixtures("full_site")

FOCUS = """() => {
  const one = document.activeElement, style = getComputedStyle(one);
  return {
    name: one.name || one.id || one.textContent.trim().slice(0, 40) || one.tagName,
    tag: one.tagName,
    seen: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
    place: [...document.querySelectorAll("*")].indexOf(one),
  };
}"""
# Everything a person can do on a page: what the keyboard must reach.
CONTROLS = """() => {
  const all = [...document.querySelectorAll("*")];
  return all.filter((one) =>
    one.matches("a[href], button, input:not([type=hidden]), select, textarea, summary")
    && !one.disabled && one.checkVisibility()
    && !one.closest(`details:not([open]) > :not(summary)`)).map((one) => all.indexOf(one));
}"""
MOST = 400  # keys before we say that the way never ends


def all_of_it(page):
    return page.evaluate("[...document.querySelectorAll('*')].map((one) => one.outerHTML)")


def press_on(page, key="Tab"):
    page.keyboard.press(key)
    return page.evaluate(FOCUS)


def tab_to(page, name):
    """Go on with the Tab key until the control of that name, or that link or button, has focus."""
    for _key in range(MOST):
        if press_on(page)["name"] == name:
            return
    raise AssertionError(f"the keyboard never reaches {name}")


def test_from_the_log_in_page_to_a_saved_set(open_as):
    office = User.objects.get(email="office@example.org")
    office.set_password("a lamp beside the wall")
    office.save()
    planned = PlannedSet.objects.order_by("pk").first()
    page = open_as(None)
    page.goto(f"/sets/{planned.pk}/")
    tab_to(page, "username")
    page.keyboard.type(office.email)
    assert press_on(page)["name"] == "password"
    page.keyboard.type("a lamp beside the wall")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert page.url.endswith(f"/sets/{planned.pk}/")
    assert "log-in" not in page.url
    tab_to(page, "title")
    page.keyboard.press("ControlOrMeta+A")
    page.keyboard.type("Typed without a mouse")
    tab_to(page, "Save the set")
    page.keyboard.press("Enter")
    page.get_by_role("status").filter(has_text="is saved.").wait_for()
    planned.refresh_from_db()
    assert planned.title == "Typed without a mouse"


@pytest.mark.parametrize("path", ["/sets/1/", "/house/", "/workshops/1/", "/kit/"])
def test_the_keyboard_reaches_everything_in_the_order_it_stands_and_shows_where(open_as, path):
    page = open_as()
    page.goto(path)
    wanted, stops = page.evaluate(CONTROLS), []
    # After the page's last control the focus leaves it; a time has several stops in one field.
    while len(stops) < MOST and (stop := press_on(page))["tag"] != "BODY":
        stops.append(stop)
    places = [stop["place"] for stop in stops]
    missed = [all_of_it(page)[place] for place in sorted(set(wanted) - set(places))]
    assert missed == []
    assert places == sorted(places)
    # The button inside a field for dates is the browser's own, and so is the ring around it.
    shown = {stop["place"] for stop in stops if stop["seen"]}
    assert [stop["name"] for stop in stops if stop["place"] not in shown] == []


def test_the_skip_link_leads_past_the_navigation(open_as):
    page = open_as()
    page.goto("/workshops/")
    assert press_on(page)["name"] == "To the content"
    assert page.locator(".skip").bounding_box()["x"] >= 0
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    press_on(page)
    assert page.evaluate("document.activeElement.closest('main') !== null")


def test_folded_parts_open_and_close_by_enter(open_as):
    page = open_as()
    page.goto("/sets/1/")
    folded = page.locator("form details:not([open]) > summary").first.element_handle()
    folded.focus()
    for key in ("Enter", "Enter", "Space"):
        was_open = folded.evaluate("one => one.parentElement.open")
        page.keyboard.press(key)
        assert folded.evaluate("one => one.parentElement.open") is not was_open
