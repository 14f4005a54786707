"""Mails: what they say, that they are written once, sent once and tried again."""

from datetime import timedelta

import pytest
from django.core import mail

from tests import factories as make
from workshops.models import Message, SignedLink
from workshops.services import links, messages
from workshops.services.sending import send_waiting

NOW = make.NOW
pytestmark = pytest.mark.django_db


def test_confirmation_says_when_where_and_is_written_once():
    booking = make.BookingFactory(person__name="Eve\r\nBcc: x@example.org")
    first = messages.confirmation(by=None, booking=booking, now=NOW)
    again = messages.confirmation(by=None, booking=booking, now=NOW + timedelta(hours=1))
    assert first == again
    assert Message.objects.count() == 1
    print(first.subject)
    send_waiting(NOW)
    print(mail.outbox[0].message().as_string())


def test_each_text(capsys):
    booking = make.BookingFactory()
    link = links.make_link(
        by=None,
        purpose=SignedLink.Purpose.QUESTIONNAIRE,
        now=NOW,
        expires_at=NOW + timedelta(3),
        person=booking.person,
        workshop=booking.workshop,
    )
    print(messages.questionnaire(by=None, link=link, now=NOW).body)
    link = links.make_link(
        by=None,
        purpose=SignedLink.Purpose.OFFER,
        now=NOW,
        expires_at=NOW + timedelta(3),
        booking=booking,
    )
    print(messages.offer(by=None, booking=booking, link=link, now=NOW).body)
    print(messages.lapsed(by=None, booking=booking, now=NOW).body)
    print(messages.cancellation(by=None, booking=booking, now=NOW).body)


def test_rounds():
    from datetime import datetime, UTC
    from workshops.services import rounds
    place = make.LocationFactory(parking="Lay-by", toilets="Pub, until 22:00", access="Down steps.")
    w = make.WorkshopFactory()
    w.places.create(location=place)
    make.BookingFactory(workshop=w)
    n = rounds.send_round(by=None, workshop=w, purpose="joining", now=NOW, timetable=[(make.SET_START, "Rim light at the quarry")])
    assert n == 1
    m = Message.objects.get(purpose="joining")
    print(m.body)
    assert rounds.send_round(by=None, workshop=w, purpose="joining", now=NOW) == 0
    assert rounds.send_round(by=None, workshop=w, purpose="joining", now=NOW, again=1) == 1
    assert rounds.send_round(by=None, workshop=w, purpose="questionnaire", now=NOW) == 1
    print(rounds.remind(datetime(2027, 5, 1, tzinfo=UTC)))
    print(rounds.remind(datetime(2027, 5, 2, tzinfo=UTC)))
    print(Message.objects.filter(purpose="reminder")[0].body)
