"""Mails to people: written with the change that causes them, sent once it is stored."""

from datetime import datetime

from django.db import transaction

from workshops import audit
from workshops.models import Booking, Message, Person, SignedLink, User, Workshop


@transaction.atomic
def write_message(
    *,
    by: User | None,
    purpose: str,
    key: str,
    person: Person,
    subject: str,
    body: str,
    now: datetime,
    workshop: Workshop | None = None,
    booking: Booking | None = None,
    calendar: str = "",
) -> Message | None:
    """Return the message of that purpose and key, written now or before.

    None when the person has no e-mail address.
    """
    if not person.email:
        return None
    whole_key = f"{purpose}:{key}:{person.pk}"
    if known := Message.objects.filter(key=whole_key).first():
        return known
    message = Message(
        purpose=purpose,
        key=whole_key,
        person=person,
        workshop=workshop,
        booking=booking,
        to_address=person.email,
        subject=" ".join(subject.split())[:200],
        body=body,
        calendar=calendar,
        made_at=now,
    )
    return audit.write(message, by=by)


def confirmation(*, by: User | None, booking: Booking, now: datetime) -> Message | None:
    """Write that a seat is held. Written in full by the messages' own area."""
    raise NotImplementedError


def offer(*, by: User | None, booking: Booking, link: SignedLink, now: datetime) -> Message | None:
    """Write that a seat is free for somebody on the waitlist, with the link that takes it."""
    raise NotImplementedError


def lapsed(*, by: User | None, booking: Booking, now: datetime) -> Message | None:
    """Write that an offer was not taken in time."""
    raise NotImplementedError


def cancellation(*, by: User | None, booking: Booking, now: datetime) -> Message | None:
    """Write that a booking is cancelled, by whom, and what is owed."""
    raise NotImplementedError
