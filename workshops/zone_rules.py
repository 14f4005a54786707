"""The clock changes of a zone, as a calendar file carries them. Source: RFC 5545, 3.6.5."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar

STEP = timedelta(days=1)  # no zone changes its clock twice within one


def zone_block(name: str, first: datetime, last: datetime) -> icalendar.Timezone:
    """Return the VTIMEZONE of a zone, right from the instant ``first`` to ``last``.

    Each change stands for itself, with its date; what the zone does after ``last`` is not said.
    """
    zone = ZoneInfo(name)
    block = icalendar.Timezone()
    block.add("tzid", name)
    block.add_component(_observance(first, zone, before=first.astimezone(zone).utcoffset()))
    for at in changes(zone, first, last):
        before = (at - timedelta(seconds=1)).astimezone(zone).utcoffset()
        block.add_component(_observance(at, zone, before=before))
    return block


def changes(zone: ZoneInfo, first: datetime, last: datetime) -> Iterator[datetime]:
    """Yield the instants, in UTC to the second, from which a zone keeps another clock."""
    at = first.astimezone(UTC).replace(microsecond=0)
    while at < last:
        then = at + STEP
        if _clock(at, zone) != _clock(then, zone):
            yield _between(at, then, zone)
        at = then


def _between(low: datetime, high: datetime, zone: ZoneInfo) -> datetime:
    old = _clock(low, zone)
    while high - low > timedelta(seconds=1):
        middle = (low + (high - low) / 2).replace(microsecond=0)
        low, high = (middle, high) if _clock(middle, zone) == old else (low, middle)
    return high


def _clock(at: datetime, zone: ZoneInfo) -> tuple:
    local = at.astimezone(zone)
    return local.utcoffset(), local.tzname()


def _observance(
    at: datetime, zone: ZoneInfo, *, before: timedelta
) -> icalendar.TimezoneStandard | icalendar.TimezoneDaylight:
    local = at.astimezone(zone)
    kind = icalendar.TimezoneDaylight if local.dst() else icalendar.TimezoneStandard
    made = kind()
    # The beginning is told on the clock that was kept until then (TZOFFSETFROM).
    made.add("dtstart", (at.astimezone(UTC) + before).replace(tzinfo=None))
    made.add("tzoffsetfrom", before)
    made.add("tzoffsetto", local.utcoffset())
    made.add("tzname", local.tzname())
    return made
