"""Mails to everybody of a workshop: joining notes, reminders, the balance, questionnaires."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db import transaction
from django.utils.translation import gettext as _

from workshops.errors import Refused
from workshops.letters import Letter, letter, terms_of
from workshops.models import Booking, Message, User, Workshop
from workshops.models.base import in_zone
from workshops.selectors import money
from workshops.selectors.messages import TAKES_PART, recipients, written_count
from workshops.services import messages
from workshops.services.questionnaire import (
    LONGEST,
    new_questionnaire_link,
    send_questionnaire,
)
from workshops.words import counted

Purpose = Message.Purpose
Status = Workshop.Status
Timetable = Iterable[tuple[datetime, str]]  # what begins when, besides start and end

ROUNDS = (Purpose.JOINING, Purpose.REMINDER, Purpose.BALANCE, Purpose.QUESTIONNAIRE)
# Whole days before the workshop on which everybody is reminded: common practice, no source.
REMIND_DAYS = (14, 7, 2)
RUNS = (Status.OPEN, Status.CONFIRMED)


def days_left(workshop: Workshop, now: datetime) -> int:
    """Return the days from today to the day of the start, on the calendar of the place."""
    zone = workshop.timezone_name
    return max((in_zone(workshop.start_at, zone).date() - in_zone(now, zone).date()).days, 0)


def can_be_sent(workshop: Workshop, now: datetime) -> bool:
    """Return whether everybody of a workshop is still written to."""
    return workshop.status in RUNS and now < workshop.end_at


def text_for(purpose: str, booking: Booking, now: datetime, timetable: Timetable = ()) -> Letter:
    """Return the mail as one person would get it now; nothing is written."""
    workshop, context = booking.workshop, {}
    if purpose == Purpose.JOINING:
        context = {"timetable": list(timetable), **terms_of(booking)}
    elif purpose == Purpose.REMINDER:
        context = {"days": days_left(workshop, now)}
    elif purpose == Purpose.BALANCE:
        context = {"account": money.account(booking, now)}
    elif purpose == Purpose.QUESTIONNAIRE:
        context = {"until": min(workshop.end_at, now + LONGEST)}
    return letter(purpose, person=booking.person, workshop=workshop, booking=booking, **context)


@transaction.atomic
def send_round(
    *,
    by: User | None,
    workshop: Workshop,
    purpose: str,
    now: datetime,
    timetable: Timetable = (),
    again: int | None = None,
) -> int:
    """Return how many mails were written: to everybody who has had none of that purpose yet.

    ``again`` writes to everybody once more; it is the number of mails of that purpose that were
    seen on the page, so that pressing twice, or two at once, writes no more. Raises Refused for
    a workshop that does not take place, or is over.
    """
    workshop = Workshop.objects.select_for_update().get(pk=workshop.pk)
    if not can_be_sent(workshop, now):
        raise Refused(
            _("%(workshop)s is not open, or over: nobody is written to.") % {"workshop": workshop}
        )
    if again is not None and again != written_count(workshop, purpose):
        raise Refused(_("Somebody has just sent it: look below who has had it."))
    mark = "" if again is None else f".{again}"
    wanted = [
        one.booking
        for one in recipients(workshop, purpose, now)
        if one.by_mail and (again is not None or one.last is None)
    ]
    for booking in wanted:
        _write(by, purpose, booking, now, timetable, messages.once(booking) + mark)
    return len(wanted)


def _write(by, purpose: str, booking: Booking, now: datetime, timetable: Timetable, key: str):
    if purpose == Purpose.QUESTIONNAIRE:
        told = {"by": by, "person": booking.person, "workshop": booking.workshop, "now": now}
        if key == messages.once(booking):
            return send_questionnaire(**told)
        # A new link, so that the mail is a new one: the one before opens nothing any more.
        return messages.questionnaire(by=by, link=new_questionnaire_link(**told), now=now)
    text = text_for(purpose, booking, now, timetable)
    file = messages.entry(booking, now) if purpose == Purpose.JOINING else ""
    return messages.write_about(by, purpose, booking, text, now, key=key, calendar=file)


def remind(now: datetime) -> str:
    """Remind who holds a seat of the day to come, once for each of REMIND_DAYS."""
    soon = now + timedelta(days=max(REMIND_DAYS) + 1)
    rows = Booking.objects.filter(
        state__in=TAKES_PART,
        workshop__status__in=RUNS,
        workshop__start_at__gt=now,
        workshop__start_at__lt=soon,
    )
    count = 0
    for booking in rows.select_related("person", "workshop").order_by("workshop", "pk"):
        left = days_left(booking.workshop, now)
        passed = [days for days in REMIND_DAYS if left <= days]
        # Who booked after that day knows the date: the confirmation has just said it.
        if passed and days_left(booking.workshop, booking.booked_at) > min(passed):
            key = f"{messages.once(booking)}.{min(passed)}days"
            count += _told_now(booking, Purpose.REMINDER, key, now)
    return f"wrote {counted(count, 'reminder', 'reminders')} of the day" if count else ""


def remind_of_balances(now: datetime) -> str:
    """Remind who owes the balance since it is due, once for each booking."""
    count = 0
    for booking in money.balances_due(now):
        if booking.workshop.status in RUNS and booking.workshop.end_at > now:
            count += _told_now(booking, Purpose.BALANCE, messages.once(booking), now)
    return f"wrote {counted(count, 'reminder', 'reminders')} of a balance" if count else ""


def _told_now(booking: Booking, purpose: str, key: str, now: datetime) -> bool:
    """Write one mail nobody asked for, unless it was written before; whether it was now."""
    if Message.objects.filter(key=messages.whole_key(purpose, key, booking.person)).exists():
        return False
    text = text_for(purpose, booking, now)
    return messages.write_about(None, purpose, booking, text, now, key=key) is not None
