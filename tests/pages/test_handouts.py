"""Handouts go out by signed links that end, one for each who took part."""

import io
import re
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone
from pypdf import PdfReader

from tests import factories as make
from workshops.errors import Refused
from workshops.models import Message, SignedLink
from workshops.services.handout_links import make_handout_link, revoke_handout_links, send_handouts
from workshops.services.links import token

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop():
    """A day that was last week, with one set; the factories' day is to come."""
    make.HouseFactory()
    light = make.LightFactory()
    one = light.planned_set.workshop
    last_week = timezone.now() - timedelta(days=7)
    one.start_at, one.end_at = last_week, last_week + timedelta(hours=8)
    one.save()
    return one


@pytest.fixture
def booking(workshop):
    return make.BookingFactory(workshop=workshop, person=make.PersonFactory(name="Abel Finch"))


def place(link) -> str:
    return f"/handout/{token(link)}/"


def text(content: bytes) -> str:
    pages = PdfReader(io.BytesIO(content)).pages
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))


def test_the_link_leads_to_the_own_handout_and_no_other(workshop, booking):
    other = make.BookingFactory(workshop=workshop, person=make.PersonFactory(name="Bea Lund"))
    link = make_handout_link(by=None, booking=booking, now=timezone.now())
    visitor = Client()
    answer = visitor.get(place(link))
    assert answer.status_code == 302
    assert "~" not in answer["Location"]
    answer = visitor.get(answer["Location"])
    assert "Abel Finch" in answer.content.decode()
    pdf = visitor.get("/handout/handout.pdf")
    assert pdf["Content-Type"] == "application/pdf"
    assert pdf["Cache-Control"] == "no-store"
    told = text(pdf.content)
    assert "Abel Finch" in told
    assert other.person.name not in told


def test_a_link_that_was_ended_opens_nothing(booking):
    link = make_handout_link(by=None, booking=booking, now=timezone.now())
    visitor = Client()
    visitor.get(place(link))
    assert revoke_handout_links(by=None, booking=booking, now=timezone.now()) == 1
    assert visitor.get("/handout/").status_code == 410
    assert visitor.get("/handout/handout.pdf").status_code == 410
    assert visitor.get(place(link)).status_code == 404


def test_a_link_that_has_run_out_opens_nothing(booking):
    long_ago = timezone.now() - timedelta(days=91)
    link = make_handout_link(by=None, booking=booking, now=long_ago)
    assert Client().get(place(link)).status_code == 404
    assert make_handout_link(by=None, booking=booking, now=timezone.now()) != link


def test_everybody_is_written_to_once(workshop, booking):
    make.BookingFactory(workshop=workshop, person=make.PersonFactory(email=""))
    now = timezone.now()
    first = send_handouts(by=None, workshop=workshop, now=now)
    again = send_handouts(by=None, workshop=workshop, now=now)
    assert (first.now, again.now, again.before) == (1, 0, 1)
    assert len(first.without_address) == 1
    mail = Message.objects.get(purpose="handout")
    assert "{link}" in mail.body
    assert mail.link.purpose == SignedLink.Purpose.HANDOUT


def test_nobody_is_written_to_before_the_day(workshop, booking):
    with pytest.raises(Refused, match="has not begun"):
        send_handouts(by=None, workshop=workshop, now=workshop.start_at - timedelta(minutes=1))


def test_who_was_absent_gets_none(booking):
    booking.state = "absent"
    booking.save()
    with pytest.raises(Refused, match="did not take part"):
        make_handout_link(by=None, booking=booking, now=timezone.now())


def test_the_office_sends_them_from_the_page(client, workshop, booking):
    client.force_login(make.UserFactory())
    page = client.get(f"/workshops/{workshop.pk}/handouts/").content.decode()
    assert "Abel Finch" in page
    answer = client.post(f"/workshops/{workshop.pk}/handouts/", {"send": ""}, follow=True)
    assert "1 mail is written" in answer.content.decode()
    answer = client.post(f"/workshops/{workshop.pk}/handouts/", {"end": "999999"}, follow=True)
    assert "Choose somebody of this workshop" in answer.content.decode()
