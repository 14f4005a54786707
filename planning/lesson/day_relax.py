"""Where nothing fits: which limit would have to give, and by how many minutes."""

from dataclasses import dataclass, replace
from datetime import timedelta, tzinfo

from planning.lesson.day_check import BEGIN, BREAK, FINISH, PIN, SPAN, TIDE, WAY
from planning.lesson.day_inputs import Day, DaySet, Span, Way, in_utc
from planning.lesson.day_search import fits
from planning.lesson.day_tables import Tables

MOST_GIVEN_MIN = 24 * 60
# What gives way first where as many minutes are asked of several. The water never does.
GIVING = (BREAK, FINISH, BEGIN, SPAN, PIN, WAY)
ALL = "all"  # every kind but the water


@dataclass(frozen=True)
class Relaxed:
    """The fewest whole minutes by which limits of one kind would have to give.

    None where that kind alone cannot make the day fit.
    """

    kind: str
    minutes: int | None


def relaxations(day: Day, width: int | None) -> tuple[tuple[Relaxed, ...], Day | None]:
    """Return what each kind would have to give, and the day in which the cheapest one gives.

    Where no kind is enough by itself, all but the water give alike. No day comes back that the
    water would have to give way for.
    """
    zone, day = day.start_at.tzinfo, in_utc(day)
    kinds = [kind for kind in (*GIVING, TIDE) if _has(day, kind)]
    relaxed = tuple(Relaxed(kind, _least(day, (kind,), width)) for kind in kinds)
    able = [one for one in relaxed if one.minutes is not None and one.kind in GIVING]
    if able:
        least = min(able, key=lambda one: (one.minutes, GIVING.index(one.kind)))
        return relaxed, _in_zone(give(day, (least.kind,), least.minutes), zone)
    minutes = _least(day, GIVING, width)
    if minutes is None:
        return relaxed, None
    return (*relaxed, Relaxed(ALL, minutes)), _in_zone(give(day, GIVING, minutes), zone)


def _in_zone(day: Day, zone: tzinfo) -> Day:
    """Times of the day made of this one are told on the clock of the question."""
    return replace(day, start_at=day.start_at.astimezone(zone))


def _has(day: Day, kind: str) -> bool:
    return {
        BREAK: bool(day.breaks),
        SPAN: any(one.earliest_at or one.latest_at for one in day.sets),
        PIN: any(one.pinned for one in day.sets),
        TIDE: any(one.dry is not None for one in day.sets),
        WAY: len({one.place for one in day.sets}) > 1,
    }.get(kind, True)


def _least(day: Day, kinds: tuple[str, ...], width: int | None) -> int | None:
    """The fewest whole minutes with which the day fits when these kinds give; None for none.

    What fits with some minutes fits with more, so halving finds it.
    """
    low, high = 0, MOST_GIVEN_MIN
    if not fits(Tables(give(day, kinds, high)), width):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        if fits(Tables(give(day, kinds, middle)), width):
            high = middle
        else:
            low = middle
    return high


def give(day: Day, kinds: tuple[str, ...], minutes: float) -> Day:
    """Return the day with every limit of these kinds wider by so many minutes."""
    more = timedelta(minutes=minutes)
    sets = tuple(_give_set(one, kinds, minutes) for one in day.sets)
    day = replace(day, sets=sets)
    if BREAK in kinds:
        rests = [
            replace(rest, earliest_at=rest.earliest_at - more, latest_at=rest.latest_at + more)
            for rest in day.breaks
        ]
        day = replace(day, breaks=tuple(rests))
    if WAY in kinds:
        keys = [place.key for place in day.places]
        pairs = [(start, end) for start in keys for end in keys if start != end]
        ways = [Way(*pair, max(0.0, day.way_min(*pair) - minutes)) for pair in pairs]
        day = replace(day, ways=tuple(ways))
    if BEGIN in kinds:
        day = replace(day, start_at=day.start_at - more)
    if FINISH in kinds:
        day = replace(day, end_at=day.end_at + more)
    return day


def _give_set(one: DaySet, kinds: tuple[str, ...], minutes: float) -> DaySet:
    more = timedelta(minutes=minutes)
    if PIN in kinds:
        one = replace(one, pin_give_min=minutes)
    if SPAN in kinds:
        one = replace(
            one,
            earliest_at=one.earliest_at and one.earliest_at - more,
            latest_at=one.latest_at and one.latest_at + more,
        )
    if TIDE in kinds and one.dry is not None:
        dry = [Span(span.start_at - more, span.end_at + more) for span in one.dry]
        one = replace(one, dry=tuple(dry))
    return one
