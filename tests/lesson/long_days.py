"""Days of six to eight sets as instructors plan them, the same each time: for the referee."""

from dataclasses import replace
from datetime import datetime, timedelta
from random import Random

from planning.lesson.day_inputs import Day, DayBreak, DayPlace, DaySet, Span, Way
from tests.lesson.every_day import length, minutes

BEGIN = datetime.fromisoformat("2027-05-08T06:00:00+01:00")
# What days are made of: how many hours of slack, how often a set has limits, how many breaks.
KINDS = {
    "plain": {"slack_min": (0, 60), "limits": 0.2, "breaks": (0, 1)},
    "tight": {"slack_min": (0, 25), "limits": 0.3, "breaks": (1, 2)},
    "limits": {"slack_min": (60, 240), "limits": 0.9, "breaks": (1, 2)},
    "wide": {"slack_min": (300, 540), "limits": 0.3, "breaks": (0, 1, 2)},
    "rivals": {"slack_min": (60, 300), "limits": 0.1, "breaks": (1,), "one_light": True},
    "breaks": {"slack_min": (30, 240), "limits": 0.3, "breaks": (3,)},
    "overfull": {"slack_min": (-120, -10), "limits": 0.3, "breaks": (1, 2)},
}


def long_day(seed: int, count: int, kind: str) -> Day:
    pick, wanted = Random(f"{kind} {count} {seed}"), KINDS[kind]
    places = tuple(DayPlace(key, f"Place {key}", pick.choice((0, 4, 7, 12))) for key in range(4))
    # There and back differ now and then; some ways nobody knows.
    pairs = [(a, b) for a in range(4) for b in range(4) if a != b]
    ways = tuple(Way(*pair, pick.choice((5, 8, 15, 25))) for pair in pairs if pick.random() < 0.4)
    parts = [_parts(pick) for _n in range(count)]
    breaks = pick.choice(wanted["breaks"])
    rest_min = [pick.choice((15, 20, 45)) for _n in range(breaks)]
    bare = sum(sum(one.values()) for one in parts) + sum(rest_min)
    lasts = 20 + bare + 12 * count + pick.uniform(*wanted["slack_min"])
    end = BEGIN + minutes(round(lasts))
    shared = _light(pick, BEGIN, end) if wanted.get("one_light") else None
    sets = tuple(
        _set(pick, key, one, end, wanted["limits"], shared) for key, one in enumerate(parts)
    )
    rests = tuple(
        DayBreak(f"Rest {number}", first, first + minutes(pick.choice((15, 60, 90))), lasts_min)
        for number, lasts_min in enumerate(rest_min)
        for first in [_some_time(pick, BEGIN, end)]
    )
    return Day(BEGIN, end, sets, places, rests, ways, 10, 5, unknown_way_min=20)


def _parts(pick: Random) -> dict:
    return {
        "rig_min": pick.choice((5, 10, 12)),
        "brief_min": pick.choice((2.5, 5)),
        "demo_min": pick.choice((5, 8)),
        "turns_min": pick.choice((12, 20, 31.5, 48)),
        "critique_min": pick.choice((0, 5)),
        "strike_min": pick.choice((4, 8)),
    }


def _some_time(pick: Random, begin: datetime, end: datetime) -> datetime:
    return begin + minutes(pick.randrange(max(1, round((end - begin) / minutes(1)))))


def _light(pick: Random, begin: datetime, end: datetime) -> tuple[Span, ...]:
    """One window, or two as where the sun passes an arc twice; edges at any second."""
    spans = []
    for _n in range(pick.choice((1, 1, 2))):
        first = _some_time(pick, begin, end) + timedelta(seconds=pick.randrange(60))
        spans.append((first, first + timedelta(seconds=pick.randrange(600, 7200))))
    spans.sort()
    if len(spans) == 2 and spans[1][0] <= spans[0][1]:
        spans = [(spans[0][0], max(spans[0][1], spans[1][1]))]
    return tuple(Span(*span) for span in spans)


def _set(
    pick: Random, key: int, parts: dict, end: datetime, limits: float, light: tuple | None
) -> DaySet:
    one = DaySet(key, f"Set {key}", pick.choice((0, 0, 1, 2, 3)), BEGIN, **parts)
    start = _some_time(pick, BEGIN + minutes(30), end - length(one))  # at any minute
    more: dict = {"start_at": start}
    if pick.random() < 0.75:
        more["light"] = light or _light(pick, BEGIN, end)
    if pick.random() < limits:
        more |= _limit(pick, start, end)
    return replace(one, **more)


def _limit(pick: Random, start: datetime, end: datetime) -> dict:
    def past(least: float, most: float) -> datetime:
        """That share of the day behind, to the minute."""
        return BEGIN + minutes(round((end - BEGIN) / minutes(1) * pick.uniform(least, most)))

    limits: tuple[dict, ...] = (
        {"pinned": True},
        {"earliest_at": past(0.1, 0.6)},
        {"latest_at": past(0.4, 1.0)},
        {"earliest_at": start - minutes(60), "latest_at": start + minutes(200)},
        {"dry": (Span(BEGIN - minutes(60), start + minutes(150)),)},
        {
            "dry": (
                Span(BEGIN - minutes(200), past(0.2, 0.4)),
                Span(past(0.5, 0.7), end + minutes(200)),
            )
        },
    )
    return pick.choice(limits)
