"""Who is asked the questionnaire of a workshop, and how far each has come."""

from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from workshops.models import Booking, Message, Person, SignedLink, Workshop, WorkshopRole

Role = WorkshopRole.Role
ASKED_ROLES = (Role.MODEL, Role.STAND_IN, Role.HELPER, Role.CHAPERONE)


@dataclass(frozen=True)
class Asked:
    """Somebody who is asked, with the newest link and mail; ``answered_at`` from any link."""

    person: Person
    workshop: Workshop
    part: str
    place: str
    link: SignedLink | None
    message: Message | None
    answered_at: datetime | None

    def is_open(self, now: datetime) -> bool:
        return self.link is not None and self.link.is_open(now)

    def state(self, now: datetime) -> tuple[str, datetime | None]:
        """Return how far it has come in words, and since when."""
        link, mail = self.link, self.message
        if self.answered_at:
            return _("answered"), self.answered_at
        if link is None:
            return _("not sent"), None
        if link.revoked_at:
            return _("link revoked"), link.revoked_at
        if not link.is_open(now):
            return _("link has run out"), link.expires_at
        if link.used_at:
            return _("opened"), link.used_at
        if mail is None or mail.made_at < link.made_at:
            return _("link made, not sent"), link.made_at
        if mail.state == Message.State.SENT:
            return _("sent"), mail.sent_at
        return mail.get_state_display(), mail.made_at


def asked(workshop: Workshop) -> list[Asked]:
    """Return who is asked: attendees by name, then model, stand-ins and helpers; each once."""
    links, mails = _links(workshop), _mails(workshop)
    booked = workshop.bookings.exclude(state=Booking.State.CANCELLED).select_related("person")
    roles = workshop.roles.filter(role__in=ASKED_ROLES).select_related("person")
    found: dict[int, Asked] = {}
    for one in (*booked.order_by("person__name", "pk"), *roles.order_by("role", "pk")):
        if one.person_id not in found:
            found[one.person_id] = _row(one, links.get(one.person_id, []), mails, workshop)
    return list(found.values())


def asked_one(row: Booking | WorkshopRole) -> Asked:
    """Return how far the person of a booking or a role has come."""
    links = _links(row.workshop).get(row.person_id, [])
    return _row(row, links, _mails(row.workshop), row.workshop)


def _row(row, links: list[SignedLink], mails: dict[int, Message], workshop: Workshop) -> Asked:
    if isinstance(row, Booking):
        part, place = row.get_state_display(), reverse("booking-questionnaire", args=[row.pk])
    else:
        part, place = row.get_role_display(), reverse("role-questionnaire", args=[row.pk])
    return Asked(
        person=row.person,
        workshop=workshop,
        part=part,
        place=place,
        link=links[0] if links else None,
        message=mails.get(row.person_id),
        answered_at=max((one.answered_at for one in links if one.answered_at), default=None),
    )


def _links(workshop: Workshop) -> dict[int, list[SignedLink]]:
    rows = workshop.links.filter(purpose=SignedLink.Purpose.QUESTIONNAIRE)
    found: dict[int, list[SignedLink]] = {}
    for link in rows.order_by("-made_at", "pk"):
        found.setdefault(link.person_id, []).append(link)
    return found


def _mails(workshop: Workshop) -> dict[int, Message]:
    rows = workshop.messages.filter(purpose=Message.Purpose.QUESTIONNAIRE)
    return {mail.person_id: mail for mail in rows.defer("body").order_by("made_at", "pk")}


def takes_part(person: Person, workshop: Workshop) -> bool:
    """Return whether somebody is booked, waits for a seat or has a role at a workshop."""
    booked = workshop.bookings.exclude(state=Booking.State.CANCELLED).filter(person=person)
    return booked.exists() or workshop.roles.filter(person=person).exists()


def still_asked(link: SignedLink | None, now: datetime) -> bool:
    """Return whether a link opens its questionnaire: in time, and the person takes part."""
    if link is None or not link.is_open(now):
        return False
    over = (Workshop.Status.CLOSED, Workshop.Status.CANCELLED)
    return link.workshop.status not in over and takes_part(link.person, link.workshop)


def has_water(workshop: Workshop) -> bool:
    """Return whether a place of the workshop has water: then it matters who swims."""
    return workshop.places.exclude(location__water="none").exists()
