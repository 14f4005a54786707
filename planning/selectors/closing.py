"""What is open before a workshop is closed, and what its closing would set going."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from planning.after.results import SetTally
from planning.selectors.tally import set_tallies
from workshops.models import Booking, Closing, Message, Person, Workshop
from workshops.selectors import day_money
from workshops.selectors.checkouts import faulty_units, still_out
from workshops.selectors.feedback import attended
from workshops.selectors.messages import can_be_mailed
from workshops.words import exact_money

Status = Workshop.Status
UNSAID = (Booking.State.HELD, Booking.State.CONFIRMED)
# What a whole tally still wants, by SetTally.missing.
LACKS = {
    "times": gettext_lazy("when it began and ended"),
    "flashes": gettext_lazy("flashes of each lamp"),
    "turns": gettext_lazy("who had a turn"),
    "packs": gettext_lazy("packs in and out"),
}


@dataclass(frozen=True)
class Item:
    """One thing still open: what it is called in the form, what it says, where it is mended.

    A warning can be left open without a reason.
    """

    key: str
    words: str
    place: str
    warning: bool = False


@dataclass(frozen=True)
class Check:
    """One line of the checklist; ``fine`` is what it says with nothing open."""

    name: str
    title: str
    fine: str
    items: tuple[Item, ...]

    @property
    def wanting(self) -> bool:
        """Whether a reason is wanted before the workshop can be closed over it."""
        return any(not one.warning for one in self.items)


def closing_of(workshop: Workshop) -> Closing | None:
    """Return the closing that stands; None for a workshop that is not closed."""
    rows = Closing.objects.filter(workshop=workshop, reopened_at=None)
    return rows.select_related("by").prefetch_related("let_by").first()


def refusal_to_close(workshop: Workshop, now: datetime) -> str:
    """Return why the workshop cannot be closed whatever reasons are given; empty if it can."""
    if workshop.status == Status.RUN:
        return ""
    if workshop.status == Status.CANCELLED:
        return _("It was called off: there is nothing to close.")
    if workshop.status == Status.CONFIRMED and workshop.end_at <= now:
        return ""
    if workshop.status == Status.CONFIRMED:
        return _("It is not over yet. If it broke off, set its status to “has run” first.")
    return _("Only a workshop that has run is closed: set its status first.")


def checklist(workshop: Workshop, now: datetime) -> list[Check]:
    """Return every line of the checklist, fine or open, in the order in which a day is put away."""
    return [
        Check("over", _("The day"), _("The day is over."), _over(workshop, now)),
        Check(
            "presence", _("Who came"), _("Who came is noted for everybody."), _presence(workshop)
        ),
        Check("out", _("Kit"), _("All kit is back."), _out(workshop)),
        Check("faults", _("Faults"), _("Every fault has its words."), _faults(workshop)),
        Check("tally", _("Tally"), _("Every set is tallied."), _untallied(workshop)),
        Check("money", _("Money"), _("Nobody owes anything."), _money(workshop, now)),
    ]


def _over(workshop: Workshop, now: datetime) -> tuple[Item, ...]:
    if workshop.end_at <= now:
        return ()
    words = _("By its times the day is not over yet.")
    return (Item("over", words, reverse("workshop-edit", args=[workshop.pk])),)


def _presence(workshop: Workshop) -> tuple[Item, ...]:
    rows = workshop.bookings.filter(state__in=UNSAID).select_related("person", "seat")
    place, words = (
        reverse("workshop-here", args=[workshop.pk]),
        _("%(person)s, seat %(n)d: nobody noted whether they came."),
    )
    return tuple(
        Item(f"presence-{one.pk}", words % {"person": one.person, "n": one.seat.number}, place)
        for one in rows.order_by("seat__number", "pk")
    )


def _out(workshop: Workshop) -> tuple[Item, ...]:
    place = reverse("workshop-checkouts", args=[workshop.pk])
    words = _("%(unit)s is still out with %(person)s.")
    return tuple(
        Item(f"out-{one.pk}", words % {"unit": one.unit.tag, "person": one.person}, place)
        for one in still_out(workshop.checkouts.all())
    )


def _faults(workshop: Workshop) -> tuple[Item, ...]:
    words = _("%(unit)s has a fault, and nobody wrote down which.")
    return tuple(
        Item(f"fault-{one.pk}", words % {"unit": one.tag}, reverse("unit-edit", args=[one.pk]))
        for one in faulty_units(workshop)
        if not one.notes.strip()
    )


def _untallied(workshop: Workshop) -> tuple[Item, ...]:
    return tuple(_set_item(one) for one in set_tallies(workshop) if one.missing)


def _set_item(tally: SetTally) -> Item:
    told = {"set": tally.title, "what": "; ".join(str(LACKS[one]) for one in tally.missing)}
    # What it lacks is part of the name: a reason is for what was seen, and for no more.
    key = "-".join(("set", str(tally.set_id), *tally.missing))
    words = _("%(set)s, still to note: %(what)s.") % told
    return Item(key, words, reverse("tally", args=[tally.set_id]))


def _money(workshop: Workshop, now: datetime) -> tuple[Item, ...]:
    found = []
    for line in day_money.lines(workshop, now):
        owes, back = line.account.owed, line.account.owed_back
        if not owes and not back:
            continue
        words = (
            _("%(person)s still owes %(amount)s.")
            if owes
            else _("%(amount)s is owed back to %(person)s.")
        )
        told = {
            "person": line.booking.person,
            "amount": exact_money(owes or back, workshop.currency),
        }
        place = reverse("booking-money", args=[line.booking.pk])
        found.append(Item(f"money-{line.booking.pk}", words % told, place, warning=True))
    return tuple(found)


@dataclass(frozen=True)
class Foretold:
    """What the closing sets going: mails to those who were there, and what is erased."""

    handouts: list[Person]
    handouts_before: list[Person]
    questions: list[Person]
    questions_before: list[Person]
    by_hand: list[Person]  # no address that works
    medical: int  # people whose answers are erased


def foretold(workshop: Workshop) -> Foretold:
    """Return whom the closing writes to, and whom it would have to."""
    bookings = attended(workshop)
    by_mail = [one for one in bookings if can_be_mailed(one.person)]

    def had(purpose: str) -> Callable[[Booking], bool]:
        rows = Message.objects.filter(purpose=purpose, booking__workshop=workshop)
        known = set(rows.values_list("booking", flat=True))
        return lambda booking: booking.pk in known

    handout, asked = had(Message.Purpose.HANDOUT), had(Message.Purpose.FEEDBACK)
    return Foretold(
        handouts=[one.person for one in by_mail if not handout(one)],
        handouts_before=[one.person for one in by_mail if handout(one)],
        questions=[one.person for one in by_mail if not asked(one)],
        questions_before=[one.person for one in by_mail if asked(one)],
        by_hand=[one.person for one in bookings if one not in by_mail],
        medical=workshop.medical_answers.count(),
    )
