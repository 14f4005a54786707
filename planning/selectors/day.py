"""A workshop's sets, breaks and ways as the days to be ordered."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import groupby
from zoneinfo import ZoneInfo

from django.db.models import Prefetch, Q, QuerySet

from planning.lesson.day_inputs import (
    Day,
    DayBreak,
    DayPlace,
    DaySet,
    Span,
    WantedSun,
    Way,
)
from planning.lesson.turns import slots_owed
from planning.lesson.windows import light_windows
from planning.models import PlannedSet
from planning.physics.errors import OutOfRange
from planning.physics.sun import Place
from planning.physics.water import dry_spans, table_around
from planning.plan.day_notes import day_notes, for_seats
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _
from planning.selectors.lesson import station_names
from planning.selectors.own_days import turn_minutes_of
from planning.selectors.people import in_turn
from planning.selectors.places import tide_inputs
from workshops.models import Location, TravelTime, Workshop, WorkshopRole
from workshops.models.base import in_zone
from workshops.selectors.house import house

SUN_UP_DEG = 0.0  # where a set wants an arc and says nothing of the height
LOWEST_DEG, HIGHEST_DEG = -90.0, 90.0
ONE_DAY = timedelta(hours=24)
PARTS = ("rig_min", "brief_min", "demo_min", "critique_min", "strike_min")


@dataclass(frozen=True)
class WorkshopDay:
    """One day of a workshop: its records, what is ordered, and what is not known of it."""

    on: date
    day: Day
    records: tuple[PlannedSet, ...]  # in today's order
    notes: tuple[Words, ...]

    @property
    def starts(self) -> dict[int, datetime]:
        return {one.key: one.start_at for one in self.day.sets}


def workshop_days(workshop: Workshop) -> list[WorkshopDay]:
    """Return the days of a workshop that have sets; a set belongs to the day it begins in.

    A workshop of at most 24 hours is one day, midnight or not. Sets of a longer one belong to
    the date on its clock.
    """
    rows = workshop.sets.select_related("location", "model__person").prefetch_related(
        "location__tide_points", Prefetch("workshop__roles", _roles())
    )
    records = sorted(rows, key=lambda one: (one.start_at, one.position, one.pk))
    rests = list(workshop.breaks.all())
    ways = _ways(records)
    booked = len(in_turn(workshop))
    people = booked or workshop.seats.count()
    margin = _minutes(house().tide_margin_min)
    turn_min = turn_minutes_of(records)
    made = []
    for on, found in groupby(records, key=lambda one: _date(workshop, one.start_at)):
        sets = list(found)
        frame = _frame(workshop, on, sets)
        notes = [] if booked else [for_seats(people)]
        day = Day(
            start_at=frame.start_at,
            end_at=frame.end_at,
            sets=tuple(
                _day_set(one, people, turn_min[one.pk], frame, margin, notes) for one in sets
            ),
            places=tuple(_places(sets)),
            breaks=tuple(
                DayBreak(rest.title, rest.earliest_at, rest.latest_at, rest.minutes)
                for rest in rests
                if _date(workshop, rest.earliest_at) == on
            ),
            ways=ways,
            intro_min=workshop.intro_min,
            closing_min=workshop.closing_min,
        )
        made.append(WorkshopDay(on, day, tuple(sets), (*notes, *day_notes(day))))
    return made


def days_astray(workshop: Workshop) -> int:
    """Return by how many days the sets must move to lie on the workshop's days; 0 where one does.

    Sets are left behind when a workshop gets another date, such as its rain date.
    """
    zone = workshop.timezone_name
    first, last = (in_zone(at, zone).date() for at in (workshop.start_at, workshop.end_at))
    dates = sorted(
        in_zone(at, zone).date() for at in workshop.sets.values_list("start_at", flat=True)
    )
    if not dates or any(first <= on <= last for on in dates):
        return 0
    return (first - dates[0]).days


def _roles() -> QuerySet[WorkshopRole]:
    return WorkshopRole.objects.select_related("person")


def _date(workshop: Workshop, at: datetime) -> date:
    if workshop.end_at - workshop.start_at <= ONE_DAY:
        at = workshop.start_at
    return in_zone(at, workshop.timezone_name).date()


def _frame(workshop: Workshop, on: date, sets: list[PlannedSet]) -> Span:
    """When a day begins and ends, on the clock of the workshop.

    Each day of several runs between the clock times of the first begin and the last end; where
    those are none (Friday evening to Sunday noon) a day is as long as its sets make it today.
    """
    zone = ZoneInfo(workshop.timezone_name)
    first, last = (at.astimezone(zone) for at in (workshop.start_at, workshop.end_at))
    if last - first <= ONE_DAY:
        return Span(first, last)
    begin, end = first.time(), last.time()
    if begin < end:
        return Span(_clock(on, begin, zone), _clock(on, end, zone))
    walk = timedelta(minutes=max(one.location.walk_min for one in sets))
    start_at = min(one.start_at for one in sets) - walk - _minutes(workshop.intro_min)
    end_at = max(one.end_at for one in sets) + walk + _minutes(workshop.closing_min)
    return Span(
        first if on == first.date() else start_at.astimezone(zone),
        last if on == last.date() else end_at.astimezone(zone),
    )


def _clock(on: date, at: time, zone: ZoneInfo) -> datetime:
    return datetime.combine(on, at, tzinfo=zone)


def _minutes(value: float) -> timedelta:
    return timedelta(minutes=value)


def _places(sets: Iterable[PlannedSet]) -> Iterable[DayPlace]:
    places = {one.location_id: one.location for one in sets}
    return (DayPlace(pk, place.name, place.walk_min) for pk, place in places.items())


def _ways(sets: Iterable[PlannedSet]) -> tuple[Way, ...]:
    places = {one.location_id for one in sets}
    rows = TravelTime.objects.filter(Q(location__in=places) & Q(to__in=places)).order_by("pk")
    return tuple(Way(row.location_id, row.to_id, row.minutes) for row in rows)


def _day_set(
    one: PlannedSet,
    people: int,
    turn_min: float,
    frame: Span,
    margin: timedelta,
    notes: list[Words],
) -> DaySet:
    slots = slots_owed(people, max(1, len(station_names(one))), one.rounds)
    earliest_at, latest_at = _hours(one, notes)
    return DaySet(
        key=one.pk,
        title=one.title,
        place=one.location_id,
        start_at=one.start_at.astimezone(frame.start_at.tzinfo),
        turns_min=slots * (turn_min + one.changeover_min),
        pinned=one.pinned,
        earliest_at=earliest_at,
        latest_at=latest_at,
        dry=_dry(one, frame, margin, notes),
        light=_light(one, frame, notes),
        wanted=_wanted(one),
        **{part: getattr(one, part) for part in PARTS},
    )


def _hours(one: PlannedSet, notes: list[Words]) -> tuple[datetime | None, datetime | None]:
    """Not before and over by: the set's own hours, and those its model is there for pictures."""
    roles = sorted(one.workshop.roles.all(), key=lambda role: role.pk)
    model = one.model or next((role for role in roles if role.role == "model"), None)
    earliest, latest = [one.earliest_at], [one.latest_at]
    if model is not None and model.start_at is not None:
        earliest.append(model.start_at - _minutes(one.rig_min + one.brief_min))
        _note(notes, say(_("{model} comes at {at}."), **_of(model, model.start_at)))
    if model is not None and model.end_at is not None:
        latest.append(model.end_at + _minutes(one.critique_min + one.strike_min))
        _note(notes, say(_("{model} leaves at {at}."), **_of(model, model.end_at)))
    known = [[at for at in ends if at is not None] for ends in (earliest, latest)]
    return max(known[0], default=None), min(known[1], default=None)


def _of(model: WorkshopRole, at: datetime) -> dict:
    return {"model": (model.person.name, "text"), "at": (at, "clock")}


def _note(notes: list[Words], words: Words) -> None:
    if words not in notes:
        notes.append(words)


def _dry(
    one: PlannedSet, frame: Span, margin: timedelta, notes: list[Words]
) -> tuple[Span, ...] | None:
    """When the way out may be passed; None where no tide is there, or none is known."""
    place, named = one.location, {"place": (one.location.name, "text")}
    if place.water != Location.Water.TIDAL:
        return None
    start = min(frame.start_at, one.start_at)
    end = max(frame.end_at, one.end_at)
    try:
        table = table_around(tide_inputs(place), start, end)
        if table is None or place.path_low_point_m is None:
            unknown = _(
                "{place}: no low point of the way out, or no tide table for the whole day. The "
                "water is not in this order: look it up before anybody goes there."
            )
            _note(notes, say(unknown, **named))
            return None
        spans = dry_spans(table, place.path_low_point_m, start, end, margin)
    except OutOfRange as reason:
        wrong = _(
            "{place}: the tide table cannot be read ({reason}). The water is not in this order."
        )
        _note(notes, say(wrong, reason=(str(reason), "text"), **named))
        return None
    zone = frame.start_at.tzinfo
    return tuple(Span(first.astimezone(zone), last.astimezone(zone)) for first, last in spans)


def _wanted(one: PlannedSet) -> WantedSun | None:
    wanted = WantedSun(
        one.wanted_from_deg, one.wanted_to_deg, one.wanted_low_deg, one.wanted_high_deg
    )
    return None if wanted == WantedSun() else wanted


def _light(one: PlannedSet, frame: Span, notes: list[Words]) -> tuple[Span, ...] | None:
    wanted, place = _wanted(one), one.location
    if wanted is None:
        return None
    if place.latitude_deg is None:
        nowhere = _("{place} has no coordinates: the sun {title} wants is not in this order.")
        notes.append(say(nowhere, place=(place.name, "text"), title=(one.title, "text")))
        return None
    high = HIGHEST_DEG if wanted.high_deg is None else wanted.high_deg
    low = wanted.low_deg
    if low is None:
        low = SUN_UP_DEG if high >= SUN_UP_DEG else LOWEST_DEG
    horizon = tuple((float(azimuth), float(height)) for azimuth, height in place.horizon)
    spans = []
    if low < SUN_UP_DEG:
        # Twilight is wanted for its sky: hills hide no sun that is down.
        spans += _windows(one, frame, low, min(high, SUN_UP_DEG), ())
    if high > SUN_UP_DEG:
        spans += _windows(one, frame, max(low, SUN_UP_DEG), high, horizon)
    return tuple(sorted(spans, key=lambda span: span.start_at))


def _windows(one: PlannedSet, frame: Span, low_deg: float, high_deg: float, horizon) -> list[Span]:
    place = one.location
    windows = light_windows(
        Place(place.latitude_deg, place.longitude_deg),
        min(frame.start_at, one.start_at),
        max(frame.end_at, one.end_at) + ONE_DAY / 4,  # a day that does not fit may run over
        from_deg=0.0 if one.wanted_from_deg is None else one.wanted_from_deg,
        to_deg=360.0 if one.wanted_to_deg is None else one.wanted_to_deg,
        elevation_min_deg=low_deg,
        elevation_max_deg=high_deg,
        horizon=horizon,
    )
    return [Span(window.start_at, window.end_at) for window in windows]
