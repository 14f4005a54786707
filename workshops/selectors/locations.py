"""Questions about places."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Min, Q, QuerySet

from workshops.models import Location, Workshop
from workshops.selectors.needs import COMING
from workshops.selectors.search import search

SOON = timedelta(days=30)  # a permit is renewed before it ends: common practice, no source
PAST_TIDES = timedelta(days=1)


@dataclass(frozen=True)
class Permit:
    """How a permit stands on a day."""

    over: bool
    soon: bool


def locations(question: str, now: datetime) -> QuerySet[Location]:
    """Return the places a question finds, by name, the next workshop there as ``next_at``."""
    ahead = Q(workshops__end_at__gte=now, workshops__status__in=COMING)
    rows = Location.objects.annotate(next_at=Min("workshops__start_at", filter=ahead))
    found = search(Location.objects.all(), question, "name", "access", "hazards",
                   "permission_number", "notes")  # fmt: skip
    return rows.filter(pk__in=found.values("pk")).order_by("name", "pk")


def permit_on(location: Location, on: date) -> Permit:
    """Return whether the permit has ended, or ends within a month."""
    until = location.permission_until
    if until is None:
        return Permit(over=False, soon=False)
    return Permit(over=until < on, soon=on <= until <= on + SOON)


def coming_at(location: Location, now: datetime) -> QuerySet[Workshop]:
    """Return the workshops to come at a place, the next first."""
    rows = location.workshops.filter(end_at__gte=now, status__in=COMING)
    return rows.order_by("start_at", "pk")
