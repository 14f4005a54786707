"""The plan beside the form follows what is typed, and nothing is saved before the button."""

import pytest
from playwright.sync_api import expect

from planning.models import PlannedSet
from workshops.models import AuditEntry

pytestmark = pytest.mark.usefixtures("full_site")


@pytest.fixture
def planned():
    return PlannedSet.objects.order_by("pk").first()


@pytest.fixture
def page(open_as, planned):
    opened = open_as()
    opened.goto(f"/sets/{planned.pk}/")
    return opened


def recipe(page):
    return page.locator("#plan .recipe").inner_text()


def test_another_number_of_stops_changes_the_plan_and_saves_nothing(page, planned):
    before, entries = recipe(page), AuditEntry.objects.count()
    page.locator("#id_stops_under").fill("2.5")
    expect(page.locator("#plan-told")).to_contain_text("Not saved yet")
    expect(page.locator("#plan h2").first).to_contain_text("not saved yet")
    assert recipe(page) != before
    told = page.locator("#plan-told").inner_text()
    assert recipe(page).split()[0] in told
    # The field that is being typed in keeps the focus.
    assert page.evaluate("document.activeElement.id") == "id_stops_under"
    page.reload()
    assert recipe(page) == before
    assert AuditEntry.objects.count() == entries


def test_a_figure_nobody_can_use_is_named_and_the_plan_comes_back_with_a_good_one(page):
    page.locator("#id_stops_under").fill("abc")
    expect(page.locator("#plan")).to_contain_text("The form waits for:")
    expect(page.locator("#plan li").first).to_contain_text("Backdrop under by")
    expect(page.locator("#plan-told")).to_contain_text("No plan")
    page.locator("#id_stops_under").fill("2")
    expect(page.locator("#plan .recipe")).to_be_visible()


def test_of_two_quick_changes_the_last_one_stands(page):
    """The first answer is held back until the second is there, as a slow line would."""
    field, shown = page.locator("#id_stops_under"), page.locator("#plan .recipe")
    field.fill("1.5")
    expect(page.locator("#plan h2").first).to_contain_text("not saved yet")
    last = recipe(page)
    field.fill("2")
    expect(shown).not_to_have_text(last)
    held = []

    def slow(route):
        held.append(route)
        if len(held) == 2:
            route.continue_()
            held[0].continue_()
        elif len(held) > 2:  # what is typed is sent once more when the typing has paused
            route.continue_()

    page.route("**/plan/", slow)
    field.fill("3")
    field.dispatch_event("change")
    field.fill("1.5")
    with page.expect_event("requestfailed"):  # the page no longer waits for the first
        field.dispatch_event("change")
    expect(shown).to_have_text(last)
    page.unroute("**/plan/", slow)
    field.fill("3")
    expect(shown).not_to_have_text(last)
    field.fill("1.5")
    expect(shown).to_have_text(last)


def test_the_button_saves_what_was_tried(page, planned):
    page.locator("#id_stops_under").fill("2.5")
    expect(page.locator("#plan-told")).to_contain_text("Not saved yet")
    tried = recipe(page)
    page.get_by_role("button", name="Save the set").click()
    expect(page.get_by_role("status").filter(has_text="is saved.")).to_be_visible()
    assert recipe(page) == tried
    planned.refresh_from_db()
    assert planned.stops_under == 2.5


def test_a_new_set_is_planned_before_it_is_saved(open_as):
    page = open_as()
    page.goto("/workshops/1/sets/new/")
    waiting = page.locator("#plan").inner_text()
    page.locator("#id_title").fill("Boathouse door")
    expect(page.locator("#plan-told")).not_to_be_empty()
    assert page.locator("#plan").inner_text() != waiting
    assert not PlannedSet.objects.filter(title="Boathouse door").exists()
