"""Every day there is, tried one by one: the referee of ``planning.lesson.day``.

Written from the definition alone, in datetimes, without anything of the search: all orders, all
starts on the 5-minute steps of the clock, all places of breaks and ways. Only good for short days.
"""

from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import pairwise, permutations, product
from random import Random

from planning.lesson.day_inputs import Day, DayBreak, DayPlace, DaySet, Span, Way

STEP = timedelta(minutes=5)


def minutes(value: float) -> timedelta:
    return timedelta(minutes=value)


def steps(start: datetime, end: datetime) -> Iterator[datetime]:
    past = timedelta(minutes=start.minute % 5, seconds=start.second)
    at = start if not past else start - past + STEP
    while at <= end:
        yield at
        at += STEP


def way(day: Day, start: int, end: int) -> float:
    if start == end:
        return 0.0
    for one in day.ways:
        if (one.start, one.end) == (start, end):
            return one.minutes
    for one in day.ways:
        if (one.end, one.start) == (start, end):
            return one.minutes
    walks = {place.key: place.walk_min for place in day.places}
    return walks[start] + day.unknown_way_min + walks[end]


def length(one: DaySet) -> timedelta:
    parts = ("rig", "brief", "demo", "turns", "critique", "strike")
    return minutes(sum(getattr(one, f"{part}_min") for part in parts))


def lost_s(one: DaySet, start: datetime) -> int:
    """Seconds of demo and turns outside the wanted light."""
    if one.light is None:
        return 0
    begin = start + minutes(one.rig_min + one.brief_min)
    end = begin + minutes(one.demo_min + one.turns_min)
    lost = end - begin
    for span in one.light:
        lost -= max(min(end, span.end_at) - max(begin, span.start_at), timedelta(0))
    return max(round(lost.total_seconds()), 0)


def own_limits_hold(day: Day, one: DaySet, start: datetime) -> bool:
    end = start + length(one)
    walk = minutes(next(p.walk_min for p in day.places if p.key == one.place))
    return (
        (not one.pinned or start == one.start_at)
        and (one.earliest_at is None or start >= one.earliest_at)
        and (one.latest_at is None or end <= one.latest_at)
        and (
            one.dry is None
            or any(s.start_at <= start - walk and end + walk <= s.end_at for s in one.dry)
        )
    )


def stretches(day: Day, placed: list[tuple[DaySet, datetime]]) -> list[tuple]:
    """From, until and way of every stretch of the day that is no set."""
    walks = {place.key: place.walk_min for place in day.places}
    first, last = placed[0], placed[-1]
    over = day.end_at - minutes(day.closing_min)
    return [
        (day.start_at + minutes(day.intro_min), first[1], minutes(walks[first[0].place])),
        *(
            (start + length(one), then, minutes(way(day, one.place, after.place)))
            for (one, start), (after, then) in pairwise(placed)
        ),
        (last[1] + length(last[0]), over, minutes(walks[last[0].place])),
    ]


def room(day: Day, placed: list[tuple[DaySet, datetime]]) -> list[datetime]:
    """When all could be over, for every way to lay breaks and ways into the stretches."""
    gaps = stretches(day, placed)
    if any(until - start < needed for start, until, needed in gaps):
        return []
    closing = minutes(day.closing_min)
    if not day.breaks:
        return [gaps[-1][0] + gaps[-1][2] + closing]
    ends = []
    for starts in product(*(list(steps(r.earliest_at, r.latest_at)) for r in day.breaks)):
        rests = [(at, at + minutes(r.minutes)) for at, r in zip(starts, day.breaks, strict=True)]
        end = laid(gaps, rests)
        if end is not None:
            ends.append(end + closing)
    return ends


def laid(gaps: list[tuple], rests: list[tuple]) -> datetime | None:
    """The end of the last way where breaks so laid leave room for every way, else None."""
    for one, other in pairwise(sorted(rests)):
        if other[0] < one[1]:
            return None
    if not all(any(s <= r[0] and r[1] <= u for s, u, _w in gaps) for r in rests):
        return None
    end = None
    for start, until, needed in gaps:
        busy = sorted(r for r in rests if start <= r[0] and r[1] <= until)
        at, room_at = start, []
        for rest in (*busy, (until, until)):
            if rest[0] - at >= needed:
                room_at.append(at)
            at = max(at, rest[1])
        if not room_at:
            return None
        # The last way may come before the last break: all is over when both are.
        end = max([room_at[0] + needed, *(rest[1] for rest in busy)])
        tries = [max([at + needed, *(rest[1] for rest in busy)]) for at in room_at]
        end = min(tries)
    return end


def cost(day: Day, placed: list[tuple[DaySet, datetime]]) -> tuple | None:
    """What a day costs, by the definition; None where it breaks a limit."""
    if not all(own_limits_hold(day, one, start) for one, start in placed):
        return None
    ends = [end for end in room(day, placed) if end <= day.end_at]
    if not ends:
        return None
    on_the_way = sum((needed for _s, _u, needed in stretches(day, placed)), timedelta(0))
    moved = sum((abs(start - one.start_at) for one, start in placed), timedelta(0))
    lost = sum(lost_s(one, start) for one, start in placed)
    swapped = sum(
        (before.start_at, before.key) > (after.start_at, after.key)
        for number, (before, _at) in enumerate(placed)
        for after, _then in placed[number + 1 :]
    )
    return lost, min(ends), on_the_way, swapped, moved


def best_by_trying(day: Day) -> tuple | None:
    """The least cost of any day at all."""
    known: list[tuple] = []  # each better than the one before
    for order in permutations(day.sets):
        for placed in _starts(day, list(order), [], known):
            now = cost(day, placed)
            if now is not None and (not known or now < known[-1]):
                known.append(now)
    return known[-1] if known else None


def _starts(day: Day, order: list[DaySet], placed: list, known: list) -> Iterator[list]:
    # More sets lose no light back: what has lost more than a whole day known already is not ended.
    if known and sum(lost_s(one, at) for one, at in placed) > known[-1][0]:
        return
    if len(placed) == len(order):
        yield placed
        return
    one = order[len(placed)]
    if placed:
        before, start = placed[-1]
        ready = start + length(before) + minutes(way(day, before.place, one.place))
    else:
        walk = next(p.walk_min for p in day.places if p.key == one.place)
        ready = day.start_at + minutes(day.intro_min + walk)
    rest = sum((length(other) for other in order[len(placed) :]), timedelta(0))
    tries = [one.start_at] if one.pinned else steps(ready, day.end_at - rest)
    for at in tries:
        if at >= ready and own_limits_hold(day, one, at):
            yield from _starts(day, order, [*placed, (one, at)], known)


def some_day(seed: int, count: int, *, slack_min: int, on_steps: bool = True) -> Day:
    """A day of one's own making, the same each time: places, pins, hours, water, breaks."""
    pick = Random(seed)
    begin = datetime.fromisoformat("2027-05-08T09:00:00+01:00")
    places = tuple(DayPlace(key, f"Place {key}", pick.choice((0, 5, 10))) for key in (1, 2, 3))
    ways = tuple(
        Way(a, b, pick.choice((5, 10, 15)))
        for a, b in ((1, 2), (2, 1), (2, 3))  # there and back differ; 1 to 3 nobody knows
        if pick.random() < 0.8
    )
    parts = [_parts(pick, on_steps) for _n in range(count)]
    breaks = _breaks(pick, begin) if on_steps else ()
    total = sum(sum(one.values()) for one in parts) + sum(rest.minutes for rest in breaks)
    needed = 20 + total + 15 * (count - 1) + slack_min
    end = begin + minutes(5 * (needed // 5))
    sets = tuple(_some_set(pick, key, one, begin, end, on_steps) for key, one in enumerate(parts))
    return Day(
        begin,
        end,
        sets,
        places,
        breaks,
        ways,
        intro_min=10,
        closing_min=5,
        unknown_way_min=10,
    )


def _parts(pick: Random, on_steps: bool) -> dict:
    parts = {
        "rig_min": pick.choice((5, 10)),
        "brief_min": 0,
        "demo_min": 5,
        "turns_min": pick.choice((10, 15, 25)),
        "critique_min": pick.choice((0, 5)),
        "strike_min": 5,
    }
    return parts if on_steps else parts | {"brief_min": pick.choice((1.5, 3)), "critique_min": 4}


def _breaks(pick: Random, begin: datetime) -> tuple[DayBreak, ...]:
    rests = []
    for number in range(pick.choice((0, 1, 1, 2))):
        first = begin + minutes(30 + 60 * number + 5 * pick.randrange(6))
        rests.append(DayBreak(f"Rest {number}", first, first + minutes(20), pick.choice((10, 15))))
    return tuple(rests)


def _some_set(
    pick: Random, key: int, parts: dict, begin: datetime, end: datetime, on_steps: bool
) -> DaySet:
    slots = int((end - begin) / STEP)

    def some_time() -> datetime:
        return begin + pick.randrange(max(slots, 1)) * STEP

    limits: dict = {}
    light_from = some_time() + (minutes(0) if on_steps else timedelta(seconds=pick.randrange(300)))
    if pick.random() < 0.7:
        limits["light"] = (Span(light_from, light_from + minutes(pick.choice((20, 40)))),)
    kind = pick.random()
    if kind < 0.15:
        limits["pinned"] = True
    elif kind < 0.3:
        limits["latest_at"] = end - minutes(5 * pick.randrange(6))
    elif kind < 0.4:
        limits["earliest_at"] = begin + minutes(5 * pick.randrange(8))
    elif kind < 0.55:
        limits["dry"] = (Span(begin - minutes(60), end - minutes(5 * pick.randrange(8))),)
    start = some_time() + (minutes(0) if on_steps else minutes(pick.randrange(5)))
    return DaySet(key, f"Set {key}", pick.choice((1, 1, 2, 3)), start, **parts, **limits)
