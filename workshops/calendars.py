"""Workshops as calendar entries. Source: RFC 5545 (iCalendar), RFC 7986 5.3."""

from collections.abc import Iterable
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import icalendar
from django.db.models import Count, QuerySet
from django.utils.translation import gettext as _

from workshops.models import AuditEntry, Location, Workshop
from workshops.zone_rules import zone_block

# SEQUENCE is a whole number of at most 31 bits (3.3.8): seconds since then last until 2088.
EPOCH = datetime(2020, 1, 1, tzinfo=UTC)
LIBRARY = "-//One Stop Under//Workshops//EN"

Status = Workshop.Status
STATUS = {Status.DRAFT: "TENTATIVE", Status.OPEN: "TENTATIVE", Status.CANCELLED: "CANCELLED"}


def with_places(workshops: QuerySet[Workshop]) -> QuerySet[Workshop]:
    """Return the workshops with what their entries ask for, oldest first."""
    return workshops.prefetch_related("places__location").order_by("start_at", "pk")


def feed(workshops: Iterable[Workshop], *, name: str) -> bytes:
    """Return a calendar of workshops; the same workshops give the same bytes."""
    workshops = list(workshops)
    made = _calendar()
    made.add("name", name)
    made.add("x-wr-calname", name)
    _add_zones(made, workshops)
    changes = _changes(workshops)
    for workshop in workshops:
        entry = _entry(workshop, changes.get(str(workshop.pk), 0))
        made.add_component(entry)
    return made.to_ical()


def invitation(workshop: Workshop, *, now: datetime, cancelled: bool = False) -> str:
    """Return the calendar file of one workshop as a mail carries it.

    ``cancelled`` takes it out of the calendar of somebody who does not come.
    """
    made = _calendar()
    made.add("method", "PUBLISH")
    _add_zones(made, [workshop])
    entry = _entry(workshop, _changes([workshop]).get(str(workshop.pk), 0))
    entry["DTSTAMP"] = icalendar.vDatetime(now.astimezone(UTC))  # with a method: when it was made
    if cancelled:
        entry["STATUS"] = icalendar.vText("CANCELLED")
    made.add_component(entry)
    return made.to_ical().decode()


def _calendar() -> icalendar.Calendar:
    made = icalendar.Calendar()
    made.add("prodid", LIBRARY)
    made.add("version", "2.0")
    return made


def _add_zones(made: icalendar.Calendar, workshops: list[Workshop]) -> None:
    # Without the zone's own rules some programs take the times for their own clock's.
    for name in sorted({one.timezone_name for one in workshops} - {"UTC"}):
        there = [one for one in workshops if one.timezone_name == name]
        first = min(one.start_at for one in there).year
        last = max(one.end_at for one in there).year
        span = datetime(first - 1, 12, 31, tzinfo=UTC), datetime(last + 1, 1, 2, tzinfo=UTC)
        made.add_component(zone_block(name, *span))


def _entry(workshop: Workshop, changes: int) -> icalendar.Event:
    zone = ZoneInfo(workshop.timezone_name)
    places = [place.location for place in workshop.places.all()]
    changed_at = max([workshop.changed_at, *(place.changed_at for place in places)])
    entry = icalendar.Event()
    entry.add("uid", _uid(workshop))
    # Seconds alone would miss a second change within one: each is in the audit as well.
    entry.add("sequence", int((changed_at - EPOCH).total_seconds()) + changes)
    entry.add("dtstamp", changed_at.astimezone(UTC))
    entry.add("last-modified", changed_at.astimezone(UTC))
    entry.add("dtstart", workshop.start_at.astimezone(zone))
    entry.add("dtend", workshop.end_at.astimezone(zone))
    entry.add("summary", _plain(workshop.title))
    entry.add("status", STATUS.get(workshop.status, "CONFIRMED"))
    if places:
        entry.add("location", "; ".join(_plain(place.name) for place in places))
        if places[0].latitude_deg is not None:
            entry.add("geo", (round(places[0].latitude_deg, 6), round(places[0].longitude_deg, 6)))
    if description := _description(workshop, places):
        entry.add("description", description)
    return entry


def _uid(workshop: Workshop) -> str:
    """Return the entry's name, the same for good: a UUID and nothing of where the site stands.

    Source: RFC 7986, 5.3. An entry that went out under another name keeps it, or whoever has it
    in a calendar would see it twice.
    """
    host = workshop.calendar_host
    return f"{workshop.calendar_uid}@{host}" if host else str(workshop.calendar_uid)


def _description(workshop: Workshop, places: list[Location]) -> str:
    lines = []
    if workshop.status == Status.CANCELLED:
        lines.append(_("Cancelled: %(reason)s") % {"reason": _plain(workshop.cancelled_reason)})
    if places and (first := places[0]).parking:
        lines.append(_("Parking: %(where)s") % {"where": _plain(first.parking)})
    return "\n".join(lines)


def _plain(text: str) -> str:
    """Return a text without control signs, which no line of a calendar may hold (3.1)."""
    return "".join(sign for sign in text if sign == "\n" or (sign >= " " and sign != "\x7f"))


def _changes(workshops: list[Workshop]) -> dict[str, int]:
    """Return how often each workshop was changed, by its number as the audit keeps it."""
    entries = AuditEntry.objects.filter(
        record_type=Workshop._meta.label_lower, record_id__in=[str(one.pk) for one in workshops]
    )
    return dict(entries.order_by().values_list("record_id").annotate(Count("pk")))
