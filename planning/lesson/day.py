"""The day's order: which set comes when.

**Never broken**: a pin; permitted hours (not before, over by); the water (walk in, set and walk out
within one dry span); the welcome and the walk in before the first set, the way between two sets,
the walk out and the closing before the finish; every break, begun within its span, in none of the
sets and not on the way. Sets begin on the 5-minute steps of the clock, pinned ones at their own
time.

**Then the best day has**, each before the next: the fewest minutes of demonstration and turns
outside the light their sets want (rigging and striking need none); the earliest finish, which is
the least waiting; the fewest minutes on the way; the fewest pairs of sets in another order than
today's; the fewest minutes by which sets are moved from today's starts.

Up to ``EXACT_SETS`` sets and ``EXACT_BREAKS`` breaks no better day exists (``proved``). Beyond, the
search follows up the ``WIDTH`` most promising states of each size: a good order, not proved best.
What would make such a day fit is then asked of the ``SOON_WIDTH`` that are through soonest.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from planning.lesson.day_check import Fault, check_day
from planning.lesson.day_inputs import Day, DayBreak, DaySet, later, require_day
from planning.lesson.day_relax import Relaxed, relaxations
from planning.lesson.day_search import Found, search
from planning.lesson.day_tables import Tables, lost_light_s, seconds

EXACT_SETS, EXACT_BREAKS, WIDTH, SOON_WIDTH = 8, 3, 150, 40


@dataclass(frozen=True)
class Placed:
    """One set in the proposed day."""

    one: DaySet
    start_at: datetime
    end_at: datetime
    light_min: float | None  # of demo and turns in the light it wants; None: it wants none

    @property
    def lost_min(self) -> float:
        return 0.0 if self.light_min is None else self.one.shoot_min - self.light_min


@dataclass(frozen=True)
class PlacedBreak:
    rest: DayBreak
    start_at: datetime
    end_at: datetime


@dataclass(frozen=True)
class Given:
    """Why a set is without light it wants.

    ``rivals`` lose the light if it has its own; none: its own limits, or the day's, forbid it.
    """

    key: int
    rivals: tuple[int, ...] = ()
    alone: bool = False  # even with the day to itself it would not have more
    alone_min: float = 0.0  # what it would lose even with the day to itself


@dataclass(frozen=True)
class Proposal:
    """The best day, or where nothing fits the day that comes nearest and what it breaks."""

    placed: tuple[Placed, ...]
    breaks: tuple[PlacedBreak, ...]
    finish_at: datetime | None
    fits: bool
    proved: bool
    given: tuple[Given, ...] = ()
    relaxed: tuple[Relaxed, ...] = ()
    faults: tuple[Fault, ...] = ()

    @property
    def lost_min(self) -> float:
        return sum(one.lost_min for one in self.placed)


def best_day(day: Day) -> Proposal:
    """Return the best order and times of a day's sets.

    Raises OutOfRange for a day, a set or a break whose times or minutes are none.
    """
    require_day(day)
    if not day.sets:
        return Proposal((), (), None, fits=True, proved=True)
    width = _width(day)
    found = search(Tables(day), width)
    if found is None:
        return _nearest(day, width)
    proposal = _proposal(day, found, proved=width is None)
    return replace(proposal, given=tuple(_given(day, proposal)))


def _width(day: Day) -> int | None:
    exact = len(day.sets) <= EXACT_SETS and len(day.breaks) <= EXACT_BREAKS
    return None if exact else WIDTH


def finish_today_at(day: Day) -> datetime | None:
    """Return when today's plan is all over, breaks after its last set and all.

    None where it does not hold, or has no sets.
    """
    if not day.sets:
        return None
    kept = replace(day, sets=tuple(replace(one, pinned=True) for one in day.sets))
    found = search(Tables(kept), _width(day))
    return _at(day, found.finish_s) if found else None


def placed_at(one: DaySet, start_at: datetime) -> Placed:
    """Return a set begun at a time, with the minutes of its wanted light."""
    light_min = None
    if one.light is not None:
        light_min = one.shoot_min - lost_light_s(one, seconds(start_at)) / 60.0
    return Placed(one, start_at, one.end_at(start_at), light_min)


def _proposal(day: Day, found: Found, *, proved: bool) -> Proposal:
    breaks = [
        PlacedBreak(rest, start_at, later(start_at, timedelta(minutes=rest.minutes)))
        for number, start_s in found.breaks_s
        for rest, start_at in [(day.breaks[number], _at(day, start_s))]
    ]
    return Proposal(
        placed=tuple(
            placed_at(day.sets[number], _at(day, start_s)) for number, start_s in found.starts_s
        ),
        breaks=tuple(sorted(breaks, key=lambda one: one.start_at)),
        finish_at=_at(day, found.finish_s),
        fits=True,
        proved=proved,
    )


def _at(day: Day, at_s: int) -> datetime:
    return datetime.fromtimestamp(at_s, UTC).astimezone(day.start_at.tzinfo)


def _given(day: Day, proposal: Proposal) -> Iterator[Given]:
    """Say of each set without all its light who would lose it instead: the day is made again
    with that set in the best light its own limits leave it."""
    for placed in proposal.placed:
        if placed.lost_min < 1 / 60:
            continue
        best = _alone_in_best_light(day, placed.one)
        if best is None or best[0] >= round(placed.lost_min * 60.0):
            yield Given(placed.one.key, alone=True, alone_min=placed.lost_min)
        elif proposal.proved:
            rivals = _rivals(day, proposal, placed.one, best[1])
            yield Given(placed.one.key, rivals, alone_min=best[0] / 60.0)


def _alone_in_best_light(day: Day, one: DaySet) -> tuple[int, set[int]] | None:
    """The least light lost, and all starts that lose no more, in seconds, without other sets."""
    alone = Tables(replace(day, sets=(one,), breaks=()))
    lost_s = {at: lost_light_s(one, at) for at in alone.starts[0]}
    if not lost_s:
        return None
    least_s = min(lost_s.values())
    return least_s, {at for at, lost in lost_s.items() if lost == least_s}


def _rivals(day: Day, proposal: Proposal, one: DaySet, starts_s: set[int]) -> tuple[int, ...]:
    """The sets that lose more light than they do now when this one begins at one of its best."""
    found = search(Tables(day, only={day.sets.index(one): starts_s}))
    if found is None:
        return ()
    instead = {two.one.key: two.lost_min for two in _proposal(day, found, proved=True).placed}
    return tuple(
        two.one.key
        for two in proposal.placed
        if round(instead[two.one.key] * 60.0) > round(two.lost_min * 60.0)
    )


def _nearest(day: Day, width: int | None) -> Proposal:
    """The day that comes nearest, with all that it breaks; none where only the water giving way
    would make one: the sets are too many for it."""
    relaxed, given = relaxations(day, width and SOON_WIDTH)
    found = search(Tables(given), width) if given is not None else None
    if found is None:
        return Proposal((), (), None, fits=False, proved=width is None, relaxed=relaxed)
    near = _proposal(day, found, proved=width is None)
    starts = {placed.one.key: placed.start_at for placed in near.placed}
    return replace(near, fits=False, relaxed=relaxed, faults=check_day(day, starts))
