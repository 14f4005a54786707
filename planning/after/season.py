"""What a season came to: rows of what was noted in, medians with their spread and counts out.

Nothing is averaged that nobody noted: where there are no rows there is None, or no line.
"""

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TypeVar

from planning.after.spread import Spread, spread

LATE_DAYS = 7  # a seat given back in the last week is hardly filled: common practice, no source
# Where a part of the day begins, on the clock of the place.
PARTS = ((5, "morning"), (12, "afternoon"), (17, "evening"))
DAY = timedelta(days=1)

Row = TypeVar("Row")
Key = TypeVar("Key", bound=Hashable)


@dataclass(frozen=True)
class Answers:
    """What one of those who were there said of the day; empty or None: no answer to that."""

    taught: int | None = None
    safe: int | None = None
    turns: str = ""
    pace: str = ""


@dataclass(frozen=True)
class WorkshopRow:
    """One workshop as it was booked and held. Times on the clock of the place."""

    id: int
    title: str
    start_at: datetime
    end_at: datetime
    called_off: bool  # by the house
    over: bool
    offered: int
    booked: int
    attended: int
    absent: int
    left_days: tuple[int, ...] = ()  # whole days before the start, of each attendee who left
    answers: tuple[Answers, ...] = ()

    @property
    def days(self) -> int:
        """Dates it took; at most 24 hours are one day, over midnight as well."""
        if self.end_at - self.start_at <= DAY:
            return 1
        return (self.end_at.date() - self.start_at.date()).days + 1


@dataclass(frozen=True)
class SetRow:
    """One set as it was noted. Times on the clock of the place."""

    id: int
    workshop_id: int
    workshop: str
    title: str
    place: str
    start_at: datetime
    end_at: datetime
    began_at: datetime | None = None
    ended_at: datetime | None = None
    turns: int = 0
    missed: int = 0
    turn_min: tuple[float, ...] = ()
    frames: tuple[int, ...] = ()  # of each attendee whose frames are counted
    misfires: int = 0
    near_misses: int = 0

    @property
    def minutes_over(self) -> float | None:
        """Minutes it took longer than planned; None where beginning or end was not noted."""
        if self.began_at is None or self.ended_at is None:
            return None
        planned = self.end_at - self.start_at
        return (self.ended_at - self.began_at - planned).total_seconds() / 60.0


@dataclass(frozen=True)
class MisfireRow:
    at: datetime
    workshop: str
    set_title: str
    attendee: str
    cause: str
    trigger: str  # its tag, empty where it was not noted
    body: str  # camera by its name, empty where it is not known
    notes: str = ""


@dataclass(frozen=True)
class GustRow:
    """A gust somebody met, against what was forecast for the place and what strikes everything."""

    at: datetime
    workshop: str
    set_title: str
    place: str
    gust_m_s: float
    limit_m_s: float
    forecast_m_s: float | None = None  # with the place's exposure; None: there was no forecast
    ended_min: float | None = None  # minutes until the set was noted as ended

    @property
    def over(self) -> bool:
        """Whether by the house's rule every stand comes down."""
        return self.gust_m_s > self.limit_m_s

    @property
    def beyond_m_s(self) -> float | None:
        return None if self.forecast_m_s is None else self.gust_m_s - self.forecast_m_s


@dataclass(frozen=True)
class Seats:
    """Seats of some workshops that were not called off."""

    workshops: int
    offered: int
    booked: int
    noted: int  # booked at workshops where somebody noted who came
    attended: int
    absent: int
    left: int  # called off by the attendee
    late: int  # of those, in the last days

    @property
    def booked_share(self) -> float | None:
        return self.booked / self.offered if self.offered else None

    @property
    def not_noted(self) -> int:
        return self.booked - self.noted

    @property
    def absent_share(self) -> float | None:
        came_or_not = self.attended + self.absent
        return self.absent / came_or_not if came_or_not else None


def seats(rows: Iterable[WorkshopRow]) -> Seats:
    """Return the seats of the workshops in all; one called off offers none."""
    held = [row for row in rows if not row.called_off]
    noted = [row for row in held if row.attended or row.absent]
    left = [days for row in held for days in row.left_days]
    return Seats(
        workshops=len(held),
        offered=sum(row.offered for row in held),
        booked=sum(row.booked for row in held),
        noted=sum(row.booked for row in noted),
        attended=sum(row.attended for row in held),
        absent=sum(row.absent for row in held),
        left=len(left),
        late=sum(days < LATE_DAYS for days in left),
    )


def by_month(rows: Iterable[WorkshopRow]) -> list[tuple[date, Seats]]:
    """Return the seats of each month that has a workshop, in order of time, not of the calendar."""
    months = grouped(rows, lambda row: row.start_at.date().replace(day=1))
    return [(month, seats(months[month])) for month in sorted(months)]


def counted(names: Iterable[str]) -> list[tuple[str, int]]:
    """Return how often each name comes, the most first, then by name."""
    return sorted(Counter(names).items(), key=lambda pair: (-pair[1], pair[0]))


def grouped(rows: Iterable[Row], key: Callable[[Row], Key]) -> dict[Key, list[Row]]:
    """Return the rows by what they share, in the order in which each is met first."""
    found: dict[Key, list[Row]] = {}
    for row in rows:
        found.setdefault(key(row), []).append(row)
    return found


@dataclass(frozen=True)
class Line:
    """Figures that belong together, by a name, in order of time."""

    name: str
    values: tuple[float, ...]
    spread: Spread


def lines(pairs: Iterable[tuple[str, float | None]]) -> list[Line]:
    """Return the figures of each name; names without a figure have no line."""
    told = grouped(
        ((name, value) for name, value in pairs if value is not None), lambda one: one[0]
    )
    rows = [(name, tuple(value for _name, value in found)) for name, found in told.items()]
    return [Line(name, values, spread(values)) for name, values in rows]


def over_by_set(rows: Sequence[SetRow]) -> list[Line]:
    """Return the minutes over plan of each set that was given, once or often, by its title."""
    return lines((row.title, row.minutes_over) for row in rows)


def over_by_part(rows: Sequence[SetRow]) -> list[Line]:
    """Return the minutes over plan by the part of the day in which a set was planned to begin."""
    found = lines((part_of_day(row.start_at), row.minutes_over) for row in rows)
    order = [name for _hour, name in PARTS]
    return sorted(found, key=lambda line: order.index(line.name))


def part_of_day(at: datetime) -> str:
    """Return morning, afternoon or evening by the clock; the night before five is evening still."""
    begun = [name for hour, name in PARTS if at.hour >= hour]
    return begun[-1] if begun else PARTS[-1][1]


@dataclass(frozen=True)
class Promise:
    """A unit promised to a workshop for a half-open span, margins included."""

    category: str
    start_at: datetime
    end_at: datetime


@dataclass(frozen=True)
class KitDays:
    """What of one category was promised in the season. A unit-day is one unit for 24 hours."""

    category: str
    units: int
    promised_days: float
    available_days: float
    most_at_once: int

    @property
    def share(self) -> float | None:
        return self.promised_days / self.available_days if self.available_days else None


def kit_days(
    promises: Iterable[Promise], units: dict[str, int], start_at: datetime, end_at: datetime
) -> list[KitDays]:
    """Return the unit-days of each category between two instants, promised and there at all.

    What is promised beyond the ends is cut off there. ``units`` are those fit for use now.
    """
    clipped = [
        Promise(row.category, max(row.start_at, start_at), min(row.end_at, end_at))
        for row in promises
    ]
    told = grouped((row for row in clipped if row.start_at < row.end_at), lambda row: row.category)
    return [
        KitDays(
            category=category,
            units=count,
            promised_days=sum((row.end_at - row.start_at) / DAY for row in told.get(category, ())),
            available_days=count * ((end_at - start_at) / DAY),
            most_at_once=_most_at_once(told.get(category, ())),
        )
        for category, count in units.items()
    ]


def _most_at_once(rows: Iterable[Promise]) -> int:
    # At one instant what ends comes before what begins: the spans are half-open.
    turns = [(at, step) for row in rows for at, step in ((row.start_at, 1), (row.end_at, -1))]
    here = most = 0
    for _at, step in sorted(turns):
        here += step
        most = max(most, here)
    return most
