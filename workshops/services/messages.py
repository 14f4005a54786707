"""Mails to people: written with the change that causes them, sent once it is stored."""

from datetime import datetime, timedelta

from django.db import transaction

from workshops import audit, post
from workshops.calendars import invitation, with_places
from workshops.letters import Letter, letter, spoken_to, terms_of
from workshops.models import Booking, Message, Person, SignedLink, User, Workshop
from workshops.selectors import money
from workshops.selectors.house import house
from workshops.selectors.messages import can_be_mailed

Purpose = Message.Purpose
# How long the links sent after the day open, from their making: common practice, no source.
AFTER_THE_DAY = {Purpose.HANDOUT: timedelta(days=90), Purpose.FEEDBACK: timedelta(days=30)}


def whole_key(purpose: str, key: str, person: Person) -> str:
    """Return what a message is known by: one purpose, one matter, one person."""
    return f"{purpose}:{key}:{person.pk}"


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
    link: SignedLink | None = None,
    calendar: str = "",
) -> Message | None:
    """Return the message of that purpose and key, written now or before.

    None when the person has no e-mail address. ``link`` is what the placeholder in the body
    stands for.
    """
    if not can_be_mailed(person):
        return None
    known_by = whole_key(purpose, key, person)
    if known := Message.objects.filter(key=known_by).first():
        return known
    message = Message(
        purpose=purpose,
        key=known_by,
        person=person,
        workshop=workshop,
        booking=booking,
        link=link,
        to_address=person.email,
        subject=" ".join(subject.split())[:200],
        body=body,
        calendar=calendar,
        made_at=now,
    )
    audit.write(message, by=by)
    post.dispatch(message)
    return message


def confirmation(*, by: User | None, booking: Booking, now: datetime) -> Message | None:
    """Write that a seat is held or confirmed, with price, terms and the calendar entry."""
    text = text_of(Purpose.CONFIRMATION, booking, now)
    file = entry(booking, now)
    return write_about(
        by, Purpose.CONFIRMATION, booking, text, now, key=once(booking), calendar=file
    )


def questionnaire(*, by: User | None, link: SignedLink, now: datetime) -> Message | None:
    """Write the link to the questionnaire to whom it was made for."""
    workshop, person = link.workshop, link.person
    text = letter(Purpose.QUESTIONNAIRE, person=person, workshop=workshop, until=link.expires_at)
    return write_message(
        by=by,
        purpose=Purpose.QUESTIONNAIRE,
        key=link.pk.hex,
        person=person,
        workshop=workshop,
        link=link,
        subject=text.subject,
        body=text.body,
        now=now,
    )


def offer(*, by: User | None, booking: Booking, link: SignedLink, now: datetime) -> Message | None:
    """Write that a seat is free for somebody on the waitlist, with the link that takes it."""
    text = text_of(Purpose.OFFER, booking, now, until=booking.offer_expires_at or link.expires_at)
    return write_about(by, Purpose.OFFER, booking, text, now, key=link.pk.hex, link=link)


def lapsed(*, by: User | None, booking: Booking, now: datetime) -> Message | None:
    """Write that an offer was not taken in time; once for each offer that lapsed."""
    ended = booking.offer_lapsed_at or now
    text = _about(Purpose.LAPSED, booking)
    return write_about(
        by, Purpose.LAPSED, booking, text, now, key=f"{booking.pk}@{ended:%Y%m%d%H%M%S}"
    )


def cancellation(*, by: User | None, booking: Booking, now: datetime) -> Message | None:
    """Write that a booking is cancelled, by whom, and what is owed."""
    text = text_of(Purpose.CANCELLATION, booking, now)
    file = entry(booking, now, cancelled=True)
    return write_about(
        by, Purpose.CANCELLATION, booking, text, now, key=once(booking), calendar=file
    )


def text_of(purpose: str, booking: Booking, now: datetime, until: datetime | None = None) -> Letter:
    """Return what a confirmation, an offer or a cancellation says about a booking as it stands."""
    if purpose == Purpose.CANCELLATION:
        owed = money.account(booking, now).owed_back if money.price_of(booking) else None
        by_house = booking.cancelled_by == Booking.CalledOffBy.HOUSE
        reason = booking.workshop.cancelled_reason if by_house else ""
        return _about(purpose, booking, owed=owed, reason=reason)
    told = {"until": until} if purpose == Purpose.OFFER else {}
    return _about(purpose, booking, **told, **terms_of(booking))


def foretold(purpose: str, booking: Booking, now: datetime) -> Letter:
    """Return what a mail that goes out by itself would say of a booking if it came now.

    Nothing is written: the record given is changed, and not to be saved.
    """
    if purpose in AFTER_THE_DAY:
        return after_the_day(purpose, booking, until=now + AFTER_THE_DAY[purpose])
    until = None
    if purpose == Purpose.OFFER:
        until = min(now + timedelta(hours=house().offer_hours), booking.workshop.start_at)
    if purpose == Purpose.CANCELLATION:
        booking.refund_share = money.share_back(booking, now, by_house=False)
        booking.state, booking.cancelled_at = Booking.State.CANCELLED, now
        booking.cancelled_by = Booking.CalledOffBy.ATTENDEE
    return text_of(purpose, booking, now, until=until)


def after_the_day(purpose: str, booking: Booking, *, until: datetime) -> Letter:
    """Return what comes with the link to a handout, or to the questions after the day."""
    return _about(purpose, booking, until=until)


def entry(booking: Booking, now: datetime, *, cancelled: bool = False) -> str:
    """Return the calendar file, in the reader's language, of the workshop as it is stored now."""
    workshop = with_places(Workshop.objects.filter(pk=booking.workshop_id)).get()
    with spoken_to(booking.person):
        return invitation(workshop, now=now, cancelled=cancelled)


def once(booking: Booking) -> str:
    """Return the key of what is told once about a booking."""
    # A transfer may carry a booking to another date: that is news.
    return f"{booking.pk}.{booking.workshop_id}"


def _about(purpose: str, booking: Booking, **context) -> Letter:
    workshop, person = booking.workshop, booking.person
    return letter(purpose, person=person, workshop=workshop, booking=booking, **context)


def write_about(
    by: User | None, purpose: str, booking: Booking, text: Letter, now: datetime, **rest
) -> Message | None:
    """Return the message of that text to whom a booking is for; ``rest`` as ``write_message``."""
    return write_message(
        by=by,
        purpose=purpose,
        person=booking.person,
        workshop=booking.workshop,
        booking=booking,
        subject=text.subject,
        body=text.body,
        now=now,
        **rest,
    )
