"""A browser without scripts does everything the others do, one page after another."""

import pytest

from planning.models import PlannedSet, Reading
from workshops.models import Booking, Location, Person, Workshop

pytestmark = pytest.mark.usefixtures("full_site")


@pytest.fixture
def page(open_as):
    return open_as(java_script_enabled=False)


def save(page, words="Save"):
    with page.expect_navigation():
        page.locator("main").get_by_role("button", name=words, exact=True).click()
    return page.locator("main").inner_text()


def test_a_location_is_made_and_its_zone_found(page):
    page.goto("/locations/new/")
    page.get_by_label("Name").first.fill("Harbour wall")
    page.locator("#id_coordinates").fill("50.2660 N 5.0527 W")
    save(page)
    made = Location.objects.get(name="Harbour wall")
    assert (made.latitude_deg, made.longitude_deg) == (50.266, -5.0527)
    assert made.timezone_name == "Europe/London"
    assert page.url.endswith(f"/locations/{made.pk}/")


def test_a_set_is_changed_and_its_new_plan_stands_beside_the_form(page):
    planned = PlannedSet.objects.order_by("pk").first()
    page.goto(f"/sets/{planned.pk}/")
    before = page.locator("#plan .recipe").inner_text()
    page.locator("#id_stops_under").fill("2.5")
    assert "is saved." in save(page, "Save the set")
    assert page.locator("#plan .recipe").inner_text() != before


def test_a_set_in_error_keeps_what_was_typed_and_leads_to_the_fault(page):
    page.goto("/sets/1/")
    page.locator("#id_title").fill("Kept title")
    page.locator("#id_stops_under").fill("abc")
    told = save(page, "Save the set")
    assert "everything you typed is still here" in told
    assert page.locator("#id_title").input_value() == "Kept title"
    assert page.locator("#id_stops_under").input_value() == "abc"
    page.locator(".faults a[href='#id_stops_under']").click()
    assert page.locator("#id_stops_under").evaluate("one => one.checkVisibility()")


def test_a_second_light_is_added(page):
    planned = PlannedSet.objects.order_by("pk").first()
    number = planned.lights.count()
    page.goto(f"/sets/{planned.pk}/")
    page.locator("details.more > summary").click()
    for name, typed in (("name", "kicker"), ("distance_m", "3"), ("angle_deg", "150")):
        page.locator(f"#id_lights-{number}-{name}").fill(typed)
    page.locator(f"#id_lights-{number}-lamp_height_m").fill("2")
    page.locator(f"#id_lights-{number}-role").select_option("rim")
    page.locator(f"#id_lights-{number}-strobe").select_option(index=1)
    page.locator(f"#id_lights-{number}-stand").select_option(index=1)
    told = save(page, "Save the set")
    assert "is saved." in told, page.locator(".faults").inner_text()
    assert planned.lights.filter(name="kicker").exists()


def test_a_reading_is_typed(page):
    page.goto("/sets/1/readings/new/")
    page.locator("#id_f_mark").fill("11")
    page.locator("#id_tenths").select_option("3")
    page.locator("#id_shutter_s").fill("1/125")
    before = Reading.objects.count()
    save(page, "Save the reading")
    assert Reading.objects.count() == before + 1
    assert page.url.endswith("/sets/1/")


def test_a_seat_is_given(page):
    workshop = Workshop.objects.order_by("-start_at").first()
    known = workshop.bookings.values("person")
    person = Person.objects.exclude(pk__in=known).order_by("-pk").first()
    page.goto(f"/workshops/{workshop.pk}/bookings/new/")
    page.locator("input[name=q]").fill(person.name)
    page.get_by_role("button", name="Find", exact=True).click()
    page.locator(f"input[name=person][value='{person.pk}']").check()
    save(page, "Book")
    assert Booking.objects.filter(workshop=workshop, person=person).exists()
    assert person.name in page.locator("main").inner_text()
