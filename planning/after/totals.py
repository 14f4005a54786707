"""A whole workshop after its day: its sets, and what attendees and heads come to over all of them.

A sum counts the sets where the figure was noted, planned and actual of the same ones; how many
those are stands beside it.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from planning.after.compare import added, compare_set
from planning.after.compared import PersonRow, SetComparison
from planning.after.seen import Fault, Pair, SetDay
from planning.after.strobes import PackDay, StrobeDay, pack_days, strobe_days


@dataclass(frozen=True)
class PersonDay:
    """One attendee over all sets; ``behind`` is turns fewer than whoever had most."""

    booking_id: int
    name: str
    turns: Pair
    turn_sets: int  # sets whose turns were noted
    missed: int | None
    behind: int | None
    frames: Pair
    frame_sets: int
    apart: tuple[tuple[int, float, int], ...]  # (set, frames counted by hand, by their files)
    misfires: int


@dataclass(frozen=True)
class NearMiss:
    """A near miss or a note in full, as somebody wrote it."""

    set_number: int
    at: datetime
    words: str


@dataclass(frozen=True)
class DayComparison:
    """A workshop planned against actual."""

    sets: tuple[SetComparison, ...]
    people: tuple[PersonDay, ...]
    strobes: tuple[StrobeDay, ...]
    packs: tuple[PackDay, ...]
    minutes: Pair
    flashes: Pair
    causes: tuple[tuple[str, int], ...]  # of misfires, most frequent first
    near_misses: tuple[NearMiss, ...]
    notes: tuple[NearMiss, ...]
    faults: tuple[Fault, ...]

    @property
    def is_blank(self) -> bool:
        """Whether nobody noted anything of the day yet."""
        told = (self.packs, self.causes, self.near_misses, self.notes, self.faults)
        return not any(told) and all(_is_blank(one) for one in self.sets)


def _is_blank(one: SetComparison) -> bool:
    pairs = [one.began, one.ended, one.turns, one.frames, one.wind.gust]
    pairs += [head.flashes for head in one.heads] + [part.value for part in one.recipe]
    pairs += [one.base.f_number] if one.base else []
    return not one.skies and all(pair.actual is None for pair in pairs)


def compare_day(days: Sequence[SetDay], faults: Sequence[Fault] = ()) -> DayComparison:
    """Return the workshop's sets compared, in the order given, and their sums."""
    sets = tuple(compare_set(day) for day in days)
    causes = Counter(misfire.cause for one in sets for misfire in one.misfires)
    return DayComparison(
        sets=sets,
        people=_people(sets),
        strobes=strobe_days(days, sets),
        packs=pack_days(days),
        minutes=added([one.minutes for one in sets]),
        flashes=added([head.flashes for one in sets for head in one.heads]),
        causes=tuple(sorted(causes.items(), key=lambda one: (-one[1], one[0]))),
        near_misses=_told(sets, "near_misses"),
        notes=_told(sets, "notes"),
        faults=tuple(faults),
    )


def _told(sets: Sequence[SetComparison], name: str) -> tuple[NearMiss, ...]:
    return tuple(
        NearMiss(one.number, at, words) for one in sets for at, words in getattr(one, name)
    )


def _people(sets: Sequence[SetComparison]) -> tuple[PersonDay, ...]:
    rows: dict[int, list[tuple[int, PersonRow]]] = {}
    for one in sets:
        for person in one.people:
            rows.setdefault(person.booking_id, []).append((one.number, person))
    had = {
        booking: sum(row.turns.actual for _set, row in own if row.turns.actual is not None)
        for booking, own in rows.items()
        if any(row.turns.actual is not None for _set, row in own)
    }
    most = max(had.values(), default=0)
    return tuple(_person(booking, own, had, most) for booking, own in rows.items())


def _person(
    booking: int, numbered: list[tuple[int, PersonRow]], had: dict[int, int], most: int
) -> PersonDay:
    rows = [row for _set, row in numbered]
    missed = [row.missed for row in rows if row.missed is not None]
    return PersonDay(
        booking_id=booking,
        name=rows[0].name,
        turns=added([row.turns for row in rows]),
        turn_sets=sum(row.turns.actual is not None for row in rows),
        missed=sum(missed) if missed else None,
        behind=most - had[booking] if booking in had else None,
        frames=added([row.frames for row in rows]),
        frame_sets=sum(row.frames.actual is not None for row in rows),
        apart=tuple(
            (number, row.frames.actual, row.files)
            for number, row in numbered
            if row.files is not None
        ),
        misfires=sum(row.misfires for row in rows),
    )
