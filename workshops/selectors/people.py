"""Questions about people."""

from difflib import SequenceMatcher
from typing import Any

from django.db.models import Count, QuerySet
from django.utils.translation import gettext as _

from workshops.models import Booking, Person, Workshop
from workshops.selectors.search import LONGEST, folded, search

ALIKE = 0.85  # of difflib's ratio: one slip in a name of seven letters
FEW = 5
SHOWN = 20  # people in a list to pick from; more are found by typing on


def people(question: str = "", among: QuerySet[Person] | None = None) -> QuerySet[Person]:
    """Return the people a question finds, by name, with their number of cameras as ``bodies``."""
    rows = Person.objects.all() if among is None else among
    rows = rows.annotate(bodies=Count("cameras", distinct=True)).order_by("name", "pk")
    return search(rows, question, "name", "email", "phone", "notes", "cameras__name")


def bookings_of(person: Person) -> QuerySet[Booking]:
    """Return somebody's bookings, the newest workshop first."""
    rows = person.bookings.select_related("workshop", "camera")
    return rows.order_by("-workshop__start_at", "-pk")


def likely_same(name: str, email: str = "") -> list[Person]:
    """Return the people entered already who may well be somebody of that name or mail address.

    The address alike but for case; or the name alike but for case, accents, the order of its
    words and a slip or two. The likeliest first, at most FEW.
    """
    address, wanted = email.strip().casefold(), _words(name)
    found = []
    alike = SequenceMatcher(b=wanted)
    rows = Person.objects.order_by("pk").values_list("pk", "name", "email")
    for pk, known, known_email in rows:
        if address and known_email.casefold() == address:
            found.append((2.0, pk))
            continue
        alike.set_seq1(_words(known))
        if wanted and alike.quick_ratio() >= ALIKE and alike.ratio() >= ALIKE:
            found.append((alike.ratio(), pk))
    keys = [pk for _ratio, pk in sorted(found, key=lambda one: (-one[0], one[1]))[:FEW]]
    by_key = Person.objects.in_bulk(keys)
    return [by_key[pk] for pk in keys]


def _words(name: str) -> str:
    return " ".join(sorted(folded(name[:LONGEST]).replace(",", " ").split()))


def people_found(question: str, chosen: str, workshop: Workshop) -> dict[str, Any]:
    """Return the people to pick from for a workshop, at most SHOWN and whoever is ``chosen``.

    ``people`` with what they have to do with it already as ``told``, how many were found in
    ``all``, and the question as ``asked``.
    """
    rows = people(question)
    shown = list(rows[:SHOWN])
    if chosen.isdecimal() and chosen not in {str(one.pk) for one in shown}:
        shown += people().filter(pk=int(chosen))
    booked = workshop.bookings.exclude(state=Booking.State.CANCELLED)
    states = dict(booked.filter(person__in=shown).values_list("person", "state"))
    for one in shown:
        one.told = ""
        if state := states.get(one.pk):
            waits = state == Booking.State.WAITLISTED
            one.told = _("on the waitlist") if waits else _("holds a seat")
    return {"people": shown, "all": rows.count(), "asked": question}
