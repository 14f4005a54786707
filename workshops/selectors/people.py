"""Questions about people."""

from django.db.models import Count, QuerySet

from workshops.models import Booking, Person
from workshops.selectors.search import search


def people(question: str = "", among: QuerySet[Person] | None = None) -> QuerySet[Person]:
    """Return the people a question finds, by name, with their number of cameras as ``bodies``."""
    rows = Person.objects.all() if among is None else among
    rows = rows.annotate(bodies=Count("cameras", distinct=True)).order_by("name", "pk")
    return search(rows, question, "name", "email", "phone", "notes", "cameras__name")


def bookings_of(person: Person) -> QuerySet[Booking]:
    """Return somebody's bookings, the newest workshop first."""
    rows = person.bookings.select_related("workshop", "camera")
    return rows.order_by("-workshop__start_at", "-pk")
