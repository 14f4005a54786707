"""Joining notes: the workshops' mail, with the timetable of the planned sets."""

from datetime import datetime

from django.http import HttpRequest, HttpResponse

from workshops.access import found_workshop, may
from workshops.models import Workshop
from workshops.views.messages import Purpose, round_page


@may("add", "message")
def workshop_joining(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    return round_page(request, workshop, Purpose.JOINING, timetable(workshop))


def timetable(workshop: Workshop) -> list[tuple[datetime, str]]:
    """Return when each set begins and what it is called, in the order of the day."""
    sets = workshop.sets.select_related("location").order_by("start_at", "position", "pk")
    return [(one.start_at, f"{one.title} ({one.location})") for one in sets]
