"""The frames of a workshop added up: by camera body, by attendee, and whose a body may be."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Max, Min

from planning.models import Frame
from workshops.lists.headings import folded
from workshops.models import Booking, Workshop


@dataclass(frozen=True)
class BodyRow:
    """The frames of one body that are one attendee's, or nobody's; times on its own clock."""

    body: str
    booking: Booking | None
    count: int
    first_at: datetime | None
    last_at: datetime | None
    may_be: tuple[str, ...] = ()  # whose camera has this make and model, where it is nobody's


@dataclass(frozen=True)
class PersonRow:
    booking: Booking | None
    count: int
    bodies: tuple[str, ...]


def body_rows(workshop: Workshop, bookings: list[Booking]) -> list[BodyRow]:
    """Return a row for each body and whose its frames are, nobody's first."""
    by_pk = {one.pk: one for one in bookings}
    cameras = _cameras(bookings)
    grouped = Frame.objects.filter(workshop=workshop).order_by().values("body", "booking")
    added = grouped.annotate(n=Count("pk"), first=Min("clock_at"), last=Max("clock_at"))
    rows = [
        BodyRow(
            body=one["body"],
            booking=by_pk.get(one["booking"]),
            count=one["n"],
            first_at=one["first"],
            last_at=one["last"],
            may_be=() if one["booking"] else _may_be(one["body"], cameras),
        )
        for one in added
    ]
    return sorted(rows, key=lambda row: (row.booking is not None, row.body, str(row.booking)))


def person_rows(rows: list[BodyRow]) -> list[PersonRow]:
    """Return the same added up by attendee, nobody's last."""
    by_person: dict[Booking | None, list[BodyRow]] = defaultdict(list)
    for row in rows:
        by_person[row.booking].append(row)
    people = [
        PersonRow(one, sum(row.count for row in theirs), tuple(row.body for row in theirs))
        for one, theirs in by_person.items()
    ]
    name = lambda one: str(one.booking.person) if one.booking else ""  # noqa: E731
    return sorted(people, key=lambda one: (one.booking is None, name(one)))


def _cameras(bookings: list[Booking]) -> list[tuple[frozenset[str], str]]:
    """Return the words of every attendee's cameras, and whose each is."""
    return [
        (frozenset(folded(camera.name).split()), str(booking.person))
        for booking in bookings
        for camera in booking.person.cameras.all()
    ]


def _may_be(body: str, cameras: list[tuple[frozenset[str], str]]) -> tuple[str, ...]:
    words = set(folded(body).split())
    return tuple(dict.fromkeys(name for model, name in cameras if model and model <= words))
