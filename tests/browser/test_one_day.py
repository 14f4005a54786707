"""One day on a phone without scripts, from the first flash of a set to the workshop closed."""

from datetime import timedelta

import pytest
from django.utils import timezone

from planning.models import PlannedSet, TallyEvent
from planning.selectors.tally import set_tallies
from tests.browser.test_after_the_day import answers, opens_certificate
from tests.browser.test_one_workshop import PHONE, go, press
from workshops.models import Workshop

pytestmark = pytest.mark.usefixtures("full_site")

SMALLEST_PX = 44  # of a thing to press (WCAG 2.2, 2.5.5)


@pytest.fixture
def running():
    """The first set of the demo's first day, begun half an hour ago, nothing noted yet."""
    planned = PlannedSet.objects.order_by("pk").first()
    move(planned.workshop, timezone.now() - timedelta(minutes=30) - planned.start_at)
    TallyEvent.objects.filter(planned_set__workshop=planned.workshop).delete()
    return PlannedSet.objects.select_related("workshop").get(pk=planned.pk)


def move(workshop, by):
    for one in (*workshop.sets.all(), workshop):
        times = {name: getattr(one, name) + by for name in ("start_at", "end_at")}
        type(one).objects.filter(pk=one.pk).update(**times)


def part(page, heading):
    return page.locator("section", has=page.get_by_role("heading", name=heading))


def noted(page, words):
    told = page.get_by_role("status").inner_text().replace("\N{NO-BREAK SPACE}", " ")
    assert told.startswith("Noted: ")
    assert words in told


def test_one_set_from_its_first_flash_to_its_last_pack(open_as, running):
    page = open_as("ines@example.org", java_script_enabled=False, **PHONE)
    light = running.lights.order_by("position").first().name
    attendee = running.workshop.bookings.live().order_by("booked_at").first().person.name
    tally = f"/sets/{running.pk}/tally/"

    go(page, f"/sets/{running.pk}/turns/")
    with page.expect_navigation():
        page.get_by_role("link", name="Tally", exact=True).first.click()
    for button in page.locator("main button").all():
        if box := button.bounding_box():
            assert box["height"] >= SMALLEST_PX, button.inner_text()
    press(page, "Began now")
    noted(page, "the set began")

    # The first flash, and what it draws on.
    key = part(page, f"{light} Head 600")
    key.get_by_label("Flashes").fill("1")
    press(page, f"So many more {light}")
    noted(page, f"{light}: 1 flash")
    key.get_by_label("Pack put in").select_option(label="B95-1 · Pack 95")
    key.get_by_label("It shows").last.fill("4/4")
    press(page, f"Put in {light}")
    noted(page, f"B95-1 into {light}, 4 of 4 lamps")

    # A turn, and a lamp that did not fire in it.
    go(page, f"/sets/{running.pk}/turns/")
    press(page, f"Turn given {page.locator('.now .who').first.inner_text()}")
    go(page, tally)
    misfire = part(page, "A lamp did not fire")
    misfire.get_by_label("Who shot").select_option(label=attendee)
    misfire.get_by_label("Trigger").select_option(label="T2")
    misfire.get_by_label("Cause").select_option(label="empty cell in the trigger")
    press(page, "Note the misfire")
    noted(page, f"{attendee} · T2 · empty cell in the trigger")

    # What cannot be is told at its box, and nothing is noted.
    wind = part(page, "Wind and sky")
    wind.get_by_label("Gust (m/s)").fill("strong")
    press(page, "Note the gust")
    assert "Enter a number" in part(page, "Wind and sky").inner_text()
    part(page, "Wind and sky").get_by_label("Gust (m/s)").fill("8,5")
    press(page, "Note the gust")
    noted(page, "gust 8.5 m/s")
    press(page, "overcast")
    part(page, "Frames").get_by_label("Frames").first.fill("17")
    press(page, f"So many more {attendee}")
    noted(page, f"{attendee}: 17 frames")

    # One pack for another; a slip taken back; the end.
    part(page, f"{light} Head 600").get_by_text("Change the pack").click()
    key.get_by_label("Pack put in").select_option(label="B95-2 · Pack 95")
    key.get_by_label("It shows").last.fill("98")
    key.get_by_label("The one that comes out shows").fill("1/4")
    press(page, f"Put in {light}")
    noted(page, f"B95-2 into {light}, 98")
    key.get_by_label("Flashes").fill("720")
    press(page, f"So many in all {light}")
    with page.expect_navigation():
        page.locator("#noted ~ ul li").first.get_by_role("button").click()
    assert "Taken back" in page.get_by_role("status").inner_text()
    key.get_by_label("Flashes").fill("72")
    press(page, f"So many in all {light}")
    press(page, "Ended now")
    key.get_by_label("It shows").first.fill("80 %")
    press(page, "Out now B95-2")
    noted(page, f"B95-2 out of {light}, 80")

    tallied = next(one for one in set_tallies(running.workshop) if one.set_id == running.pk)
    head = tallied.heads[0]
    assert (head.flashes, tallied.began_at is None, tallied.ended_at is None) == (72, False, False)
    assert [(use.tag, round(use.used_share, 2)) for use in head.packs] == [
        ("B95-1", 0.75), ("B95-2", 0.18),
    ]  # fmt: skip
    assert [one.cause for one in tallied.misfires] == ["cell"]
    assert (tallied.gusts_m_s[0][1], tallied.skies[0][1]) == (8.5, "overcast")

    go(page, f"/workshops/{Workshop.objects.get(pk=running.workshop_id).pk}/tally/")
    shown = page.locator("main").inner_text()
    for told in ("72", "B95-1", "100\N{NO-BREAK SPACE}% → 25\N{NO-BREAK SPACE}%"):
        assert told in shown
    move(running.workshop, -timedelta(days=1))
    closed_and_answered(open_as, page, running.workshop)


def closed_and_answered(open_as, page, workshop):
    """The day after: who was here, what stays open and why, and what an attendee says of it."""
    go(page, f"/workshops/{workshop.pk}/here/")
    for here in page.get_by_label("here", exact=True).all():
        here.check()
    press(page, "Save who is here")

    office = open_as(java_script_enabled=False, **PHONE)
    go(office, f"/workshops/{workshop.pk}/edit/")
    office.get_by_label("Status").select_option(label="has run")
    press(office, "Save")
    go(office, f"/workshops/{workshop.pk}/close/")
    shown = office.locator("main").inner_text()
    assert "The day: fine." in shown
    assert "Who came: fine." in shown
    sets = workshop.sets.count()
    assert f"Tally: {sets} open" in shown
    assert "things are open: mend each" in press(office, "Close it with these reasons")
    for reason in office.get_by_label("Why it is closed all the same").all():
        reason.fill("Rain: broken off")
    assert "Closed on" in press(office, "Close it with these reasons")

    booking = workshop.bookings.get(person__name="Abel Finch")
    theirs = open_as(None, java_script_enabled=False, **PHONE)
    answers(theirs, booking, "An empty cell stops the whole set.")
    opens_certificate(theirs, booking)
    go(page, f"/workshops/{workshop.pk}/feedback/")
    assert "An empty cell stops the whole set." in page.locator("main").inner_text()
    go(page, f"/sets/{workshop.sets.first().pk}/tally/")
    assert "Nothing is noted, booked or changed here any more" in page.locator("main").inner_text()
    assert page.locator("main button").count() == 0
