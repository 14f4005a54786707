"""Medical answers: kept encrypted, read by the lead, erased in time."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime

from django.db import transaction
from django.db.models import Exists, OuterRef, Q
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_variables

from workshops import audit
from workshops.errors import Refused
from workshops.models import Booking, MedicalAnswers, Person, User, Workshop, WorkshopRole
from workshops.models.answers import CALM, KEPT_AFTER_END, Told, medical_answers_over

NOTED_AS = "medical answers"  # what the audit calls a reading


@sensitive_variables("told", "answers")
@transaction.atomic
def keep_medical(
    *, by: User | None, person: Person, workshop: Workshop, told: Told, now: datetime
) -> MedicalAnswers | None:
    """Return what a person told for a workshop, in place of what was told before.

    None, and nothing kept, when every answer is empty. Raises Refused once such answers may be
    kept no longer.
    """
    workshop = Workshop.objects.select_for_update().get(pk=workshop.pk)
    if medical_answers_over(workshop, now):
        raise Refused(_("The workshop is over: medical answers are kept for it no longer."))
    given = {name: answer for name, answer in told.items() if answer}
    if not given:
        forget_medical(by=by, person=person, workshop=workshop)
        return None
    known = MedicalAnswers.objects.filter(person=person, workshop=workshop).first()
    answers = known or MedicalAnswers(person=person, workshop=workshop)
    answers.told, answers.answered_at = given, now
    with _caution_following(workshop):
        return audit.write(answers, by=by)


@transaction.atomic
def forget_medical(*, by: User | None, person: Person, workshop: Workshop) -> int:
    """Erase what one person told for a workshop, and return of how many people that was."""
    workshop = Workshop.objects.select_for_update().get(pk=workshop.pk)
    found = list(MedicalAnswers.objects.filter(person=person, workshop=workshop))
    with _caution_following(workshop):
        for answers in found:
            audit.erase(answers, by=by)
    return len(found)


@contextmanager
def _caution_following(workshop: Workshop) -> Iterator[None]:
    """Raise or lift the caution about flashes with the answers that change in this block.

    One that no answer asked for was raised by the office, and stays.
    """
    before = wants_calm(workshop)
    yield
    after = wants_calm(workshop)
    if after or (before and after is False):
        _raise_caution(workshop, bool(after))


def wants_calm(workshop: Workshop) -> bool | None:
    """Return whether somebody's answers ask for no strobe effects; None if one is unreadable."""
    told = [one.told for one in workshop.medical_answers.all()]
    if any(one.get(CALM) for one in told if one is not None):
        return True
    return None if None in told else False


def _raise_caution(workshop: Workshop, raised: bool) -> None:
    # Without an audit entry: beside that of the person who has just answered, it would say whose
    # answer it is. The instant still counts: the sheets of the day have changed.
    workshop.strobe_sensitive = raised
    Workshop.objects.filter(pk=workshop.pk).exclude(strobe_sensitive=raised).update(
        strobe_sensitive=raised, changed_at=timezone.now()
    )


@transaction.atomic
def read_medical(*, by: User, workshop: Workshop) -> list[MedicalAnswers]:
    """Return the answers for a workshop, by name, and note who read them.

    Whether ``by`` leads the workshop is for the caller to ask.
    """
    audit.note_reading(workshop, NOTED_AS, by=by)
    return list(workshop.medical_answers.select_related("person").order_by("person__name", "pk"))


@transaction.atomic
def erase_medical(*, by: User | None, workshop: Workshop) -> int:
    """Erase all answers for a workshop, the caution they raised too, and return how many."""
    Workshop.objects.select_for_update().get(pk=workshop.pk)  # nobody answers meanwhile
    found = list(workshop.medical_answers.order_by("pk"))
    for answers in found:
        audit.erase(answers, by=by)
    if found:
        _raise_caution(workshop, False)
    return len(found)


@transaction.atomic
def erase_overdue_medical(*, by: User | None, now: datetime) -> int:
    """Erase what may be kept no longer, and return how many people's answers that were.

    Overdue are those of a workshop that is closed, cancelled or 14 days past, and those of
    people who do not take part any more.
    """
    over = Q(status__in=(Workshop.Status.CLOSED, Workshop.Status.CANCELLED))
    over |= Q(end_at__lte=now - KEPT_AFTER_END)
    workshops = Workshop.objects.filter(over, medical_answers__isnull=False).distinct()
    count = sum(erase_medical(by=by, workshop=one) for one in workshops)
    same = {"workshop": OuterRef("workshop"), "person": OuterRef("person")}
    booked = Booking.objects.exclude(state=Booking.State.CANCELLED).filter(**same)
    left = MedicalAnswers.objects.exclude(
        Exists(booked) | Exists(WorkshopRole.objects.filter(**same))
    )
    for answers in left.defer("text").select_related("person", "workshop"):
        count += forget_medical(by=by, person=answers.person, workshop=answers.workshop)
    return count


@transaction.atomic
def encrypt_anew() -> tuple[int, int]:
    """Encrypt all answers with the first key; return how many, and how many no key could read."""
    done = lost = 0
    for answers in MedicalAnswers.objects.select_for_update().order_by("pk"):
        if answers.text is None:
            lost += 1
            continue
        # What was told stays as it is: no change for the audit, nothing newer for a reader.
        MedicalAnswers.objects.filter(pk=answers.pk).update(text=answers.text)
        done += 1
    return done, lost
