"""Days of six to eight sets against every order there is; and what would make a full day fit.

The referee is ``every_order``. That it is right itself says ``every_day``, which tries every start.
"""

from dataclasses import replace
from datetime import timedelta

import pytest

from planning.lesson.day import best_day
from planning.lesson.day_check import check_day
from planning.lesson.day_inputs import Day, Span, Way
from tests.lesson.every_day import (
    best_by_trying,
    laid,
    lost_s,
    minutes,
    some_day,
    steps,
    stretches,
    way,
)
from tests.lesson.every_order import best_of_every_order
from tests.lesson.long_days import KINDS, long_day


def agree(made: Day) -> None:
    wanted, found = best_of_every_order(made), best_day(made)
    assert found.proved
    assert found.fits == (wanted is not None)
    if wanted is None:
        return
    starts = {one.one.key: one.start_at for one in found.placed}
    assert best_of_every_order(made, {key: [at] for key, at in starts.items()}) == wanted
    assert found.finish_at == wanted[1]
    assert check_day(made, starts) == ()
    gaps = stretches(made, [(one.one, one.start_at) for one in found.placed])
    rests = [(one.start_at, one.end_at) for one in found.breaks]
    assert laid(gaps, rests) + minutes(made.closing_min) == wanted[1]
    for one in found.breaks:
        assert one.rest.earliest_at <= one.start_at <= one.rest.latest_at
    assert {one.rest.title for one in found.breaks} == {rest.title for rest in made.breaks}


@pytest.mark.parametrize("on_steps", [True, False])
@pytest.mark.parametrize(("count", "slack_min"), [(1, 40), (2, 30), (3, 10)])
def test_the_referee_finds_what_trying_every_start_finds(count, slack_min, on_steps):
    for seed in range(100, 108):
        made = some_day(seed, count, slack_min=slack_min, on_steps=on_steps)
        assert best_of_every_order(made) == best_by_trying(made), seed


@pytest.mark.parametrize("kind", KINDS)
def test_no_day_of_six_sets_is_better(kind):
    agree(long_day(0, 6, kind))


@pytest.mark.parametrize(("count", "kind"), [(7, "limits"), (8, "plain")])
def test_no_day_of_seven_or_eight_sets_is_better(count, kind):
    agree(long_day(1, count, kind))


def told_truly(made: Day) -> set[str]:
    """Look into every light given up: alone, or with that set in its best light; return what is."""
    proposal, told = best_day(made), set()
    for given in proposal.given:
        one = made.sets[given.key]
        (alone_s, *_rest) = best_of_every_order(replace(made, sets=(one,), breaks=()))
        assert round(given.alone_min * 60) == alone_s
        tries = [one.start_at] if one.pinned else steps(made.start_at, made.end_at)
        best = [at for at in tries if lost_s(one, at) == alone_s]
        instead = best_of_every_order(made, {given.key: best})
        if given.alone:
            told.add("alone")
        elif given.rivals:
            assert instead is not None
            told.add("rivals")
        else:
            assert instead is None
            told.add("no room")
    return told


def test_what_is_said_of_given_up_light_holds():
    told = told_truly(long_day(0, 4, "rivals")) | told_truly(long_day(2, 4, "limits"))
    assert told == {"alone", "rivals", "no room"}


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2, 12))
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("count", [6, 7, 8])
def test_no_day_is_better_however_it_is_made(count, kind, seed):
    agree(long_day(seed, count, kind))


def test_long_days_have_everything_in_them():
    days = [long_day(seed, 8, kind) for kind in KINDS for seed in range(12)]
    sets = [one for made in days for one in made.sets]
    assert {len(made.breaks) for made in days} == {0, 1, 2, 3}
    assert any(len(one.dry or ()) == 2 for one in sets)  # a tide that comes twice
    assert any(len(one.light or ()) == 2 for one in sets)
    assert any(one.pinned and one.start_at.minute % 5 for one in sets)
    assert any(one.earliest_at and one.latest_at for one in sets)
    places = {place.key for place in days[0].places}
    pairs = [(made, a, b) for made in days for a in places for b in places]
    assert any(made.way_known_min(a, b) is None for made, a, b in pairs)
    assert any(made.way_min(a, b) != made.way_min(b, a) for made, a, b in pairs)


def fits_with(made: Day, kind: str, given: int) -> bool:
    """Whether the day fits with limits of one kind wider by so many minutes, by the referee."""
    more, pins = minutes(given), {}
    if kind == "finish":
        made = replace(made, end_at=made.end_at + more)
    if kind == "begin":
        made = replace(made, start_at=made.start_at - more)
    if kind == "break":
        rests = [
            replace(one, earliest_at=one.earliest_at - more, latest_at=one.latest_at + more)
            for one in made.breaks
        ]
        made = replace(made, breaks=tuple(rests))
    if kind == "way":
        keys = [place.key for place in made.places]
        ways = [Way(a, b, max(0.0, way(made, a, b) - given)) for a in keys for b in keys if a != b]
        made = replace(made, ways=tuple(ways))
    if kind == "pin":
        pins = {
            one.key: [one.start_at + minutes(off) for off in range(-given, given + 1)]
            for one in made.sets
            if one.pinned
        }
        made = replace(made, sets=tuple(replace(one, pinned=False) for one in made.sets))
    if kind in ("span", "tide"):
        made = replace(made, sets=tuple(_wider(one, kind, more) for one in made.sets))
    return best_of_every_order(made, pins) is not None


def _wider(one, kind: str, more: timedelta):
    if kind == "tide":
        dry = one.dry and tuple(Span(s.start_at - more, s.end_at + more) for s in one.dry)
        return replace(one, dry=dry)
    earliest, latest = one.earliest_at, one.latest_at
    return replace(
        one, earliest_at=earliest and earliest - more, latest_at=latest and latest + more
    )


def told_to_the_minute(made: Day) -> set[str]:
    """Try each kind of limit with the minutes told, and with one less; return those told."""
    told = set()
    proposal = best_day(made)
    if proposal.fits:
        assert best_of_every_order(made) is not None
    for one in proposal.relaxed:
        if one.kind == "all":
            continue
        if one.minutes is None:
            assert not fits_with(made, one.kind, 600), one
            continue
        assert fits_with(made, one.kind, one.minutes), one
        assert not fits_with(made, one.kind, one.minutes - 1), one
        told.add(one.kind)
    return told


def full(seed: int, count: int, kind: str = "overfull") -> Day:
    made = long_day(seed, count, kind)
    if kind == "overfull":
        return made
    if kind == "breaks":  # three at the very same minute
        once = dict.fromkeys(("earliest_at", "latest_at"), made.breaks[0].earliest_at)
        return replace(made, breaks=tuple(replace(one, **once) for one in made.breaks))
    # One set is pinned into another: nothing fits any more.
    first, second, *others = made.sets
    first = replace(first, pinned=True, start_at=made.start_at + minutes(123))
    second = replace(second, pinned=True, start_at=made.start_at + minutes(151))
    return replace(made, sets=(first, second, *others))


@pytest.mark.parametrize(("seed", "kind"), [(3, "overfull"), (2, "limits")])
def test_a_minute_less_than_told_does_not_make_five_sets_fit(seed, kind):
    assert told_to_the_minute(full(seed, 5, kind))


@pytest.mark.slow
@pytest.mark.parametrize("count", [5, 6])
def test_a_minute_less_than_told_never_does(count):
    told = set()
    for seed in range(6):
        for kind in ("overfull", "limits", "breaks"):
            told |= told_to_the_minute(full(seed, count, kind))
    assert told >= {"finish", "begin", "pin", "break", "way"}
