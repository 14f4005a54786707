"""One workshop on a phone, from opening it to the last unit taken back."""

from datetime import timedelta

import pytest
from django.utils import timezone

from tests.browser.looks import WIDER
from workshops.models import Booking, Checkout, KitUnit, Rehearsal, SignedLink, Workshop
from workshops.services.links import address as address_of

pytestmark = pytest.mark.usefixtures("full_site")

PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}


def go(page, place):
    assert page.goto(place).ok, place
    assert page.evaluate(WIDER) == "", place


def press(page, words):
    with page.expect_navigation():  # or the next step would break off what is being sent
        page.locator("main").get_by_role("button", name=words, exact=True).click()
    assert page.evaluate(WIDER) == "", words
    return page.locator("main").inner_text()


def opened(page):
    """Open a workshop of two seats tomorrow and return it."""
    start = (timezone.now() + timedelta(days=1)).replace(hour=9, minute=0)
    go(page, "/workshops/new/")
    page.locator("#id_title").fill("Pier at noon")
    page.locator("#id_start_at").fill(f"{start:%Y-%m-%dT%H:%M}")
    page.locator("#id_end_at").fill(f"{start + timedelta(hours=8):%Y-%m-%dT%H:%M}")
    page.locator("#id_seats").fill("2")
    page.locator("#id_price").fill("120")
    page.locator("#id_place_0").select_option(index=1)
    page.locator("#id_lead").select_option(label="Ines Varga")
    press(page, "Save")
    return Workshop.objects.get(title="Pier at noon")


def book(page, workshop, name, words):
    go(page, f"/workshops/{workshop.pk}/bookings/new/")
    page.locator("input[name=q]").fill(name)
    page.locator("label", has_text=name).first.click()
    return press(page, words)


def test_one_workshop_from_opening_to_check_in(open_as):
    page = open_as(**PHONE)
    workshop = opened(page)

    book(page, workshop, "Abel Finch", "Book")
    book(page, workshop, "Bea Lund", "Book")
    go(page, f"/workshops/{workshop.pk}/bookings/new/")
    assert "is full" in page.locator("main").inner_text() or "0 free" in page.content()
    book(page, workshop, "Dov Ansel", "Put on the waitlist")
    states = dict(workshop.bookings.values_list("person__name", "state"))
    assert states == {"Abel Finch": "held", "Bea Lund": "held", "Dov Ansel": "waitlisted"}

    # A seat is given back: the next on the list is asked, by a link that wants no account.
    bea = workshop.bookings.get(person__name="Bea Lund")
    go(page, f"/bookings/{bea.pk}/cancel/")
    page.get_by_label("the attendee").check()
    press(page, "Cancel this booking")
    link = SignedLink.objects.get(purpose="offer")
    theirs = open_as(None, **PHONE)
    go(theirs, address_of(link).partition("8000")[2])
    assert "Pier at noon" in theirs.content()
    press(theirs, "Accept: I take the seat")
    assert workshop.bookings.get(person__name="Dov Ansel").state == "held"

    # Kit by number, and who fits.
    go(page, f"/workshops/{workshop.pk}/kit/")
    for kind in ("fire-only", "Head 200"):
        page.get_by_label(f"more {kind}", exact=True).fill("1")
    press(page, "Reserve these numbers")
    tags = sorted(workshop.kit.values_list("unit__tag", flat=True))
    assert len(tags) == 2, tags
    go(page, f"/workshops/{workshop.pk}/match/")
    press(page, "Settle the proposed triggers")
    abel = workshop.bookings.get(person__name="Abel Finch")
    assert abel.trigger_unit.kind.name == "fire-only"
    go(page, f"/bookings/{abel.pk}/rehearsal/")
    page.get_by_label("fires", exact=True).first.check()
    press(page, "Save")
    assert Rehearsal.objects.get().result == "fires"

    # At the briefing the trigger's label is scanned; in the evening once more.
    unit = KitUnit.objects.get(pk=abel.trigger_unit_id)
    go(page, f"/u/{unit.pk}/")
    assert (
        "Abel Finch"
        in page.locator(
            "input[type=radio]:checked + label, label:has(input:checked)"
        ).first.inner_text()
    )
    press(page, f"Sign {unit.tag} out")
    assert Checkout.objects.get(unit=unit).person.name == "Abel Finch"
    go(page, f"/workshops/{workshop.pk}/handed-out/")
    assert unit.tag in page.locator("main").inner_text()
    assert "Everything is back" not in page.locator("main").inner_text()
    go(page, f"/u/{unit.pk}/")
    press(page, f"Take {unit.tag} back")
    go(page, f"/workshops/{workshop.pk}/handed-out/")
    assert "Everything is back" in page.locator("main").inner_text()
    assert not Booking.objects.filter(workshop=workshop, state="waitlisted").exists()
