"""The page of an offered seat: opened by a signed link alone, which a mail scanner cannot burn."""

from datetime import timedelta

import pytest
from django.apps import apps
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from tests import factories as make
from tests.pages.days import coming, seated, words
from tests.records.browser import filled
from workshops.models import AuditEntry, Booking, SignedLink
from workshops.models.base import Record
from workshops.services.bookings import book_person
from workshops.services.cancelling import cancel_booking
from workshops.services.links import address, revoke_link
from workshops.services.waitlist import withdraw_offer

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop():
    make.HouseFactory()
    terms = make.TermsFactory(text="Bring water.")
    terms.rows.create(days_before=30, refunded_share=0.5)
    return coming(seats=1, price=180, terms=terms, title="Slate at dusk")


@pytest.fixture
def offered(workshop):
    """The first in line, offered the only seat; somebody else waits behind."""
    now, holder = timezone.now(), seated(workshop)
    line = [
        book_person(
            by=None,
            workshop=workshop,
            person=make.PersonFactory(name=name),
            now=now + timedelta(seconds=at),
            waitlist=True,
        )
        for at, name in enumerate(("Ana", "Bo"))
    ]
    cancel_booking(by=None, booking=holder, now=now)
    line[0].refresh_from_db()
    return line[0]


def place(booking):
    return address(SignedLink.objects.get(booking=booking)).partition("8000")[2]


def everything():
    return {
        model: list(model._base_manager.order_by("pk").values())
        for model in apps.get_models()
        if issubclass(model, Record) or model is AuditEntry
    }


def opened(booking):
    client = Client()
    assert client.get(place(booking)).headers["Location"] == reverse("offer")
    return client


def answered(client, answer):
    """Send the form of the offer that the session was pointed at."""
    sent = {"answer": answer, "of": client.session.get("offer", "")}
    return client.post(reverse("offer"), sent, follow=True)


def test_looking_leads_to_a_clean_address_and_burns_nothing(offered):
    before = everything()
    for _scanner in range(3):
        answer = Client().get(place(offered))
        assert (answer.status_code, answer.headers["Location"]) == (302, reverse("offer"))
        assert answer.headers["Referrer-Policy"] == "no-referrer"
        assert answer.headers["Cache-Control"] == "no-store"
    page = opened(offered).get(reverse("offer"))
    for shown in ("Ana", "Slate at dusk", "180", "Bring water.", "50%", "kept for you until"):
        assert shown in words(page), shown
    assert "Bo" not in words(page).replace("Both", "")
    assert page.headers["X-Robots-Tag"] == "noindex"
    assert everything() == before


def test_accept_holds_the_seat_and_a_second_press_does_no_harm(offered):
    client = opened(offered)
    for _press in range(2):
        assert "The seat is yours" in words(answered(client, "accept"))
    offered.refresh_from_db()
    assert (offered.state, offered.offer_expires_at) == ("held", None)
    answered(client, "decline")
    offered.refresh_from_db()
    assert offered.state == "held"


def test_decline_gives_the_seat_to_the_next(offered):
    answer = answered(opened(offered), "decline")
    assert answer.status_code == 410
    assert "You have declined" in words(answer)
    offered.refresh_from_db()
    assert (offered.state, offered.cancelled_by) == ("cancelled", "attendee")
    assert Booking.objects.get(person__name="Bo").is_offered(timezone.now())


def test_an_answer_that_is_none_is_asked_for_again(offered):
    assert "accept or decline" in words(answered(opened(offered), "<script>"))
    offered.refresh_from_db()
    assert offered.state == "waitlisted"


def _forged(_booking):
    return reverse("offer-open", args=["0" * 32 + "~forged"])


def _withdrawn(booking):
    known = place(booking)
    withdraw_offer(by=None, booking=booking, now=timezone.now())
    return known


def _lapsed(booking):
    SignedLink.objects.filter(booking=booking).update(expires_at=timezone.now())
    return place(booking)


@pytest.mark.parametrize("end", [_forged, _withdrawn, _lapsed])
def test_a_link_that_opens_nothing_says_so_in_words(offered, end):
    answer = Client().get(end(offered))
    assert answer.status_code == 404
    assert "Nothing to open here" in words(answer)
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert answer.headers["Cache-Control"] == "no-store"
    assert "Ana" not in words(answer)


def test_a_page_left_open_is_closed_with_its_link(offered):
    client = opened(offered)
    revoke_link(by=None, link=SignedLink.objects.get(booking=offered), now=timezone.now())
    for answer in (client.get(reverse("offer")), answered(client, "accept")):
        assert answer.status_code == 410
    offered.refresh_from_db()
    assert offered.state == "waitlisted"


def test_the_answer_is_taken_from_its_own_page_only(offered):
    strict = Client(enforce_csrf_checks=True)
    strict.get(place(offered))
    assert strict.post(reverse("offer"), {"answer": "accept"}).status_code == 403
    page = strict.get(reverse("offer"))
    # A browser told "no-referrer" names no origin either, and its own form would be refused.
    assert page.headers["Referrer-Policy"] == "same-origin"


def test_of_two_offers_in_one_browser_none_is_answered_for_the_other(offered, workshop):
    client = opened(offered)
    shown = filled(client.get(reverse("offer")))
    other = coming(seats=1, title="Pier at noon")
    holder = seated(other)
    waits = book_person(
        by=None, workshop=other, person=make.PersonFactory(name="Cy"),
        now=timezone.now(), waitlist=True,
    )  # fmt: skip
    cancel_booking(by=None, booking=holder, now=timezone.now())
    client.get(place(waits))
    answer = client.post(reverse("offer"), shown | {"answer": "accept"}, follow=True)
    assert "Nothing was answered" in words(answer)
    assert "Pier at noon" in words(answer)
    assert set(Booking.objects.waiting()) >= {offered, waits}


def test_a_scanner_that_asks_for_the_head_alone_is_answered(offered):
    assert Client().head(place(offered)).status_code == 302
