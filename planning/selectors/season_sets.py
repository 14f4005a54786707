"""What was noted of the sets of a season: rows of sets, misfires and gusts, in a few queries."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Prefetch

from planning.after.season import GustRow, MisfireRow, SetRow
from planning.after.tally import whole_minute
from planning.after.turn_times import minutes_between_turns
from planning.models import Frame, PlannedSet, TallyEvent
from planning.plan.go import Ground, gust_at_the_place
from planning.selectors.body_faults import camera_of
from planning.selectors.lesson import standing
from planning.selectors.places import forecast_inputs
from workshops.models import Booking, Forecast, House, KitUnit, WeatherCall, Workshop
from workshops.models.base import in_zone

Kind = TallyEvent.Kind
NOTED = (
    Kind.SET_BEGAN, Kind.SET_ENDED, Kind.TURN_GIVEN, Kind.TURN_MISSED, Kind.FRAMES,
    Kind.MISFIRE, Kind.WIND_SEEN, Kind.NEAR_MISS, Kind.FLASHES, Kind.PACK_IN, Kind.PACK_OUT,
)  # fmt: skip


@dataclass(frozen=True)
class PersonRow:
    """One booking of a workshop that was held, and what is counted of it."""

    workshop_id: int
    workshop: str
    name: str
    state: str
    turns: int
    missed: int
    frames: int | None  # counted by hand, else by their files; None: nobody counted
    misfires: int


@dataclass(frozen=True)
class Day:
    """What the sets of a season hold, read once."""

    sets: list[PlannedSet]
    events: dict[int, list[TallyEvent]]  # what stands of each set

    def of(self, *kinds: str) -> list[tuple[PlannedSet, TallyEvent]]:
        return [
            (one, event)
            for one in self.sets
            for event in self.events[one.pk]
            if event.kind in kinds
        ]


def sets_noted(workshops: Iterable[Workshop]) -> Day:
    """Return the sets of the workshops with what stands of their events, in order of time."""
    # Thousands of events, of a few people: whose each is, is looked up where it is told.
    events = TallyEvent.objects.order_by("at", "pk")
    rows = PlannedSet.objects.filter(workshop__in=[one.pk for one in workshops])
    rows = rows.select_related("location", "workshop").prefetch_related(Prefetch("events", events))
    sets = list(rows.order_by("start_at", "pk"))
    return Day(sets, {one.pk: standing(one.events.all(), *NOTED) for one in sets})


def set_rows(day: Day) -> list[SetRow]:
    return [_set_row(one, day.events[one.pk]) for one in day.sets]


def _set_row(planned: PlannedSet, events: Sequence[TallyEvent]) -> SetRow:
    zone = planned.location.timezone_name
    at = _times(events, zone)
    frames = defaultdict(int)
    for event in events:
        if event.kind == Kind.FRAMES:
            frames[event.booking_id] += event.count
    kinds = [event.kind for event in events]
    return SetRow(
        id=planned.pk,
        workshop_id=planned.workshop_id,
        workshop=planned.workshop.title,
        title=planned.title,
        place=planned.location.name,
        start_at=in_zone(planned.start_at, zone),
        end_at=in_zone(planned.end_at, zone),
        began_at=whole_minute(min(at[Kind.SET_BEGAN], default=None)),
        ended_at=whole_minute(max(at[Kind.SET_ENDED], default=None)),
        turns=kinds.count(Kind.TURN_GIVEN),
        missed=kinds.count(Kind.TURN_MISSED),
        # A turn with a note was entered later, at the time planned for it.
        turn_min=minutes_between_turns(
            (event.station, event.at)
            for event in events
            if event.kind == Kind.TURN_GIVEN and not event.notes
        ),
        frames=tuple(frames.values()),
        misfires=kinds.count(Kind.MISFIRE),
        near_misses=kinds.count(Kind.NEAR_MISS),
    )


def _times(events: Iterable[TallyEvent], zone: str) -> dict[str, list[datetime]]:
    found = defaultdict(list)
    for event in events:
        found[event.kind].append(in_zone(event.at, zone))
    return found


def misfire_rows(day: Day) -> list[MisfireRow]:
    """Return every misfire with the trigger and the body of whoever had it."""
    found = day.of(Kind.MISFIRE)
    whose = Booking.objects.select_related("person", "camera").prefetch_related("person__cameras")
    bookings = whose.in_bulk({event.booking_id for _planned, event in found} - {None})
    units = KitUnit.objects.in_bulk({event.unit_id for _planned, event in found} - {None})
    return [
        MisfireRow(
            at=in_zone(event.at, planned.location.timezone_name),
            workshop=planned.workshop.title,
            set_title=planned.title,
            attendee=bookings[event.booking_id].person.name if event.booking_id else "",
            cause=event.cause,
            trigger=units[event.unit_id].tag if event.unit_id else "",
            body=_body(bookings.get(event.booking_id)),
            notes=event.notes,
        )
        for planned, event in found
    ]


def _body(booking: Booking | None) -> str:
    camera = camera_of(booking) if booking else None
    return camera.name if camera else ""


def gust_rows(day: Day, house: House) -> list[GustRow]:
    """Return every gust met, beside the newest forecast that was there before it."""
    met = day.of(Kind.WIND_SEEN)
    if not met:
        return []
    forecasts = _forecasts(met)
    calls = WeatherCall.objects.filter(workshop__in={one.workshop_id for one, _event in met})
    agreed = dict(calls.values_list("workshop", "gust_limit_m_s"))
    strikes_m_s = house.gust_limit_m_s
    return [
        GustRow(
            at=in_zone(event.at, planned.location.timezone_name),
            workshop=planned.workshop.title,
            set_title=planned.title,
            place=planned.location.name,
            gust_m_s=event.gust_m_s,
            # What strikes every stand is never exceeded by what was agreed.
            limit_m_s=min(agreed.get(planned.workshop_id) or strikes_m_s, strikes_m_s),
            forecast_m_s=_forecast_gust(planned, event.at, forecasts, house),
            ended_min=_ended_min(event.at, day.events[planned.pk]),
        )
        for planned, event in met
    ]


def _forecasts(met: Sequence[tuple[PlannedSet, TallyEvent]]) -> dict[int, list[Forecast]]:
    """Return the snapshots of the places that may hold for these instants, the newest first."""
    instants = [event.at for _one, event in met]
    rows = Forecast.objects.filter(
        location__in={one.location_id for one, _event in met},
        valid_from__lte=max(instants),
        valid_to__gt=min(instants),
    )
    found = defaultdict(list)
    for row in rows.order_by("-taken_at", "-pk"):
        found[row.location_id].append(row)
    return found


def _forecast_gust(
    planned: PlannedSet, at: datetime, forecasts: dict[int, list[Forecast]], house: House
) -> float | None:
    place = planned.location
    for one in forecasts[place.pk]:
        if one.taken_at <= at and one.valid_from <= at < one.valid_to:
            mean = house.gust_factor_sea if place.at_sea else house.gust_factor_inland
            ground = Ground(max(place.wind_exposure_factor, 1.0), mean)
            return gust_at_the_place(forecast_inputs(one, place.timezone_name), ground)
    return None


def _ended_min(at: datetime, events: Iterable[TallyEvent]) -> float | None:
    """Return the minutes from an instant to the end of its set, None where none was noted."""
    ends = [event.at for event in events if event.kind == Kind.SET_ENDED and event.at >= at]
    return (max(ends) - at).total_seconds() / 60.0 if ends else None


def person_rows(workshops: Sequence[Workshop], day: Day) -> list[PersonRow]:
    """Return whoever held a seat at these workshops, with turns, frames and misfires."""
    counts: dict[int, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for _planned, event in day.of(Kind.TURN_GIVEN, Kind.TURN_MISSED, Kind.MISFIRE, Kind.FRAMES):
        if event.booking_id:
            counts[event.booking_id][event.kind] += event.count if event.kind == Kind.FRAMES else 1
    pks = [one.pk for one in workshops]
    files = _frames_by_file(pks)
    rows = Booking.objects.live().filter(workshop__in=pks).select_related("person", "workshop")
    return [
        PersonRow(
            workshop_id=one.workshop_id,
            workshop=one.workshop.title,
            name=one.person.name,
            state=one.state,
            turns=counts[one.pk][Kind.TURN_GIVEN],
            missed=counts[one.pk][Kind.TURN_MISSED],
            frames=counts[one.pk].get(Kind.FRAMES, files.get(one.pk)),
            misfires=counts[one.pk][Kind.MISFIRE],
        )
        for one in rows.order_by("workshop__start_at", "workshop", "person__name", "pk")
    ]


def _frames_by_file(workshops: Sequence[int]) -> dict[int, int]:
    """Return how many frames were read from files of each booking."""
    rows = Frame.objects.filter(workshop__in=workshops, booking__isnull=False)
    return dict(rows.values_list("booking").annotate(Count("pk")).order_by())
