"""Records -> a certificate of attendance: who was there, when and where, what was taught."""

from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from planning.models import TallyEvent
from planning.selectors.lesson import standing
from planning.sheets.certificate import Certificate
from workshops.errors import Refused
from workshops.models import Booking, House, Workshop, WorkshopRole

ONE_DAY = timedelta(hours=24)  # as days are ordered: more than that are several


def refusal_of_certificate(booking: Booking, now: datetime) -> str:
    """Return why a booking gets no certificate now; empty where it does."""
    if now < booking.workshop.end_at:
        return _("A certificate is given once the workshop is over.")
    if booking.state != Booking.State.ATTENDED:
        return _("A certificate is for whoever is noted as having been here.")
    return ""


def certificate(booking: Booking, house: House, now: datetime) -> Certificate:
    """Return what the certificate of a booking says; call it in the house's language.

    Raises Refused before the workshop is over, and for whoever is not noted as attended.
    """
    if sentence := refusal_of_certificate(booking, now):
        raise Refused(sentence)
    workshop = booking.workshop
    places = workshop.places.select_related("location").order_by("position", "pk")
    return Certificate(
        name=booking.person.name,
        title=workshop.title,
        start_at=max(workshop.start_at, booking.arrives_at or workshop.start_at),
        end_at=min(workshop.end_at, booking.leaves_at or workshop.end_at),
        timezone=workshop.timezone_name,
        several_days=workshop.end_at - workshop.start_at > ONE_DAY,
        places=tuple(place.location.name for place in places),
        taught=_taught(workshop),
        led_by=_led_by(workshop),
        issuer=tuple(line for line in (house.name, *house.postal_address.splitlines()) if line),
    )


def _taught(workshop: Workshop) -> tuple[str, ...]:
    """Return the points of the sets that took place, each once.

    Where nothing was noted of any set, all that were planned.
    """
    rows = workshop.sets.select_related("main_point", "second_point").prefetch_related("events")
    sets = list(rows.order_by("position", "pk"))
    held = [one for one in sets if standing(one.events.all(), *TallyEvent.Kind)]
    points = (point for one in held or sets for point in (one.main_point, one.second_point))
    return tuple(dict.fromkeys(str(point) for point in points if point))


def _led_by(workshop: Workshop) -> tuple[str, ...]:
    """Return who led, first, and who taught beside them."""
    roles = workshop.roles.select_related("person").order_by("pk")
    order = (WorkshopRole.Role.LEAD, WorkshopRole.Role.INSTRUCTOR)
    return tuple(row.person.name for part in order for row in roles if row.role == part)
