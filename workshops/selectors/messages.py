"""Questions about mails: who has had what, and who lacks it."""

from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db.models import QuerySet

from workshops.models import Booking, Message, Person, SignedLink, Workshop
from workshops.selectors import money

Purpose = Message.Purpose
TAKES_PART = (Booking.State.HELD, Booking.State.CONFIRMED)


@dataclass(frozen=True)
class Recipient:
    """Somebody a mailing is for; ``last`` is the newest mail of its purpose, if any."""

    booking: Booking
    by_mail: bool
    last: Message | None


def can_be_mailed(person: Person) -> bool:
    """Return whether the person has an e-mail address that mail can be sent to."""
    try:
        validate_email(person.email)
    except ValidationError:
        return False
    return True


def messages_of(workshop: Workshop) -> QuerySet[Message]:
    """Return a workshop's mails, the newest first."""
    return workshop.messages.select_related("person").order_by("-made_at", "-pk")


def written_count(workshop: Workshop, purpose: str) -> int:
    """Return how many mails of a purpose were written about a workshop so far."""
    return workshop.messages.filter(purpose=purpose).count()


def recipients(workshop: Workshop, purpose: str, now: datetime) -> list[Recipient]:
    """Return whom a mailing is for, by name, with what they had of its purpose."""
    had = {}
    for message in workshop.messages.filter(purpose=purpose).order_by("made_at", "pk"):
        had[message.person_id] = message
    return [
        Recipient(booking, can_be_mailed(booking.person), had.get(booking.person_id))
        for booking in sorted(_bookings(workshop, purpose, now), key=lambda one: one.person.name)
    ]


def _bookings(workshop: Workshop, purpose: str, now: datetime) -> list[Booking]:
    rows = workshop.bookings.filter(state__in=TAKES_PART).select_related("person")
    rows = money.with_money(rows)
    if purpose == Purpose.BALANCE:
        return [one for one in rows if money.account(one, now).owed]
    if purpose == Purpose.QUESTIONNAIRE:
        answered = SignedLink.objects.filter(
            purpose=SignedLink.Purpose.QUESTIONNAIRE, workshop=workshop, answered_at__isnull=False
        )
        return list(rows.exclude(person__in=answered.values("person")))
    return list(rows)
