"""Which seat each row of a list would get at a workshop, or which place on its waitlist."""

from datetime import datetime

from django.utils.translation import gettext as _

from workshops.errors import NotBookable
from workshops.lists.outcome import CHANGED, Outcome
from workshops.models import LIVE, Booking, Person, Workshop
from workshops.services.waitlist import check_bookable


class Seats:
    """The seats of one workshop as they stand, given out row by row.

    As when a booking is made: lapsed offers are over, and whoever waits comes before a new one.
    """

    def __init__(self, workshop: Workshop, now: datetime):
        self.faults: list[str] = []
        try:
            check_bookable(workshop, now)
        except NotBookable as refusal:
            self.faults = refusal.messages
        bookings = list(workshop.bookings.exclude(state=Booking.State.CANCELLED))
        self.states = {one.person_id: one.state for one in bookings}
        self.waiting = sum(one.state not in LIVE for one in bookings)
        kept = {one.seat_id for one in bookings if one.state in LIVE or one.is_offered(now)}
        seats = workshop.seats.order_by("number").values_list("pk", "number")
        free = [(pk, number) for pk, number in seats if pk not in kept]
        unseated = [one for one in bookings if one.state not in LIVE and not one.is_offered(now)]
        unasked = sum(one.seat_id is None and one.offer_lapsed_at is None for one in unseated)
        offered = min(unasked, len(free))
        self.free = free[offered:] if len(unseated) == offered else []

    def take(self, outcome: Outcome, person: Person) -> None:
        """Say what the person of a row gets."""
        state = self.states.get(person.pk) if person.pk else None
        if state in LIVE:
            outcome.says.append(_("holds a seat already"))
            return
        if state:
            outcome.says.append(_("is on the waitlist already"))
            return
        if self.free:
            outcome.seat, number = self.free.pop(0)
            outcome.says.append(_("seat %(number)d") % {"number": number})
        else:
            self.waiting += 1
            outcome.says.append(_("place %(number)d on the waitlist") % {"number": self.waiting})
        outcome.becomes(CHANGED)
        outcome.books = True
