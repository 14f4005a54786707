"""A wanted sun over a span of dates: when on each day it stands there, and which days are best."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from itertools import pairwise

from planning.lesson.windows import Window, light_windows
from planning.physics.constants import DAYLIGHT_FLOOR_DEG, SUNRISE_ELEVATION_DEG
from planning.physics.errors import OutOfRange
from planning.physics.sun import Place, check_year

MOST_DAYS = 366

Horizon = Sequence[tuple[float, float]]


@dataclass(frozen=True)
class WantedSun:
    """Where a set wants the sun: an arc clockwise, and heights over the level horizon."""

    from_deg: float = 0.0
    to_deg: float = 360.0
    low_deg: float = 0.0
    high_deg: float = 90.0

    @classmethod
    def of(
        cls,
        from_deg: float | None = None,
        to_deg: float | None = None,
        low_deg: float | None = None,
        high_deg: float | None = None,
    ) -> "WantedSun":
        """Return the wanted sun of what was entered; what is empty bounds nothing.

        Without a lower height the sun is wanted up, unless the upper one lies below level.
        """
        high_deg = 90.0 if high_deg is None else high_deg
        if low_deg is None:
            low_deg = 0.0 if high_deg > 0 else DAYLIGHT_FLOOR_DEG
        if from_deg is None or to_deg is None:
            from_deg, to_deg = 0.0, 360.0
        return cls(from_deg, to_deg, low_deg, high_deg)

    def windows(
        self, place: Place, start: datetime, end: datetime, horizon: Horizon = ()
    ) -> list[Window]:
        """Return the light windows of this sun.

        One wanted below level is wanted for its twilight: then no horizon is asked. Raises
        OutOfRange as ``light_windows`` does.
        """
        return light_windows(
            place,
            start,
            end,
            from_deg=self.from_deg,
            to_deg=self.to_deg,
            elevation_min_deg=self.low_deg,
            elevation_max_deg=self.high_deg,
            horizon=() if self.high_deg <= 0 else horizon,
        )


@dataclass(frozen=True)
class SeasonDay:
    """One date on the clock of the place; its windows are cut at its midnights."""

    day: date
    windows: tuple[Window, ...]  # the sun stands where it is wanted
    hidden: tuple[Window, ...]  # it would, but for the horizon
    sun_up: tuple[Window, ...]  # from sunrise to sunset over a level horizon
    short: tuple[Window, ...] = ()  # windows left out: less light in all than was asked for

    @property
    def light_min(self) -> float:
        return _minutes(self.windows)

    @property
    def hidden_min(self) -> float:
        return _minutes(self.hidden)


def season(
    place: Place,
    zone: tzinfo,
    first: date,
    last: date,
    wanted: WantedSun,
    horizon: Horizon = (),
) -> tuple[SeasonDay, ...]:
    """Return every date from ``first`` to ``last``, both included, with its light.

    Raises OutOfRange for a span the wrong way round or longer than ``MOST_DAYS``, a year outside
    1901 to 2099, and as ``light_windows`` does.
    """
    for name, day in (("first", first), ("last", last)):
        check_year(name, day.year)
    count = (last - first).days + 1
    if not 1 <= count <= MOST_DAYS:
        raise OutOfRange(f"last must lie from first to {MOST_DAYS - 1} days after it, not {last}")
    days = [first + timedelta(days=index) for index in range(count + 1)]
    midnights = [datetime.combine(day, time(), zone) for day in days]
    span = midnights[0], midnights[-1]
    clear = wanted.windows(place, *span, horizon)
    bounded = wanted.windows(place, *span) if horizon else clear
    up = WantedSun(low_deg=SUNRISE_ELEVATION_DEG).windows(place, *span)
    parts = (_by_day(midnights, one) for one in (clear, _without(bounded, clear), up))
    return tuple(SeasonDay(*one) for one in zip(days[:-1], *parts, strict=True))


def best(days: Sequence[SeasonDay], count: int) -> list[SeasonDay]:
    """Return the days with most light first, the earlier of two alike; none without any."""
    lit = [day for day in days if day.windows]
    return sorted(lit, key=lambda day: (-day.light_min, day.day))[:count]


def enough(days: Sequence[SeasonDay], least_min: float) -> tuple[SeasonDay, ...]:
    """Return the days, those with less light than so many minutes as days without any."""
    return tuple(
        day if day.light_min >= least_min else replace(day, windows=(), short=day.windows)
        for day in days
    )


def runs(days: Sequence[SeasonDay]) -> list[tuple[date, date]]:
    """Return the first and last date of every unbroken row of days with light."""
    found: list[tuple[date, date]] = []
    for day in days:
        if not day.windows:
            continue
        if found and day.day - found[-1][1] == timedelta(days=1):
            found[-1] = (found[-1][0], day.day)
        else:
            found.append((day.day, day.day))
    return found


def _minutes(windows: Sequence[Window]) -> float:
    return sum((window.length / timedelta(minutes=1) for window in windows), 0.0)


def _by_day(
    midnights: Sequence[datetime], windows: Sequence[Window]
) -> Iterator[tuple[Window, ...]]:
    """Yield for each day its parts of the windows, which are in order."""
    first = 0
    for pair in pairwise(midnights):
        start_at, end_at = (one.astimezone(UTC) for one in pair)
        while first < len(windows) and windows[first].end_at.astimezone(UTC) <= start_at:
            first += 1
        parts = []
        for window in windows[first:]:
            if window.start_at.astimezone(UTC) >= end_at:
                break
            parts.append(_between(window, start_at, end_at))
        yield tuple(part for part in parts if part.length)


def _between(window: Window, start_at: datetime, end_at: datetime) -> Window:
    zone = window.start_at.tzinfo
    start = max(window.start_at.astimezone(UTC), start_at)
    end = min(window.end_at.astimezone(UTC), end_at)
    return Window(start.astimezone(zone), end.astimezone(zone))


def _without(windows: Sequence[Window], others: Sequence[Window]) -> list[Window]:
    """Return the windows less what lies in ``others``; both are in order and apart."""
    left, index = [], 0
    for window in windows:
        at, end_at = window.start_at.astimezone(UTC), window.end_at.astimezone(UTC)
        while index < len(others) and others[index].start_at.astimezone(UTC) < end_at:
            other = others[index]
            left.append(_between(window, at, other.start_at.astimezone(UTC)))
            at = max(at, other.end_at.astimezone(UTC))
            if at >= end_at:
                break
            index += 1
        left.append(_between(window, at, end_at))
    return [one for one in left if one.length > timedelta(seconds=1)]
