"""The sun's way over a place on chosen days, for the drawing of its horizon."""

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from planning.drawings.horizon import SunPath
from planning.figures import Figures
from planning.physics.sun import Place, sun_position

STEP = timedelta(minutes=10)
HOURS_SHOWN = 2  # every other hour has its number


def sun_paths(place: Place, days: Iterable[tuple[str, date]], say: Figures) -> list[SunPath]:
    """Return the sun's apparent positions through each local day, in steps of ten minutes."""
    return [SunPath(label, tuple(_points(place, day, say))) for label, day in days]


def _points(place: Place, day: date, say: Figures):
    at = datetime.combine(day, time(0), tzinfo=ZoneInfo(say.timezone))
    end = datetime.combine(day + timedelta(days=1), time(0), tzinfo=ZoneInfo(say.timezone))
    at, end = at.astimezone(ZoneInfo("UTC")), end.astimezone(ZoneInfo("UTC"))
    while at <= end:
        sun = sun_position(place, at)
        local = at.astimezone(ZoneInfo(say.timezone))
        full_hour = local.minute == 0 and local.hour % HOURS_SHOWN == 0
        yield sun.azimuth_deg, sun.elevation_deg, say.clock(at) if full_hour else ""
        at += STEP
