"""The page on which a workshop is closed: what is open, what the press does, how it was closed."""

from datetime import timedelta

import pytest
from django.core.management import call_command
from django.utils import timezone

from tests import factories as make
from tests.records.browser import filled
from workshops.models import Closing, Message, Workshop

pytestmark = pytest.mark.django_db


@pytest.fixture
def office(client):
    make.HouseFactory()
    client.force_login(make.UserFactory(name="Olga"))
    return client


@pytest.fixture
def workshop():
    last_week = timezone.now() - timedelta(days=7)
    return make.WorkshopFactory(
        status="run", start_at=last_week, end_at=last_week + timedelta(hours=8)
    )


def place(workshop) -> str:
    return f"/workshops/{workshop.pk}/close/"


def attendee(workshop, state="attended", **person):
    return make.BookingFactory(workshop=workshop, state=state, person=make.PersonFactory(**person))


def test_with_nothing_open_one_press_closes_it_and_says_who_did(office, workshop):
    attendee(workshop, name="Abel Finch")
    attendee(workshop, name="Bea Lund", email="")
    page = office.get(place(workshop)).content.decode()
    assert "fine. All kit is back." in page
    assert "Handout by mail</a>: Abel Finch." in page
    assert "By hand</strong>: Bea Lund" in page
    page = office.post(place(workshop), follow=True).content.decode()
    assert "by Olga." in page
    assert "Bea Lund" in page
    assert {one.purpose for one in Message.objects.all()} == {"handout", "feedback"}
    # The other of two windows, where it was still open, is answered as kindly.
    assert office.post(place(workshop)).status_code == 302
    assert Closing.objects.count() == 1


def test_what_is_open_is_listed_with_its_page_and_keeps_what_was_typed(office, workshop):
    first = attendee(workshop, state="confirmed", name="Abel Finch")
    second = attendee(workshop, state="confirmed", name="Bea Lund")
    page = office.get(place(workshop))
    assert f"/workshops/{workshop.pk}/here/" in page.content.decode()
    typed = filled(page) | {f"presence-{first.pk}": "Left at ten"}
    answer = office.post(place(workshop), typed)
    shown = answer.content.decode()
    assert answer.status_code == 422
    assert "1 thing is open" in shown
    assert "Bea Lund, seat" in shown
    assert "Left at ten" in shown
    assert not Closing.objects.exists()
    typed |= {f"presence-{second.pk}": "Nobody saw her"}
    shown = office.post(place(workshop), typed, follow=True).content.decode()
    assert "Left at ten" in shown
    assert "Nobody saw her" in shown


def test_a_workshop_that_cannot_be_closed_says_why_and_offers_no_button(office):
    workshop = make.WorkshopFactory(status="open")
    page = office.get(place(workshop)).content.decode()
    assert "Only a workshop that has run is closed" in page
    assert "Close it" not in page
    assert office.post(place(workshop)).status_code == 422


def test_it_is_opened_again_with_a_reason(office, workshop):
    office.post(place(workshop))
    answer = office.post(place(workshop), {"open": "1", "reason": ""})
    assert answer.status_code == 422
    shown = office.post(
        place(workshop), {"open": "1", "reason": "A card turned up"}, follow=True
    ).content.decode()
    assert "is open again" in shown
    assert "A card turned up" in shown
    assert Workshop.objects.get(pk=workshop.pk).status == "run"


def test_an_instructor_sees_what_is_open_but_not_the_money_and_closes_nothing(client, workshop):
    make.HouseFactory()
    Workshop.objects.filter(pk=workshop.pk).update(price=180)
    attendee(workshop, name="Abel Finch")
    person = make.PersonFactory()
    make.RoleFactory(workshop=workshop, person=person, role="lead")
    client.force_login(
        make.UserFactory(role="instructor", person=person, is_staff=False, is_superuser=False)
    )
    page = client.get(place(workshop)).content.decode()
    assert "fine. All kit is back." in page
    assert "180" not in page
    assert client.post(place(workshop)).status_code == 403
    assert client.post(place(workshop), {"open": "1", "reason": "x"}).status_code == 403
    assert not Closing.objects.exists()


def test_the_start_page_names_what_is_over_and_not_closed(office, workshop):
    assert f'href="{place(workshop)}"' in office.get("/").content.decode()
    office.post(place(workshop))
    assert f'href="{place(workshop)}"' not in office.get("/").content.decode()


def test_both_mails_are_shown_before_they_go(office, workshop):
    booking = attendee(workshop, name="Abel Finch")
    for purpose, words in (("handout", "the handout of"), ("feedback", "Five short questions")):
        page = office.get(f"/workshops/{workshop.pk}/messages/foretold/?what={purpose}")
        assert words in page.content.decode()
        assert booking.person.name in page.content.decode()
    assert not Message.objects.exists()


def test_the_mails_go_out_with_links_that_open(office, workshop, mailoutbox):
    attendee(workshop, email="abel@example.org")
    office.post(place(workshop))
    call_command("due")
    links = [line for mail in mailoutbox for line in mail.body.splitlines() if "://" in line]
    assert len(links) == 2
    for link in links:
        path = link.partition("://")[2].partition("/")[2]
        assert office.get(f"/{path}").status_code == 302


def test_the_back_room_closes_nothing_and_opens_nothing(office, workshop):
    make.SeatFactory(workshop=workshop)
    page = office.get(f"/admin/workshops/workshop/{workshop.pk}/change/")
    answer = office.post(
        f"/admin/workshops/workshop/{workshop.pk}/change/", filled(page) | {"status": "closed"}
    )
    assert "closed on its page" in answer.content.decode()
    assert Workshop.objects.get(pk=workshop.pk).status == "run"
    assert office.get("/admin/workshops/closing/add/").status_code == 403
