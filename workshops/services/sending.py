"""Mails on their way: each attempt claimed first, so that no two processes send one."""

import logging
import smtplib
from datetime import datetime, timedelta
from email.mime.text import MIMEText
from email.utils import formataddr, parseaddr

from django.conf import settings
from django.core.mail import EmailMessage
from django.db import transaction
from django.db.models import F, Q
from django.utils import translation
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import Refused
from workshops.house_rules import spoken
from workshops.letters import LINK, one_line
from workshops.models import Booking, House, Message, User, Workshop
from workshops.selectors.house import house
from workshops.services import links

# Minutes until the next attempt; after the last, about a day on, it is given up. RFC 5321,
# 4.5.4.1: retry after a while, twice in the first hour, then every few hours.
WAITS_MIN = (1, 5, 15, 60, *(240,) * 6)
REASON_LENGTH = 200

# These speak of a seat that is held: pointless once it is not.
OF_A_SEAT = ("confirmation", "joining", "balance", "reminder", "questionnaire", "offer")

State = Message.State
log = logging.getLogger(__name__)


def send_waiting(now: datetime) -> str:
    """Send every mail that is due and return what was done, in words; empty when nothing was.

    Not for inside a transaction: each attempt is stored before and after the mail server is
    spoken to. A server that does not answer ends the round; the others' turn comes next time.
    """
    sent = failed = 0
    for pk in list(_due(now).values_list("pk", flat=True)):
        try:
            sent += send(pk, now)
        except ServerFailed:
            failed += 1
            break
    told = [f"sent {sent} mails"] if sent else []
    told += ["the mail server failed: waiting mails are tried again"] if failed else []
    return ", ".join(told)


def send(pk: int, now: datetime) -> bool:
    """Return whether one mail was sent now; not when another process has it, or it is not due.

    Raises ServerFailed when the mail server cannot be reached.
    """
    message = _claim(pk, now)
    if message is None:
        return False
    try:
        mail_of(message, house()).send()
    except Exception as reason:  # whatever it is, the mail is kept and tried again
        log.warning("mail %d was not sent: %s", pk, type(reason).__name__)
        _failed(message, reason)
        if isinstance(reason, OSError) and not isinstance(reason, smtplib.SMTPRecipientsRefused):
            raise ServerFailed from reason
        return False
    _finish(message, state=State.SENT, sent_at=now, next_try_at=None, last_error="")
    return True


class ServerFailed(Exception):
    """The mail server could not be reached, or broke off."""


@transaction.atomic
def try_again(*, by: User | None, message: Message) -> Message:
    """Return a failed or waiting mail, to be sent at once, to the person's address of today.

    Raises Refused for one that was sent or withdrawn.
    """
    message = Message.objects.select_for_update().get(pk=message.pk)
    if message.state not in (State.FAILED, State.QUEUED):
        told = {"message": message, "state": message.get_state_display()}
        raise Refused(_("%(message)s is %(state)s: write a new one instead.") % told)
    if message.person and message.person.email:
        message.to_address = message.person.email
    message.state, message.attempts, message.next_try_at = State.QUEUED, 0, None
    return audit.write(message, by=by)


def mail_of(message: Message, rules: House) -> EmailMessage:
    """Return the mail as it goes out, the link in its place. No field can add a header."""
    body = message.body
    if message.link:
        body = body.replace(LINK, links.address(message.link))
    name, address = parseaddr(settings.DEFAULT_FROM_EMAIL)
    mail = EmailMessage(
        subject=one_line(message.subject),
        body=body,
        from_email=formataddr((one_line(rules.name) or name, address)),
        to=[one_line(message.to_address)],
        reply_to=[rules.email or address],
        headers={
            # The same for every attempt: a mail that did arrive is not shown twice.
            "Message-ID": f"<{message.pk}.{message.made_at:%Y%m%d%H%M%S}@{settings.SITE_HOST}>",
            "Auto-Submitted": "auto-generated",  # RFC 3834: nobody's holiday note answers it
        },
    )
    if message.calendar:
        part = MIMEText(message.calendar, "calendar", "utf-8")
        part.set_param("method", "PUBLISH")  # RFC 6047, 2.4
        part.add_header("Content-Disposition", "attachment", filename="workshop.ics")
        mail.attach(part)
    return mail


def _due(now: datetime):
    waiting = Message.objects.filter(state=State.QUEUED)
    return waiting.filter(Q(next_try_at=None) | Q(next_try_at__lte=now)).order_by(
        F("next_try_at").asc(nulls_first=True), "pk"
    )


@transaction.atomic
def _claim(pk: int, now: datetime) -> Message | None:
    """Return the mail with this attempt counted; None when it is not to be sent now.

    The next attempt is set before this one is made: if the process dies, it comes by itself.
    """
    message = _due(now).select_for_update().filter(pk=pk).first()
    if message is None:
        return None
    if not _still_wanted(message, now):
        _store(message, state=State.WITHDRAWN, next_try_at=None)
        return None
    message.attempts += 1
    wait_min = WAITS_MIN[min(message.attempts, len(WAITS_MIN)) - 1]
    return _store(message, next_try_at=now + timedelta(minutes=wait_min))


def _still_wanted(message: Message, now: datetime) -> bool:
    if LINK in message.body and not (message.link and message.link.is_open(now)):
        return False
    if message.person is None:
        return False
    if message.purpose not in OF_A_SEAT:
        return True
    if message.booking and message.booking.state == Booking.State.CANCELLED:
        return False
    return not message.workshop or message.workshop.status != Workshop.Status.CANCELLED


def _failed(message: Message, reason: Exception) -> None:
    given_up = message.attempts > len(WAITS_MIN) or _for_good(reason)
    with translation.override(spoken(house().language)):
        words = one_line(in_words(reason))[:REASON_LENGTH]
    if given_up:
        _finish(message, state=State.FAILED, next_try_at=None, last_error=words)
    else:
        _finish(message, last_error=words)


def _for_good(reason: Exception) -> bool:
    """Whether trying again is pointless. RFC 5321, 4.2.1: 5yz is a permanent refusal."""
    if not isinstance(reason, smtplib.SMTPRecipientsRefused):
        return False
    return all(code >= 500 for code, _text in reason.recipients.values())


def in_words(reason: Exception) -> str:
    """Return why a mail was not sent, for whoever has to do something about it."""
    if isinstance(reason, smtplib.SMTPRecipientsRefused):
        code, said = next(iter(reason.recipients.values()))
        told = {"code": code, "said": _decoded(said)}
        return _("the mail server refuses the address: %(code)s %(said)s") % told
    if isinstance(reason, smtplib.SMTPAuthenticationError):
        return _("the mail server refuses the name or password in EMAIL_URL")
    if isinstance(reason, smtplib.SMTPResponseException):
        told = {"code": reason.smtp_code, "said": _decoded(reason.smtp_error)}
        return _("the mail server refuses the mail: %(code)s %(said)s") % told
    if isinstance(reason, ConnectionRefusedError):
        return _("no mail server listens at the address in EMAIL_URL")
    if isinstance(reason, TimeoutError):
        return _("the mail server does not answer")
    if isinstance(reason, OSError):
        return _("the mail server cannot be reached: %(said)s") % {"said": reason}
    return _("the mail could not be made: %(said)s") % {"said": reason}


def _decoded(said: bytes | str) -> str:
    return said.decode("utf-8", "replace") if isinstance(said, bytes) else said


@transaction.atomic
def _finish(message: Message, **fields) -> None:
    stored = Message.objects.select_for_update().filter(pk=message.pk).first()
    if stored is not None:  # erased with its workshop while it was on its way
        _store(stored, **fields)


def _store(message: Message, **fields) -> Message:
    for name, value in fields.items():
        setattr(message, name, value)
    return audit.write(message, by=None, checked=True)
