"""Mails: what they say, that they are written once, sent once and tried again."""

import smtplib
import socket
from datetime import UTC, datetime, timedelta
from email import message_from_bytes, policy

import icalendar
import pytest
from django.core import mail
from django.core.mail.backends.locmem import EmailBackend
from django.db import transaction

from tests import factories as make
from workshops.errors import Refused
from workshops.models import AuditEntry, Booking, Message, SignedLink
from workshops.services import links, messages, sending
from workshops.services.rounds import remind, remind_of_balances, send_round, text_for

NOW = make.NOW
pytestmark = pytest.mark.django_db
TRICKS = "Eve\r\nBcc: x@example.org"


@pytest.fixture
def booking():
    return make.BookingFactory(person__name="Ada", person__email="ada@example.org")


def sent() -> list:
    """Return what left, read back as a mail program reads it."""
    return [
        message_from_bytes(one.message().as_bytes(), policy=policy.default) for one in mail.outbox
    ]


def test_a_confirmation_says_when_where_and_brings_the_calendar_entry(booking):
    booking.workshop.places.create(location=make.LocationFactory(name="Quarry"))
    messages.confirmation(by=None, booking=booking, now=NOW)
    sending.send_waiting(NOW)
    (got,) = sent()
    assert got["To"] == "ada@example.org"
    assert got["Auto-Submitted"] == "auto-generated"  # RFC 3834, 5
    text = got.get_body().get_content()
    assert "Hello Ada," in text
    assert "May 8, 2027, 09:00–19:00 (Europe/London)" in text  # 08:00 UTC is 09:00 BST
    assert "Where: Quarry" in text
    (file,) = got.iter_attachments()
    assert (file.get_content_type(), file.get_param("method")) == ("text/calendar", "PUBLISH")
    entry = icalendar.Calendar.from_ical(file.get_content()).walk("VEVENT")[0]
    assert entry.decoded("dtstart") == booking.workshop.start_at


def test_each_person_reads_their_own_language(booking):
    booking.person.language = "es"
    text = text_for("reminder", booking, NOW)
    assert "8 de mayo de 2027" in text.body  # Django's own Spanish date format


def test_one_purpose_and_one_recipient_make_one_mail_whoever_asks_twice(booking):
    first = messages.confirmation(by=None, booking=booking, now=NOW)
    assert messages.confirmation(by=None, booking=booking, now=NOW + timedelta(days=1)) == first
    for _ in range(2):
        sending.send_waiting(NOW)
    assert len(mail.outbox) == 1
    first.refresh_from_db()
    assert (first.state, first.sent_at) == ("sent", NOW)
    assert AuditEntry.objects.filter(record_type="workshops.message").count() == 3


def test_a_second_process_finds_a_claimed_mail_not_due(booking):
    message = messages.confirmation(by=None, booking=booking, now=NOW)
    assert sending._claim(message.pk, NOW)
    assert sending._claim(message.pk, NOW) is None
    # The first died with it: it comes by itself once its wait is over.
    assert sending.send_waiting(NOW + timedelta(minutes=1)) == "sent 1 mails"


@pytest.mark.parametrize("field", ["name", "title", "house"])
def test_no_name_can_add_a_header(booking, field):
    house = make.HouseFactory()
    for record, name in ((booking.person, "name"), (booking.workshop, "title"), (house, "house")):
        if name == field:
            setattr(record, "name" if name == "house" else name, TRICKS)
            record.save()
    messages.confirmation(by=None, booking=booking, now=NOW)
    sending.send_waiting(NOW)
    (got,) = sent()
    assert got["Bcc"] is None
    assert got["To"] == "ada@example.org"
    assert "\n" not in got["Subject"]


@pytest.mark.parametrize("address", ["", "ada", "a@b@c", "ada@example.org\r\nBcc: x@example.org"])
def test_an_address_that_is_none_gets_no_mail_and_stops_nothing(booking, address):
    booking.person.email = address
    assert messages.confirmation(by=None, booking=booking, now=NOW) is None


def test_nothing_told_in_confidence_is_in_any_mail(booking):
    person = booking.person
    person.access_needs, person.dietary = "Cannot climb", "No nuts"
    person.emergency_name, person.notes = "Bo Brother", "Owes us a lens"
    person.birth_date = datetime(1990, 1, 2, tzinfo=UTC).date()
    person.save()
    make.BookingFactory(workshop=booking.workshop, person__name="Zed Other")
    for purpose in ("joining", "reminder", "balance", "questionnaire"):
        text = text_for(purpose, booking, NOW)
        for secret in ("Cannot climb", "No nuts", "Bo Brother", "lens\n", "1990", "Zed Other"):
            assert secret not in text.subject + text.body


def test_a_link_is_put_in_when_it_is_sent_and_stored_nowhere(booking):
    link = links.make_link(
        by=None,
        purpose=SignedLink.Purpose.OFFER,
        now=NOW,
        expires_at=NOW + timedelta(hours=48),
        booking=booking,
    )
    message = messages.offer(by=None, booking=booking, link=link, now=NOW)
    assert links.token(link) not in message.body
    sending.send_waiting(NOW)
    assert links.address(link) in mail.outbox[0].body


def test_a_revoked_link_withdraws_its_mail(booking):
    link = links.make_link(
        by=None,
        purpose=SignedLink.Purpose.QUESTIONNAIRE,
        now=NOW,
        expires_at=NOW + timedelta(days=9),
        person=booking.person,
        workshop=booking.workshop,
    )
    message = messages.questionnaire(by=None, link=link, now=NOW)
    links.revoke_link(by=None, link=link, now=NOW)
    sending.send_waiting(NOW)
    message.refresh_from_db()
    assert message.state == "withdrawn"
    assert not mail.outbox


def test_a_server_that_is_down_is_tried_again_later_and_later_for_a_day(booking, settings):
    with socket.create_server(("127.0.0.1", 0)) as server:
        settings.EMAIL_PORT = server.getsockname()[1]  # nobody listens there any more
    settings.EMAIL_HOST = "127.0.0.1"
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    message = messages.confirmation(by=None, booking=booking, now=NOW)
    at, waits = NOW, []
    while message.state == "queued":
        sending.send_waiting(at)
        message.refresh_from_db()
        if message.next_try_at:
            waits.append((message.next_try_at - at).total_seconds() / 60)
            at = message.next_try_at
    assert waits == [1, 5, 15, 60, 240, 240, 240, 240, 240, 240]  # minutes
    assert timedelta(hours=24) < at - NOW < timedelta(hours=27)
    assert (message.state, message.sent_at) == ("failed", None)
    assert message.last_error == "no mail server listens at the address in EMAIL_URL"
    sending.try_again(by=None, message=message)
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    assert sending.send_waiting(at) == "sent 1 mails"
    with pytest.raises(Refused, match="is sent: write a new one"):
        sending.try_again(by=None, message=message)


class Refuses(EmailBackend):
    """A mail server that does not know an address. RFC 5321, 4.2.1: 5yz is for good."""

    def send_messages(self, given):
        if given[0].to == ["ada@example.org"]:
            raise smtplib.SMTPRecipientsRefused({"ada@example.org": (550, b"no such user")})
        return super().send_messages(given)


def test_an_address_the_server_refuses_is_given_up_at_once_and_stops_no_other(booking, settings):
    settings.EMAIL_BACKEND = f"{__name__}.Refuses"
    refused = messages.confirmation(by=None, booking=booking, now=NOW)
    messages.confirmation(by=None, booking=make.BookingFactory(), now=NOW)
    assert sending.send_waiting(NOW) == "sent 1 mails"
    refused.refresh_from_db()
    assert refused.state == "failed"
    assert refused.last_error == "the mail server refuses the address: 550 no such user"


def test_joining_notes_go_to_everybody_once_and_again_only_when_asked(booking):
    other = make.BookingFactory(workshop=booking.workshop, person__email="")
    words = {"by": None, "workshop": booking.workshop, "purpose": "joining", "now": NOW}
    assert send_round(**words, timetable=[(make.SET_START, "Rim light (Quarry)")]) == 1
    assert send_round(**words) == 0
    assert send_round(**words, again=1) == 1
    with pytest.raises(Refused, match="Somebody has just sent it"):
        send_round(**words, again=1)  # the same button, pressed twice
    assert not Message.objects.filter(person=other.person).exists()
    text = Message.objects.filter(purpose="joining").earliest("pk").body
    # Each cause of "it does not fire" turned into a check: common practice of the trade.
    for line in ("14:10 Rim light (Quarry)", "manual.", "raw.", "silent mode off", "locked"):
        assert line in text


def test_a_cancelled_workshop_or_booking_is_not_written_to(booking):
    message = messages.confirmation(by=None, booking=booking, now=NOW)
    Booking.objects.update(state="cancelled", seat=None, cancelled_at=NOW)
    sending.send_waiting(NOW)
    message.refresh_from_db()
    assert message.state == "withdrawn"
    booking.workshop.status = "cancelled"
    booking.workshop.cancelled_reason = "Storm"
    booking.workshop.save()
    with pytest.raises(Refused, match="not open, or over"):
        send_round(by=None, workshop=booking.workshop, purpose="reminder", now=NOW)


def test_the_day_is_reminded_of_14_7_and_2_days_before_once_each(booking):
    booking.booked_at = NOW - timedelta(days=9)
    booking.save()
    days = []
    for day in range(60):
        at = NOW + timedelta(days=day)
        if remind(at):
            days.append((booking.workshop.start_at.date() - at.date()).days)
        assert remind(at) == ""
    assert days == [14, 7, 2]


def test_a_balance_is_reminded_of_once_from_the_day_it_is_due(booking):
    booking.workshop.price = 200
    booking.workshop.terms = make.TermsFactory(balance_days=14)
    booking.workshop.save()
    due = booking.workshop.start_at - timedelta(days=14)
    assert remind_of_balances(due - timedelta(days=1)) == ""
    assert remind_of_balances(due) == "wrote 1 reminder of a balance"
    assert remind_of_balances(due + timedelta(days=1)) == ""
    assert "Still open: 200\N{NO-BREAK SPACE}EUR" in Message.objects.get(purpose="balance").body


@pytest.mark.postgres
def test_a_job_for_a_worker_is_stored_with_the_mail_or_not_at_all(booking):
    from procrastinate.contrib.django.models import ProcrastinateJob

    with transaction.atomic():
        messages.confirmation(by=None, booking=booking, now=NOW)
        transaction.set_rollback(True)
    assert not ProcrastinateJob.objects.exists()
    message = messages.confirmation(by=None, booking=booking, now=NOW)
    job = ProcrastinateJob.objects.get()
    assert (job.task_name, job.args) == ("workshops.tasks.send_message", {"pk": message.pk})
