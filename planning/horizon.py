"""The sun's way over a place on chosen days, for the drawing of its horizon."""

from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from planning.drawings.sun_way import SunPath
from planning.figures import Figures
from planning.physics.sun import Place, sun_position

STEP = timedelta(minutes=5)
HOURS_SHOWN = 2  # every other hour has its number
NEAR_DAYS = 45  # hours of days nearer than that would write over each other


def sun_paths(place: Place, days: Iterable[tuple[str, date]], say: Figures) -> list[SunPath]:
    """Return the sun's apparent positions through each local day, in steps of five minutes.

    Days are of one year, each with its words, the most wanted first: that one is drawn strong,
    and one near a day before it goes without hours. Raises OutOfRange for a place off the globe
    or a year outside 1901 to 2099.
    """
    paths, told = [], []
    for label, day in days:
        apart = [abs((day - other).days) for other in told]
        hours = all(NEAR_DAYS <= count <= 365 - NEAR_DAYS for count in apart)
        points = tuple(_points(place, day, say, hours=hours))
        paths.append(SunPath(label, points, strong=not told))
        told.append(day)
    return paths


def _points(
    place: Place, day: date, say: Figures, *, hours: bool
) -> Iterator[tuple[float, float, str]]:
    zone = ZoneInfo(say.timezone)
    midnights = (datetime.combine(d, time(), zone) for d in (day, day + timedelta(days=1)))
    at, end = (midnight.astimezone(UTC) for midnight in midnights)
    while at <= end:
        sun = sun_position(place, at)
        local = at.astimezone(zone)
        told = hours and at < end and local.minute == 0 and local.hour % HOURS_SHOWN == 0
        yield sun.azimuth_deg, sun.elevation_deg, say.clock(at) if told else ""
        at += STEP
