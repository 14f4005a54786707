"""From a camera's clock to true time: one figure for each body, where it came from, how near it is.

Exif writes the hour on the camera's clock and no zone (CIPA DC-008, DateTimeOriginal); newer
bodies add what they take for their zone (OffsetTimeOriginal). ``clock_at`` is that hour as though
it stood at UTC, so that true time is ``clock_at + add_s`` whatever is wrong with the clock: zone,
summer time, drift, or year.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

SHOWN, HAND, FIT = "shown", "hand", "fit"  # as CameraClock.Way
AS_CAMERA_SAYS, AS_PLACE, NO_TIME = "as the camera says", "as the place", "no time"

# Camera and page both show whole seconds begun, so their difference is out by less than one;
# half a second as a rule.
SHOWN_WITHIN_S = 1.0
HAND_WITHIN_S = 60.0  # a difference told in minutes; common practice, no source
LEAST_ZONE_S, MOST_ZONE_S = -12 * 3600, 14 * 3600  # IANA time zone database: UTC-12 to UTC+14
QUARTER_S = 900.0  # every zone of today stands whole quarter hours from UTC (the same)


@dataclass(frozen=True)
class Clock:
    """What is known of one body's clock."""

    add_s: float
    way: str  # SHOWN, HAND, FIT


@dataclass(frozen=True)
class TrueTime:
    """A frame's true time and how it was come by."""

    at: datetime | None
    way: str  # a clock's way, AS_CAMERA_SAYS, AS_PLACE, NO_TIME


def true_time(
    clock_at: datetime | None,
    offset_min: int | None,
    clock: Clock | None,
    place_offset_s: float,
) -> TrueTime:
    """Return true time by the body's clock, else by the camera's own offset, else by the place's.

    Without anything known the camera is taken to keep the clock of the place as it stood when
    the workshop began: a camera does not put itself forward in the night of a change.
    """
    if clock_at is None:
        return TrueTime(None, NO_TIME)
    if clock is not None:
        return TrueTime(clock_at + timedelta(seconds=clock.add_s), clock.way)
    if offset_min is not None:
        return TrueTime(clock_at - timedelta(minutes=offset_min), AS_CAMERA_SAYS)
    return TrueTime(clock_at - timedelta(seconds=place_offset_s), AS_PLACE)


def place_offset_s(at: datetime, zone_name: str) -> float:
    """Return how far the clocks of a place stand ahead of UTC at an instant, in seconds."""
    return at.astimezone(ZoneInfo(zone_name)).utcoffset().total_seconds()


def add_from_shown_s(clock_at: datetime, shown_at: datetime) -> float:
    """Return what to add when a frame with that clock shows that true time."""
    return (shown_at - clock_at).total_seconds()


def add_from_ahead_s(ahead_s: float, zone_offset_s: float) -> float:
    """Return what to add for a camera so far ahead of a zone's clock; behind is negative."""
    return -(zone_offset_s + ahead_s)


def ahead_s(add_s: float, zone_offset_s: float) -> float:
    """Return how far a camera stands ahead of a zone's clock: ``add_from_ahead_s`` backwards."""
    return -(add_s + zone_offset_s)


def instants(day: date, shown: time, zone_name: str) -> tuple[datetime, ...]:
    """Return when the clock of a zone shows a time: once; never or twice where it is moved.

    The night a clock goes back it shows an hour twice, the earlier instant comes first; the night
    it goes forward it leaves an hour out. Source: PEP 495.
    """
    zone = ZoneInfo(zone_name)
    found = []
    for fold in (0, 1):
        at = datetime.combine(day, shown.replace(fold=fold), tzinfo=zone).astimezone(UTC)
        local = at.astimezone(zone)
        if (local.date(), local.time().replace(fold=0)) == (day, shown) and at not in found:
            found.append(at)
    return tuple(found)
