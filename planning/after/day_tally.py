"""The tallies of a day's sets, put together by attendee, by strobe and by pack. Pure."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from planning.after.results import HeadUse, PackUse, PersonUse, SetTally


@dataclass(frozen=True)
class StrobeDay:
    """What the heads of one kind did over the day; None where nobody counted."""

    strobe: str  # empty: of lights that are not of their sets any more
    planned_flashes: float | None
    flashes: int | None
    full_power_flashes: float | None
    lamps: int  # uses of such a head: of one set each
    uncounted: int  # of these, without a count


@dataclass(frozen=True)
class Stay:
    """One stay of a pack in a head, and the set it was on."""

    set_id: int
    title: str
    use: PackUse


@dataclass(frozen=True)
class PackDay:
    """What one pack gave over the day."""

    unit_id: int
    tag: str
    stays: tuple[Stay, ...]

    @property
    def used_share(self) -> float | None:
        """Return the charge it gave, as far as it was read; None where it never was."""
        used = [one.use.used_share for one in self.stays if one.use.used_share is not None]
        return sum(used) if used else None

    @property
    def unread(self) -> int:
        """Return how many stays want a reading."""
        return sum(1 for one in self.stays if one.use.used_share is None)


def by_person(tallies: Iterable[SetTally]) -> tuple[PersonUse, ...]:
    """Return what everybody had over the day, in the order of their bookings."""
    found: dict[int, PersonUse] = {}
    for tally in tallies:
        for one in tally.people:
            before = found.get(one.booking_id)
            found[one.booking_id] = _joined(before, one) if before else one
    return tuple(found.values())


def _joined(before: PersonUse, one: PersonUse) -> PersonUse:
    return replace(
        before,
        turns=before.turns + one.turns,
        missed=before.missed + one.missed,
        frames=_sum([before.frames, one.frames]),
        misfires=before.misfires + one.misfires,
    )


def by_strobe(tallies: Iterable[SetTally]) -> tuple[StrobeDay, ...]:
    """Return what the heads of each kind did over the day."""
    heads: dict[str, list[HeadUse]] = {}
    for tally in tallies:
        for head in tally.heads:
            heads.setdefault(head.strobe, []).append(head)
    return tuple(
        StrobeDay(
            strobe=strobe,
            planned_flashes=_sum([one.planned_flashes for one in uses]),
            flashes=_sum([one.flashes for one in uses]),
            full_power_flashes=_sum([one.full_power_flashes for one in uses]),
            lamps=len(uses),
            uncounted=sum(1 for one in uses if one.flashes is None),
        )
        for strobe, uses in heads.items()
    )


def by_pack(tallies: Iterable[SetTally]) -> tuple[PackDay, ...]:
    """Return what each pack gave over the day, by its tag."""
    stays: dict[int, list[Stay]] = {}
    for tally in tallies:
        for use in (use for head in tally.heads for use in head.packs):
            stays.setdefault(use.unit_id, []).append(Stay(tally.set_id, tally.title, use))
    days = [PackDay(unit_id, own[0].use.tag, tuple(own)) for unit_id, own in stays.items()]
    return tuple(sorted(days, key=lambda day: day.tag))


def swaps(tally: SetTally) -> int:
    """Return how often a pack was changed on a set: the first one in a head is no change."""
    return sum(max(len(head.packs) - 1, 0) for head in tally.heads)


def flashes(tally: SetTally) -> int | None:
    """Return the flashes of all lamps of a set that somebody counted."""
    return _sum([head.flashes for head in tally.heads])


def frames(tally: SetTally) -> int | None:
    return _sum([person.frames for person in tally.people])


def turns(tally: SetTally) -> int:
    return sum(person.turns for person in tally.people)


def _sum(values: Sequence[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return sum(known) if known else None
