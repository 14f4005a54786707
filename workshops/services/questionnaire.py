"""The questionnaire: its link made, sent and changed by the office; its answers saved."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from django.db import transaction
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_variables

from workshops import audit
from workshops.errors import Refused, Stale
from workshops.models import CameraBody, Message, Person, SignedLink, User, Workshop
from workshops.models.answers import KEPT_AFTER_END, Told
from workshops.selectors.questionnaire import asked, still_asked
from workshops.services import messages
from workshops.services.links import make_link, revoke_link, still_open
from workshops.services.medical import keep_medical
from workshops.services.records import erase_record

PURPOSE = SignedLink.Purpose.QUESTIONNAIRE
LONGEST = timedelta(days=60)
WAY = "questionnaire link"  # in the audit instead of an account, and instead of a name


@transaction.atomic
def new_questionnaire_link(
    *, by: User | None, person: Person, workshop: Workshop, now: datetime
) -> SignedLink:
    """Return a new link for one person's questionnaire; older ones open nothing any more.

    It runs out with the workshop, at the latest after 60 days. Raises Refused once that is over.
    """
    Person.objects.select_for_update().get(pk=person.pk)
    if workshop.end_at <= now:
        raise Refused(
            _("%(workshop)s is over: nothing is asked any more.") % {"workshop": workshop}
        )
    for link in _open_links(person, workshop, now):
        revoke_link(by=by, link=link, now=now)
    until = min(workshop.end_at, now + LONGEST)
    return make_link(
        by=by, purpose=PURPOSE, now=now, expires_at=until, person=person, workshop=workshop
    )


def open_link(*, person: Person, workshop: Workshop, now: datetime) -> SignedLink | None:
    """Return the newest link that opens one person's questionnaire."""
    return next(iter(_open_links(person, workshop, now)), None)


def _open_links(person: Person, workshop: Workshop, now: datetime) -> list[SignedLink]:
    rows = SignedLink.objects.filter(purpose=PURPOSE, person=person, workshop=workshop)
    return [link for link in rows.order_by("-made_at", "pk") if link.is_open(now)]


@transaction.atomic
def let_run_until(
    *, by: User | None, link: SignedLink, until: datetime, now: datetime
) -> SignedLink:
    """Return a link that runs out at another instant. Raises Refused for one of no use."""
    link = SignedLink.objects.select_for_update().get(pk=link.pk)
    if link.revoked_at:
        raise Refused(_("This link is revoked: make a new one."))
    if until <= now:
        raise Refused({"expires_at": _("Runs out: enter a time to come, or revoke the link.")})
    if until > link.workshop.end_at + KEPT_AFTER_END:
        raise Refused({"expires_at": _("Runs out: enter a time within 14 days of the end.")})
    link.expires_at = until
    return audit.write(link, by=by)


@transaction.atomic
def send_questionnaire(
    *, by: User | None, person: Person, workshop: Workshop, now: datetime
) -> Message | None:
    """Return the mail with a person's link, which is made where none is open.

    None when the person has no e-mail address; the link is there all the same.
    """
    link = open_link(person=person, workshop=workshop, now=now)
    link = link or new_questionnaire_link(by=by, person=person, workshop=workshop, now=now)
    return messages.questionnaire(by=by, link=link, now=now)


@dataclass(frozen=True)
class Sent:
    """How many mails were written, who had one already, and whom none can reach."""

    now: int
    before: int
    without_address: list[Person]


@transaction.atomic
def send_to_all(*, by: User | None, workshop: Workshop, now: datetime) -> Sent:
    """Send the questionnaire to everybody who has not answered it yet."""
    new = before = 0
    unreached = []
    for one in asked(workshop):
        if one.answered_at:
            continue
        mail = send_questionnaire(by=by, person=one.person, workshop=workshop, now=now)
        if mail is None:
            unreached.append(one.person)
        elif mail.made_at == now:
            new += 1
        else:
            before += 1
    return Sent(new, before, unreached)


@dataclass(frozen=True)
class Answers:
    """What one form brings: the person as told, its cameras; ``medical`` None leaves them as is."""

    person: Person
    cameras: Iterable[CameraBody] = ()
    gone: Iterable[CameraBody] = ()
    medical: Told | None = field(default=None, repr=False)


@transaction.atomic
def note_opened(*, link: SignedLink, now: datetime) -> None:
    """Keep when a form was first sent back; merely fetching the link says nothing.

    No change by anybody, so nothing for the audit.
    """
    SignedLink.objects.filter(pk=link.pk, used_at=None).update(used_at=now)


@sensitive_variables("answers")
@transaction.atomic
def save_answers(
    *, link: SignedLink, answers: Answers, seen: datetime | None, now: datetime
) -> Person:
    """Return the person with everything one questionnaire says, saved at once or not at all.

    Raises Refused when the link opens nothing any more or an answer breaks a rule, Stale when
    the office changed the person since it was ``seen``.
    """
    # The person first, as where a newer link is made: two that wait for each other never end.
    stored = Person.objects.select_for_update().filter(pk=link.person_id).first()
    SignedLink.objects.select_for_update().filter(pk=link.pk).first()
    link = still_open(PURPOSE, link.pk.hex, now)
    if stored is None or not still_asked(link, now):
        raise Refused(_("This link does not open any more: ask the office for a new one."))
    with audit.by_way_of(WAY):
        _check_unchanged(answers.person, stored, seen)
        person = audit.write(answers.person, by=None)
        for camera in answers.gone:
            erase_record(by=None, record=camera)
        for camera in answers.cameras:
            _save_camera(camera, person)
        _settle_camera(person, link.workshop)
        if answers.medical is not None:
            keep_medical(
                by=None, person=person, workshop=link.workshop, told=answers.medical, now=now
            )
        link.used_at, link.answered_at = link.used_at or now, now
        audit.write(link, by=None)
    return person


def _check_unchanged(person: Person, stored: Person, seen: datetime | None) -> None:
    """Refuse to save over what the office changed; the same answers sent twice do no harm."""
    if seen is None or stored.changed_at == seen:
        return
    if audit.snapshot(stored) != audit.snapshot(person):
        raise Stale(
            _(
                "Your details were changed by the office since you opened this form. Look through "
                "your answers, then send them again: what stands here then counts."
            )
        )


def _save_camera(camera: CameraBody, owner: Person) -> None:
    # A second press of the button brings the same new body again: it is the one of that name.
    same = owner.cameras.filter(name__iexact=camera.name).first() if camera.pk is None else None
    if same:
        camera.pk, camera._state.adding = same.pk, False
        camera.curtain_s = same.curtain_s  # measured by the house, asked of nobody
    camera.owner = owner
    audit.write(camera, by=None)


def _settle_camera(person: Person, workshop: Workshop) -> None:
    """Plan with the first camera of an attendee for whom none is settled."""
    booking = workshop.bookings.live().filter(person=person, camera=None).first()
    if booking and (first := person.cameras.order_by("pk").first()):
        booking.camera = first
        audit.write(booking, by=None)
