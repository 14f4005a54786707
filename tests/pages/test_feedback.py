"""The five questions behind a link, and what the house makes of the answers."""

import csv
import io
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from tests import factories as make
from tests.records.browser import filled
from workshops.models import Feedback
from workshops.services.feedback import make_feedback_link, revoke_feedback_links
from workshops.services.links import token

pytestmark = pytest.mark.django_db


@pytest.fixture
def booking():
    make.HouseFactory()
    last_week = timezone.now() - timedelta(days=7)
    workshop = make.WorkshopFactory(
        status="run", start_at=last_week, end_at=last_week + timedelta(hours=8)
    )
    person = make.PersonFactory(name="Abel Finch")
    return make.BookingFactory(workshop=workshop, state="attended", person=person)


@pytest.fixture
def link(booking):
    return make_feedback_link(by=None, booking=booking, now=timezone.now())


@pytest.fixture
def visitor(link):
    """Somebody without an account, whose browser sends what a browser sends."""
    visitor = Client(enforce_csrf_checks=True)
    answer = visitor.get(f"/feedback/{token(link)}/")
    assert answer.status_code == 302
    assert "~" not in answer["Location"]
    return visitor


def sent(visitor, **answers):
    page = visitor.get("/feedback/")
    return visitor.post("/feedback/", filled(page) | answers)


def test_the_questions_are_answered_changed_and_thanked_for(visitor, booking):
    page = visitor.get("/feedback/")
    assert page["Cache-Control"] == "no-store"
    assert page["Referrer-Policy"] == "same-origin"
    shown = page.content.decode()
    assert "Abel Finch" in shown
    assert "with your name" in shown
    answer = sent(visitor, taught="4", turns="few", words="More wind.")
    assert (answer.status_code, answer["Location"]) == (302, "/feedback/thanks/")
    assert "Thank you" in visitor.get("/feedback/thanks/").content.decode()
    told = Feedback.objects.get()
    assert (told.booking, told.taught, told.turns, told.safe) == (booking, 4, "few", None)
    again = visitor.get("/feedback/")
    assert "More wind." in again.content.decode()
    assert filled(again)["taught"] == "4"
    assert sent(visitor, taught="", safe="5").status_code == 302
    told.refresh_from_db()
    assert (told.taught, told.safe, told.words) == (None, 5, "More wind.")


def test_nothing_answered_is_told_and_nothing_kept(visitor):
    answer = sent(visitor)
    assert answer.status_code == 422
    assert "Answer at least one of the five" in answer.content.decode()
    assert not Feedback.objects.exists()


def test_a_mark_that_is_none_is_told_and_the_words_stay(visitor):
    answer = sent(visitor, taught="9", words="Long and dear")
    assert answer.status_code == 422
    assert "Long and dear" in answer.content.decode()
    assert not Feedback.objects.exists()


def test_another_link_opened_meanwhile_gets_nobody_elses_answers(visitor, booking):
    typed = filled(visitor.get("/feedback/"))
    other = make.BookingFactory(workshop=booking.workshop, state="attended")
    newer = make_feedback_link(by=None, booking=other, now=timezone.now())
    visitor.get(f"/feedback/{token(newer)}/")
    assert visitor.post("/feedback/", typed | {"safe": "1"}).status_code == 409
    assert not Feedback.objects.exists()


def test_an_ended_link_opens_nothing(visitor, link, booking):
    typed = filled(visitor.get("/feedback/"))
    revoke_feedback_links(by=None, booking=booking, now=timezone.now())
    assert visitor.get("/feedback/").status_code == 410
    assert visitor.post("/feedback/", typed | {"safe": "1"}).status_code == 410
    assert visitor.get("/feedback/thanks/").status_code == 410
    assert Client().get(f"/feedback/{token(link)}/").status_code == 404
    assert not Feedback.objects.exists()


def test_one_links_signature_opens_nothing_else(link):
    assert Client().get(f"/handout/{token(link)}/").status_code == 404


def test_the_house_reads_counts_and_words_with_the_name_and_takes_them_out(client, booking):
    make.FeedbackFactory(booking=booking, taught=4, words="=1+1 <b>More</b> wind")
    client.force_login(make.UserFactory())
    page = client.get(f"/workshops/{booking.workshop_id}/feedback/").content.decode()
    assert "1 of 1 person who was there has answered" in page
    assert "&lt;b&gt;More&lt;/b&gt; wind" in page
    assert "Abel Finch" in page
    answer = client.get(f"/workshops/{booking.workshop_id}/feedback.csv")
    rows = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
    assert rows[1][0] == "Abel Finch"
    assert rows[1][-1] == "'=1+1 <b>More</b> wind"
    answer = client.get(f"/workshops/{booking.workshop_id}/feedback.xlsx")
    assert answer.content[:2] == b"PK"


def test_links_are_made_sent_and_ended_from_the_page_by_the_office_alone(client, booking):
    place = f"/workshops/{booking.workshop_id}/feedback/"
    client.force_login(make.UserFactory())
    told = client.post(place, {"send": booking.pk}, follow=True).content.decode()
    assert "Abel Finch is written to." in told
    assert "/feedback/" in told
    told = client.post(place, {"send": booking.pk}, follow=True).content.decode()
    assert "was asked before" in told
    told = client.post(place, {"end": booking.pk}, follow=True).content.decode()
    assert "opens nothing any more" in told
    told = client.post(place, {"make": booking.pk}, follow=True).content.decode()
    assert "The link is made" in told
    told = client.post(place, {"make": "999999"}, follow=True).content.decode()
    assert "Choose somebody who was there" in told
    person = make.PersonFactory()
    make.RoleFactory(workshop=booking.workshop, person=person, role="lead")
    teacher = make.UserFactory(role="instructor", person=person, is_staff=False, is_superuser=False)
    client.force_login(teacher)
    page = client.get(place)
    assert page.status_code == 200
    assert "/feedback/" not in page.content.decode().partition("Who was asked")[2]
    assert client.post(place, {"end": booking.pk}).status_code == 403
