"""Somebody leaves a workshop: what only served their coming goes with them."""

from datetime import datetime

from workshops import audit
from workshops.models import Booking, SignedLink, User
from workshops.services.links import revoke_link
from workshops.services.medical import forget_medical


def forget(*, by: User | None, booking: Booking, now: datetime) -> None:
    """Close the links of a booking's person for its workshop, erase tries and medical answers."""
    questions = SignedLink.objects.filter(
        purpose=SignedLink.Purpose.QUESTIONNAIRE,
        person=booking.person_id,
        workshop=booking.workshop_id,
    )
    for link in (booking.links.all() | questions).filter(revoked_at=None).distinct():
        revoke_link(by=by, link=link, now=now)
    for tried in booking.rehearsals.all():
        audit.erase(tried, by=by)
    forget_medical(by=by, person=booking.person, workshop=booking.workshop)
