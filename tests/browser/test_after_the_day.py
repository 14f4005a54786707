"""The evening and the days after, on a phone: closed with a reason, asked, answered, certified."""

from datetime import timedelta

import pytest
from django.utils import timezone

from tests import factories as make
from tests.browser.test_one_workshop import PHONE, go, press
from workshops.models import Feedback, SignedLink
from workshops.services.links import address as address_of

pytestmark = pytest.mark.usefixtures("full_site")


def by_link(page, purpose, booking) -> None:
    link = SignedLink.objects.get(purpose=purpose, booking=booking)
    go(page, address_of(link).partition("8000")[2])


def answers(page, booking, words) -> None:
    """Give three of the five answers by the link of somebody who was there."""
    by_link(page, "feedback", booking)
    page.get_by_role("group", name="I felt safe").get_by_label("5: all the time").check()
    page.get_by_role("group", name="The pace was").get_by_label("too fast").check()
    page.get_by_label("What did you learn").fill(words)
    assert "Thank you" in press(page, "Send my answers")
    told = Feedback.objects.get(booking=booking)
    assert (told.safe, told.pace, told.taught, told.words) == (5, "fast", None, words)


def opens_certificate(page, booking) -> None:
    by_link(page, "handout", booking)
    place = page.get_by_role("link", name="Certificate of attendance (PDF)")
    answer = page.request.get(place.get_attribute("href"))
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.body().startswith(b"%PDF")


def yesterday():
    start = timezone.now() - timedelta(days=1)
    workshop = make.WorkshopFactory(
        title="Pier at noon", status="confirmed", start_at=start, end_at=start + timedelta(hours=8)
    )
    make.RoleFactory(workshop=workshop, role="lead", person=make.PersonFactory(name="Uma Lee"))
    booking = make.BookingFactory(
        workshop=workshop, state="attended", person=make.PersonFactory(name="Abel Field")
    )
    make.CheckoutFactory(workshop=workshop, person=booking.person, unit__tag="T-77")
    return workshop, booking


@pytest.mark.parametrize("scripts", [True, False])
def test_a_day_is_closed_and_its_attendee_answers_and_opens_the_certificate(open_as, scripts):
    workshop, booking = yesterday()
    page = open_as(**PHONE, java_script_enabled=scripts)
    go(page, f"/workshops/{workshop.pk}/")
    page.get_by_role("link", name="The day is over: close it.").click()
    shown = page.locator("main").inner_text()
    assert "T-77 is still out with Abel Field." in shown
    assert "Handout by mail: Abel Field." in shown
    page.get_by_label("Why it is closed all the same: T-77").fill("Comes by post on Monday")
    shown = press(page, "Close it with these reasons")
    assert "Closed on" in shown
    assert "Comes by post on Monday" in shown

    theirs = open_as(None, **PHONE, java_script_enabled=scripts)
    answers(theirs, booking, "To wait for the ready sign.")
    opens_certificate(theirs, booking)
    go(page, f"/workshops/{workshop.pk}/feedback/")
    shown = page.locator("main").inner_text()
    assert "1 of 1 person who was there has answered." in shown
    assert "To wait for the ready sign." in shown
