"""Which seat each row of a list would get at a workshop, or which place on its waitlist."""

from datetime import datetime

from django.utils.translation import gettext as _

from workshops.lists.outcome import CHANGED, Outcome
from workshops.models import LIVE, Person, Workshop
from workshops.selectors.seats import free_seats
from workshops.services.waitlist import BOOKABLE


class Seats:
    """The seats of one workshop as they stand, given out row by row."""

    def __init__(self, workshop: Workshop, now: datetime):
        self.workshop, self.faults = workshop, []
        rows = workshop.bookings.exclude(state="cancelled").values_list("person", "state")
        self.states = dict(rows)
        self.free = sorted(free_seats(workshop).values_list("number", flat=True))
        self.waiting = sum(state not in LIVE for state in self.states.values())
        if workshop.status not in BOOKABLE:
            sentence = _("%(workshop)s takes no bookings: its status is %(status)s.")
            status = workshop.get_status_display()
            self.faults.append(sentence % {"workshop": workshop, "status": status})
        elif workshop.start_at <= now:
            sentence = _("%(workshop)s has already started.")
            self.faults.append(sentence % {"workshop": workshop})

    def take(self, outcome: Outcome, person: Person) -> None:
        """Say what the person of a row gets."""
        state = self.states.get(person.pk) if person.pk else None
        if state in LIVE:
            outcome.says.append(_("holds a seat already"))
            return
        if state:
            outcome.says.append(_("is on the waitlist already"))
            return
        if not self.free:
            sentence = _(
                "%(workshop)s is full: leave the row out, or give the workshop more seats."
            )
            outcome.refuse(sentence % {"workshop": self.workshop})
            return
        outcome.says.append(_("seat %(number)d") % {"number": self.free.pop(0)})
        outcome.becomes(CHANGED)
        outcome.books = True
