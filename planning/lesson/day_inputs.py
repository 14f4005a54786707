"""What a day is ordered by: sets with their minutes, breaks, ways, and what none of them may break.

Instants carry a zone; places are named by a key of the caller's.
"""

import math
from dataclasses import dataclass, fields, replace
from datetime import UTC, datetime, timedelta

from planning.physics.errors import OutOfRange

UNKNOWN_WAY_MIN = 30.0  # loading, driving, unloading: common practice, no source


@dataclass(frozen=True)
class Span:
    """From one instant to another."""

    start_at: datetime
    end_at: datetime


@dataclass(frozen=True)
class WantedSun:
    """Where a set wants the sun, as its record says it: for the sentences alone."""

    from_deg: float | None = None
    to_deg: float | None = None
    low_deg: float | None = None
    high_deg: float | None = None


@dataclass(frozen=True)
class DaySet:
    """One set: the minutes of its parts, where it is, and when it may and would like to be."""

    key: int
    title: str
    place: int
    start_at: datetime  # as planned today
    rig_min: float = 0.0
    brief_min: float = 0.0
    demo_min: float = 0.0
    turns_min: float = 0.0  # all of them, with the changes between
    critique_min: float = 0.0
    strike_min: float = 0.0
    pinned: bool = False  # at ``start_at``, exactly
    pin_give_min: float = 0.0  # how far a pin may slip: for finding out what would make a day fit
    earliest_at: datetime | None = None  # rigging begins no sooner
    latest_at: datetime | None = None  # struck by then
    dry: tuple[Span, ...] | None = None  # the way in and out is passed within one of these
    light: tuple[Span, ...] | None = None  # what the demo and the turns want; None: nothing
    wanted: WantedSun | None = None

    @property
    def length(self) -> timedelta:
        return _minutes(
            self.rig_min + self.brief_min + self.shoot_min + self.critique_min + self.strike_min
        )

    @property
    def shoot_min(self) -> float:
        """The minutes in which pictures are made: only these want the light."""
        return self.demo_min + self.turns_min

    def end_at(self, start_at: datetime) -> datetime:
        return later(start_at, self.length)

    def shooting(self, start_at: datetime) -> Span:
        begins = later(start_at, _minutes(self.rig_min + self.brief_min))
        return Span(begins, later(begins, _minutes(self.shoot_min)))


@dataclass(frozen=True)
class DayBreak:
    """A rest that begins within its span; it may lie anywhere but in a set or on the way."""

    title: str
    earliest_at: datetime
    latest_at: datetime
    minutes: float


@dataclass(frozen=True)
class DayPlace:
    key: int
    name: str
    walk_min: float = 0.0  # with the kit, between where the group is set down and the set


@dataclass(frozen=True)
class Way:
    """From set down to set up at another place; the way back may have a time of its own."""

    start: int
    end: int
    minutes: float


@dataclass(frozen=True)
class Day:
    """A day to be ordered. Everybody is together: one thing happens at a time."""

    start_at: datetime
    end_at: datetime
    sets: tuple[DaySet, ...]
    places: tuple[DayPlace, ...]
    breaks: tuple[DayBreak, ...] = ()
    ways: tuple[Way, ...] = ()
    intro_min: float = 0.0
    closing_min: float = 0.0
    unknown_way_min: float = UNKNOWN_WAY_MIN

    def place(self, key: int) -> DayPlace:
        return next(one for one in self.places if one.key == key)

    def way_known_min(self, start: int, end: int) -> float | None:
        """The minutes from place to place as recorded, either way; None where nobody knows."""
        if start == end:
            return 0.0
        both = {(way.start, way.end): way.minutes for way in self.ways}
        return both.get((start, end), both.get((end, start)))

    def way_min(self, start: int, end: int) -> float:
        """The minutes from place to place; unknown ones as told, and the walks at both ends."""
        known = self.way_known_min(start, end)
        if known is not None:
            return known
        return self.place(start).walk_min + self.unknown_way_min + self.place(end).walk_min


def _minutes(value: float) -> timedelta:
    return timedelta(minutes=value)


def later(at: datetime, span: timedelta) -> datetime:
    """Return the instant that much later; clock times alone lose an hour when clocks change."""
    return (at.astimezone(UTC) + span).astimezone(at.tzinfo)


def in_utc(day: Day) -> Day:
    """Return the same day with every instant in UTC, in which they may be added and compared."""

    def spans(found: tuple[Span, ...] | None) -> tuple[Span, ...] | None:
        if found is None:
            return None
        return tuple(Span(_utc(one.start_at), _utc(one.end_at)) for one in found)

    sets = tuple(
        replace(
            one,
            start_at=_utc(one.start_at),
            earliest_at=_utc(one.earliest_at),
            latest_at=_utc(one.latest_at),
            dry=spans(one.dry),
            light=spans(one.light),
        )
        for one in day.sets
    )
    breaks = tuple(
        replace(rest, earliest_at=_utc(rest.earliest_at), latest_at=_utc(rest.latest_at))
        for rest in day.breaks
    )
    return replace(
        day, start_at=_utc(day.start_at), end_at=_utc(day.end_at), sets=sets, breaks=breaks
    )


def _utc(at: datetime | None) -> datetime | None:
    return at.astimezone(UTC) if at else None


def require_day(day: Day) -> None:
    """Refuse what cannot be ordered. Raises OutOfRange with a sentence that says what is wrong."""
    _require_order("the day", day.start_at, day.end_at)
    _require_minutes("the day", day)
    known = {place.key for place in day.places}
    for place in day.places:
        _require_minutes(place.name, place)
    for way in day.ways:
        _require_minutes("a way", way)
    if len({one.key for one in day.sets}) < len(day.sets):
        raise OutOfRange("every set must have a key of its own")
    for one in day.sets:
        _require_minutes(one.title, one)
        if one.place not in known:
            raise OutOfRange(f"{one.title}: its place is none of the day's")
        _require_zones(one.title, one.start_at, one.earliest_at, one.latest_at)
        for span in (*(one.dry or ()), *(one.light or ())):
            _require_order(one.title, span.start_at, span.end_at)
    for rest in day.breaks:
        _require_minutes(rest.title, rest)
        _require_order(rest.title, rest.earliest_at, rest.latest_at)


def _require_minutes(name: str, record: object) -> None:
    for field in fields(record):
        value = getattr(record, field.name)
        if not (field.name.endswith("_min") or field.name == "minutes"):
            continue
        if not (math.isfinite(value) and value >= 0):
            raise OutOfRange(f"{name}: {field.name} must be 0 or more, not {value}")


def _require_zones(name: str, *instants: datetime | None) -> None:
    for at in instants:
        if at is not None and at.utcoffset() is None:
            raise OutOfRange(f"{name}: {at} names no instant, it needs a time zone")


def _require_order(name: str, start: datetime, end: datetime) -> None:
    _require_zones(name, start, end)
    if end < start:
        raise OutOfRange(f"{name}: {end} lies before {start}")
