"""What a day breaks, whoever made it: by which set, and by how many minutes."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise, permutations

from planning.lesson.day_inputs import Day, DayBreak, DaySet, in_utc
from planning.lesson.day_tables import bits, subsets

# What a day may break, as ``Fault.kind``.
BEGIN, FINISH, PIN, SPAN, TIDE, WAY, BREAK = (
    "begin",  # the first set begins before the welcome and the way in are over
    "finish",  # the way out and the closing end after the day does
    "pin",
    "span",  # not before, over by
    "tide",
    "way",  # the next set begins before everybody can be there
    "break",
)


@dataclass(frozen=True)
class Fault:
    """One limit broken. ``other`` is the set before, for a way, or a break's title."""

    kind: str
    key: int | None  # of the set; None for a break
    minutes: float
    other: int | None = None
    title: str = ""


def check_day(day: Day, starts: Mapping[int, datetime]) -> tuple[Fault, ...]:
    """Return every limit that sets begun at these times break, in the order of the day.

    ``starts`` holds the start of each set by its key. A break has no time of its own here: it is
    a fault where no gap has room for it.
    """
    day, starts = in_utc(day), {key: at.astimezone(UTC) for key, at in starts.items()}
    order = in_order(day, starts)
    if not order:
        return ()
    faults = [*_frame(day, starts, order)]
    for one in order:
        faults += _own(day, one, starts[one.key])
    for before, one in pairwise(order):
        ready_at = before.end_at(starts[before.key]) + _way(day, before, one)
        faults += _late(WAY, one, ready_at - starts[one.key], other=before.key)
    return (*faults, *_breaks(day, starts, order))


def in_order(day: Day, starts: Mapping[int, datetime]) -> list[DaySet]:
    """Return the sets as they follow one another."""
    return sorted(day.sets, key=lambda one: (starts[one.key], one.key))


def _late(kind: str, one: DaySet, over: timedelta, other: int | None = None) -> list[Fault]:
    minutes = over.total_seconds() / 60.0
    return [Fault(kind, one.key, minutes, other)] if minutes > 1e-6 else []


def _frame(day: Day, starts: Mapping[int, datetime], order: list[DaySet]) -> list[Fault]:
    first, last = order[0], order[-1]
    ready_at = day.start_at + _minutes(day.intro_min + day.place(first.place).walk_min)
    over_at = last.end_at(starts[last.key]) + _minutes(
        day.place(last.place).walk_min + day.closing_min
    )
    return [
        *_late(BEGIN, first, ready_at - starts[first.key]),
        *_late(FINISH, last, over_at - day.end_at),
    ]


def _own(day: Day, one: DaySet, start_at: datetime) -> list[Fault]:
    end_at, faults = one.end_at(start_at), []
    if one.pinned:
        faults += _late(PIN, one, abs(start_at - one.start_at))
    early = one.earliest_at - start_at if one.earliest_at else timedelta(0)
    late = end_at - one.latest_at if one.latest_at else timedelta(0)
    faults += _late(SPAN, one, max(early, late))
    if one.dry is not None:
        walk = _minutes(day.place(one.place).walk_min)
        needed = (start_at - walk, end_at + walk)
        lacks = [
            max(span.start_at - needed[0], needed[1] - span.end_at, timedelta(0))
            for span in one.dry
        ]
        faults += _late(TIDE, one, min(lacks, default=needed[1] - needed[0]))
    return faults


def _way(day: Day, before: DaySet, one: DaySet) -> timedelta:
    return _minutes(day.way_min(before.place, one.place))


def _breaks(day: Day, starts: Mapping[int, datetime], order: list[DaySet]) -> list[Fault]:
    """The breaks no gap has room for, by the arrangement that lacks the fewest minutes."""
    if not day.breaks:
        return []
    every = (1 << len(day.breaks)) - 1
    none: tuple[float, tuple[Fault, ...]] = (0.0, ())
    best = {0: none}  # by breaks taken so far: the minutes lacked, and the faults
    for gap in _gaps(day, starts, order):
        following: dict[int, tuple[float, tuple[Fault, ...]]] = {}
        for taken, (lacked, faults) in best.items():
            for more in subsets(every & ~taken):
                minutes, title = _lacking(gap, [day.breaks[number] for number in bits(more)])
                here = (Fault(BREAK, None, minutes, title=title),) if minutes > 1e-6 else ()
                now = following.get(taken | more)
                if now is None or lacked + minutes < now[0]:
                    following[taken | more] = (lacked + minutes, (*faults, *here))
        best = following
    return list(best[every][1])


def _gaps(day: Day, starts: Mapping[int, datetime], order: list[DaySet]) -> list[tuple]:
    """Each stretch between sets: from when, until when, and the way in it."""
    first, last = order[0], order[-1]
    between = [
        (one.end_at(starts[one.key]), starts[after.key], _way(day, one, after))
        for one, after in pairwise(order)
    ]
    walks = [_minutes(day.place(one.place).walk_min) for one in (first, last)]
    begin = (day.start_at + _minutes(day.intro_min), starts[first.key], walks[0])
    over_at = day.end_at - _minutes(day.closing_min)
    return [begin, *between, (last.end_at(starts[last.key]), over_at, walks[1])]


def _lacking(gap: tuple, rests: list[DayBreak]) -> tuple[float, str]:
    """How many minutes breaks lack in a gap, beyond what the way itself lacks there."""
    if not rests:
        return 0.0, ""
    from_at, until_at, way = gap
    without = max(from_at + way - until_at, timedelta(0))
    least = min(
        late + max(arrival - until_at, timedelta(0)) - without
        for order in permutations((None, *rests))
        for arrival, late in [_arrival(from_at, way, order)]
    )
    return max(least.total_seconds() / 60.0, 0.0), ", ".join(rest.title for rest in rests)


def _arrival(at: datetime, way: timedelta, order: tuple) -> tuple[datetime, timedelta]:
    late = timedelta(0)
    for rest in order:
        if rest is None:
            at += way
            continue
        at = max(at, rest.earliest_at)
        late += max(at - rest.latest_at, timedelta(0))
        at += _minutes(rest.minutes)
    return at, late


def _minutes(value: float) -> timedelta:
    return timedelta(minutes=value)
