"""Ask those who came for feedback by a link of their own; keep what they answer."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import Refused
from workshops.models import Booking, Feedback, Message, SignedLink, User
from workshops.selectors.feedback import feedback_link
from workshops.selectors.messages import can_be_mailed
from workshops.services import messages
from workshops.services.handout_links import Sent
from workshops.services.links import make_link, revoke_link, still_open

FEEDBACK = SignedLink.Purpose.FEEDBACK
OPEN_FOR = messages.AFTER_THE_DAY[Message.Purpose.FEEDBACK]
WAY = "feedback"  # what the audit calls it: there is no account behind it
QUESTIONS = ("taught", "turns", "pace", "safe", "words")


@transaction.atomic
def make_feedback_link(*, by: User | None, booking: Booking, now: datetime) -> SignedLink:
    """Return the open link to a booking's five questions, made now if there is none.

    Raises Refused for whoever did not come.
    """
    booking = Booking.objects.select_for_update().get(pk=booking.pk)
    if booking.state != Booking.State.ATTENDED:
        raise Refused(_("Only who was there is asked how it was."))
    return feedback_link(booking, now) or make_link(
        by=by, purpose=FEEDBACK, now=now, expires_at=now + OPEN_FOR, booking=booking
    )


@transaction.atomic
def revoke_feedback_links(*, by: User | None, booking: Booking, now: datetime) -> int:
    """Return how many links to a booking's questions were ended now; what was answered stays."""
    rows = booking.links.filter(purpose=FEEDBACK).order_by("pk")
    open_ones = [link for link in rows if link.is_open(now)]
    for link in open_ones:
        revoke_link(by=by, link=link, now=now)
    return len(open_ones)


@transaction.atomic
def ask_for_feedback(*, by: User | None, bookings: Iterable[Booking], now: datetime) -> Sent:
    """Write to each who has not been asked and has not answered; nobody is written to twice.

    Who cannot be mailed gets a link all the same, to be handed on.
    """
    written, before, without = 0, 0, []
    for booking in bookings:
        if Feedback.objects.filter(booking=booking).exists():
            before += 1
            continue
        link = make_feedback_link(by=by, booking=booking, now=now)
        if not can_be_mailed(booking.person):
            without.append(booking.person)
            continue
        asked = Message.objects.filter(
            key=messages.whole_key(Message.Purpose.FEEDBACK, link.pk.hex, booking.person)
        ).exists()
        text = messages.after_the_day(Message.Purpose.FEEDBACK, booking, until=link.expires_at)
        messages.write_about(
            by, Message.Purpose.FEEDBACK, booking, text, now, key=link.pk.hex, link=link
        )
        written, before = written + (not asked), before + asked
    return Sent(written, before, without)


@transaction.atomic
def save_feedback(*, link: SignedLink, answers: dict[str, Any], now: datetime) -> Feedback:
    """Return what somebody answers by a link, in place of what they answered before.

    ``answers`` are the fields of QUESTIONS. Raises Refused when the link opens nothing any more,
    and where nothing is answered at all; then what was told before stands.
    """
    Booking.objects.select_for_update().get(pk=link.booking_id)
    SignedLink.objects.select_for_update().filter(pk=link.pk).first()
    link = still_open(FEEDBACK, link.pk.hex, now)
    if link is None:
        raise Refused(_("This link does not open any more: ask the house for a new one."))
    told = Feedback.objects.filter(booking=link.booking_id).first()
    told = told or Feedback(booking=link.booking, given_at=now)
    before = audit.snapshot(told) if told.pk else None
    for name in QUESTIONS:
        setattr(told, name, answers[name])
    with audit.by_way_of(WAY):
        if before is None or before != audit.snapshot(told):
            told.given_at = now
            audit.write(told, by=None)
        link.used_at, link.answered_at = link.used_at or now, now
        audit.write(link, by=None)
    return told
