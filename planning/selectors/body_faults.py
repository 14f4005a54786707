"""Which triggers did not go together with somebody's camera on a set, as misfires have it."""

from collections.abc import Iterator
from datetime import datetime

from django.db.models import Prefetch

from planning.models import TallyEvent
from workshops.models import Booking, CameraBody, KitUnit, Person, Rehearsal


def body_faults(booking: Booking, until: datetime | None = None) -> dict[KitUnit, datetime]:
    """Return the triggers that misfired with a booking's camera because of the body, and when last.

    Every workshop of the person counts, on the very body and with the very unit. Whatever fired
    at a rehearsal after that fires again. ``until`` leaves out what happened later.
    """
    found: dict[KitUnit, datetime] = {}
    for event in _body_misfires(booking, until):
        found[event.unit] = max(event.at, found.get(event.unit, event.at))
    for row in _rehearsals(booking):
        at = found.get(row.trigger_unit)
        if at is not None and row.result == Rehearsal.Result.FIRES and row.tried_at > at:
            del found[row.trigger_unit]
    return found


def body_misfires(person: Person) -> Iterator[TallyEvent]:
    """Yield the misfires of somebody that were put down to the body, with the trigger named."""
    for booking in person.bookings.all():
        for event in booking.events.all():
            if event.cause == TallyEvent.Cause.BODY and event.unit and event.takes_back_id is None:
                yield event


def camera_of(booking: Booking) -> CameraBody | None:
    """Return the body somebody shoots with; somebody's one body needs no choosing."""
    if booking.camera:
        return booking.camera
    bodies = list(booking.person.cameras.all())
    return bodies[0] if len(bodies) == 1 else None


def body_faults_loaded(prefix: str) -> list[Prefetch]:
    """Return what reads all of it for every booking of a workshop, in three questions."""
    misfires = TallyEvent.objects.filter(
        kind=TallyEvent.Kind.MISFIRE, cause=TallyEvent.Cause.BODY, taken_back_by=None
    ).select_related("unit__kind", "booking")
    tries = Rehearsal.objects.select_related("trigger_unit").order_by("pk")
    everywhere = f"{prefix}bookings__person__bookings"
    return [
        Prefetch(everywhere, Booking.objects.select_related("camera").order_by("pk")),
        Prefetch(f"{everywhere}__events", misfires),
        Prefetch(f"{everywhere}__rehearsals", tries),
    ]


def _body_misfires(booking: Booking, until: datetime | None) -> Iterator[TallyEvent]:
    own = {one.pk for one in _with_that_body(booking)}
    for event in body_misfires(booking.person):
        if event.booking_id in own and (until is None or event.at <= until):
            yield event


def _rehearsals(booking: Booking) -> Iterator[Rehearsal]:
    for other in _with_that_body(booking):
        yield from other.rehearsals.all()


def _with_that_body(booking: Booking) -> list[Booking]:
    """Return the bookings of the person with the same body, this one among them."""
    body = camera_of(booking)
    chosen = {one.pk: one.camera_id or _only(booking.person) for one in _all(booking)}
    return [one for one in _all(booking) if body is not None and chosen[one.pk] == body.pk]


def _all(booking: Booking) -> list[Booking]:
    return list(booking.person.bookings.all())


def _only(person: Person) -> int | None:
    bodies = list(person.cameras.all())
    return bodies[0].pk if len(bodies) == 1 else None
