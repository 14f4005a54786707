"""Whose turn comes when, on one set: equal, in an order that shifts, dealt anew as the day goes.

The rule of the whole page: whoever had the fewest turns here goes first; among those, whoever
came late or missed a call goes last; then whoever had fewer than others on earlier sets goes
first; then the set's own order decides. Turns already given are never moved.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TypeVar

from planning.lesson.jobs import Crew, Jobs, jobs
from planning.lesson.seating import pressing, seated
from planning.physics.errors import OutOfRange

Person = TypeVar("Person")
ONE_PLACE = ("",)  # a set without stations
ONE_HOLDS = Crew()


@dataclass(frozen=True)
class Comer:
    """Somebody who has turns, as far as the order asks."""

    name: str
    arrives_at: datetime | None = None  # None: here from the start
    leaves_at: datetime | None = None  # None: stays to the end
    behind: int = 0  # turns fewer than whoever had most, on the sets before this one
    trigger: str = ""  # by what the lamps fire; others may need the same one. Empty: none


@dataclass(frozen=True)
class Noted:
    """A turn somebody has had here, or was called to and missed."""

    name: str
    at: datetime
    station: str = ""
    missed: bool = False


@dataclass(frozen=True)
class Pace:
    """The clock of a set's turns."""

    first_at: datetime
    until_at: datetime  # from here on critique and strike need the time
    turn: timedelta
    changeover: timedelta

    @property
    def step(self) -> timedelta:
        return self.turn + self.changeover


@dataclass(frozen=True)
class Dealt:
    """One turn: given already, or where it comes next."""

    name: str
    round: int  # the how-manieth of this person at this station
    place: int  # in its round, from 1
    start_at: datetime  # of a given turn: when it was noted
    station: str
    given: bool
    on_deck: str  # who takes this station next; empty: nobody
    holders: tuple[str, ...]
    log: str


@dataclass(frozen=True)
class _Slot:
    """What happens side by side: somebody at each station that has anybody."""

    start_at: datetime
    at: dict[str, Comer | Noted]  # by station
    given: bool


def turn_order(people: Sequence[Person], set_index: int) -> list[Person]:
    """Return the people in the order of their turns on one set of the day.

    Each set starts one person later, so over n sets of n people everybody stands once in
    each place. Empty for nobody. Raises OutOfRange for a negative ``set_index``.

    Source: the cyclic Latin square, L[i][j] = (i + j) mod n.
    """
    if set_index < 0:
        raise OutOfRange(f"set_index must be 0 or more, not {set_index}")
    if not people:
        return []
    first = set_index % len(people)
    return [*people[first:], *people[:first]]


def slots_owed(people: int, stations: int, rounds: int) -> int:
    """Return how many slots the turns of a set take: a round has one for each person or station,
    whichever are more; none without people."""
    return rounds * max(people, stations) if people else 0


def deal(
    people: Sequence[Comer],
    set_index: int,
    *,
    pace: Pace,
    rounds: int = 1,
    stations: Sequence[str] = (),
    noted: Sequence[Noted] = (),
    crew: Crew = ONE_HOLDS,
) -> tuple[Dealt, ...]:
    """Return every turn of a set in the order of the clock: those given, then those owed.

    Everybody is owed ``rounds`` turns at each station, and nobody gets a second anywhere
    before all who are there had a first. In one slot each station has one person, nobody
    stands at two; so many slots as people or stations, whichever are more, make a round. A
    trigger that several people need is at one station at a time: whoever has another stands
    at the other, or it stands empty. Who leaves early is called in time, who is not there yet
    waits, who comes after the last slot has none. Where time is left, whoever had fewer on
    earlier sets gets one more.

    Raises OutOfRange for a negative ``set_index``, fewer than one round, or names used twice.

    Source: the rotation of common practice (late arrivals last, turns counted); ``seating``.
    """
    order = turn_order(people, set_index)
    places = tuple(stations) or ONE_PLACE
    if rounds < 1:
        raise OutOfRange(f"rounds must be 1 or more, not {rounds}")
    for what, names in (("people", [one.name for one in order]), ("stations", places)):
        if len(set(names)) < len(names):
            raise OutOfRange(f"{what} must have names of their own, not {', '.join(names)}")
    slots = [*_given(noted), *_Table(order, places, rounds, pace, noted).slots()]
    kept = [
        ({station: one.name for station, one in slot.at.items()}, _present(order, slot, pace))
        for slot in slots
    ]
    return tuple(_rows(slots, places, jobs(kept, [one.name for one in order], crew)))


def _present(order: Sequence[Comer], slot: _Slot, pace: Pace) -> list[str]:
    return [one.name for one in order if _is_here(one, slot.start_at, pace)]


def _is_here(one: Comer, at: datetime, pace: Pace) -> bool:
    came = one.arrives_at is None or one.arrives_at <= at
    return came and (one.leaves_at is None or at + pace.turn <= one.leaves_at)


def _given(noted: Sequence[Noted]) -> list[_Slot]:
    """Return the given turns as slots: side by side until a station or a person comes again."""
    slots: list[_Slot] = []
    for one in sorted((one for one in noted if not one.missed), key=lambda one: one.at):
        last = slots[-1] if slots else None
        taken = last is None or one.station in last.at
        if taken or one.name in {other.name for other in last.at.values()}:
            slots.append(_Slot(one.at, {one.station: one}, given=True))
        else:
            last.at[one.station] = one
    return slots


class _Table:
    """The owed turns of one set, slot by slot, from what was had and who is there."""

    def __init__(self, order, places, rounds, pace, noted):
        self.order, self.places, self.rounds, self.pace = order, places, rounds, pace
        at_places = [one for one in noted if places == ONE_PLACE or one.station in places]
        self.had = Counter(
            (one.name, "" if places == ONE_PLACE else one.station)
            for one in at_places
            if not one.missed
        )
        self.missed = Counter(one.name for one in noted if one.missed)
        self.at = _next_at(pace, noted)

    def slots(self) -> list[_Slot]:
        slots = []
        while slot := self._next(self._owing()):
            slots.append(slot)
        # Whoever stood back on earlier sets, most first, while there is time.
        spare = [one for one in self.order if one.behind > 0 and self._is_even(one)]
        for one in sorted(spare, key=lambda one: -one.behind):
            if self.at + self.pace.step <= self.pace.until_at and _is_here(one, self.at, self.pace):
                slots.append(self._take({self.places[0]: one}))
        return slots

    def _is_even(self, one: Comer) -> bool:
        return self.places == ONE_PLACE and self.had[one.name, ""] == self.rounds

    def _turns(self, one: Comer) -> int:
        return sum(self.had[one.name, place] for place in self.places)

    def _owing(self) -> list[Comer]:
        most = self.rounds * len(self.places)
        return [one for one in self.order if self._turns(one) < most and self._can_come(one)]

    def _can_come(self, one: Comer) -> bool:
        """Not for who has left, nor for who comes when no turn is left before the talk."""
        if one.leaves_at is not None and self.at + self.pace.turn > one.leaves_at:
            return False
        return one.arrives_at is None or one.arrives_at + self.pace.turn <= self.pace.until_at

    def _next(self, owing: list[Comer]) -> _Slot | None:
        here = [one for one in owing if _is_here(one, self.at, self.pace)]
        if not here:
            coming = [
                one.arrives_at for one in owing if one.arrives_at and one.arrives_at > self.at
            ]
            if not coming:
                return None
            self.at = min(coming)
            return self._next(self._owing())
        here.sort(key=self._rank)
        called = self._called_in_time(self._pressing_first(here))
        return self._take(seated(called, len(self.places), self._wants))

    def _pressing_first(self, here: list[Comer]) -> list[Comer]:
        """Bring forward, among equals, who shares the trigger that keeps everybody longest."""
        if len(self.places) == 1:
            return here
        most = self.rounds * len(self.places)
        owed = Counter({(one.name, one.trigger): most - self._turns(one) for one in here})
        wanted = pressing(owed, len(self.places))
        return sorted(here, key=lambda one: (self._rank(one), one.trigger not in wanted))

    def _rank(self, one: Comer) -> tuple:
        late = one.arrives_at is not None and one.arrives_at > self.pace.first_at
        # A second missed call costs the place in the next round too: nobody waits for who is away.
        pushed = max(0, self.missed[one.name] - 1) * len(self.places)
        return self._turns(one) + pushed, late or self.missed[one.name] > 0, -one.behind

    def _called_in_time(self, here: list[Comer]) -> list[Comer]:
        """Bring forward, among those due now, whoever would have left before their place."""
        due = [one for one in here if self._rank(one)[0] == self._rank(here[0])[0]]
        leaving = sorted((one for one in due if one.leaves_at), key=lambda one: one.leaves_at)
        for ahead, one in enumerate(leaving):
            left = (one.leaves_at - self.at - self.pace.turn) // self.pace.step
            if left < 1 + ahead // len(self.places):
                first = leaving[: ahead + 1]
                return [*first, *(other for other in here if other not in first)]
        return here

    def _wants(self, one: Comer) -> list[str]:
        """The stations of this person's round, beginning where fewest have been."""
        fewest = min(self.had[one.name, place] for place in self.places)
        open_to = [place for place in self.places if self.had[one.name, place] == fewest]
        return sorted(open_to, key=self._visits)

    def _visits(self, place: str) -> int:
        return sum(count for (_name, where), count in self.had.items() if where == place)

    def _take(self, seated: dict[str, Comer]) -> _Slot:
        slot = _Slot(self.at, seated, given=False)
        for place, one in seated.items():
            self.had[one.name, place] += 1
        self.at += self.pace.step
        return slot


def _next_at(pace: Pace, noted: Sequence[Noted]) -> datetime:
    """When the next turn can begin: a given one is noted at its end, a missed one at its start."""
    given = [one.at for one in noted if not one.missed]
    called = [one.at for one in noted if one.missed]
    return max([max(given) + pace.changeover if given else pace.first_at, *called])


def _rows(slots: list[_Slot], places: Sequence[str], kept: list[Jobs]):
    times, standing = Counter(), Counter()
    for number, slot in enumerate(slots):
        after = slots[number + 1].at if number + 1 < len(slots) else {}
        for station, one in sorted(slot.at.items(), key=lambda item: _place(item[0], places)):
            times[one.name, station] += 1
            round_ = times[one.name, station]
            standing[round_] += 1
            yield Dealt(
                name=one.name,
                round=round_,
                place=standing[round_],
                start_at=one.at if isinstance(one, Noted) else slot.start_at,
                station=station,
                given=slot.given,
                on_deck=after[station].name if station in after else "",
                holders=kept[number].holders,
                log=kept[number].log,
            )


def _place(station: str, places: Sequence[str]) -> int:
    return places.index(station) if station in places else len(places)
