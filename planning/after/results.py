"""What was noted of one set, put together: what pages, the after report and learning read."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class PackUse:
    """One stay of one pack in a head; shares of its charge, None where nobody looked."""

    unit_id: int
    tag: str
    light: str  # by its name on the set
    in_at: datetime | None
    in_share: float | None
    out_at: datetime | None
    out_share: float | None
    within_share: float = 0.02  # how near a reading can be: half a lamp where the pack shows lamps
    step_share: float = 0.01  # what its display rounds by at most

    @property
    def used_share(self) -> float | None:
        if self.in_share is None or self.out_share is None:
            return None
        return self.in_share - self.out_share


@dataclass(frozen=True)
class HeadUse:
    """What one lamp did."""

    light: str
    strobe: str
    planned_flashes: float | None  # None: the set has no plan
    planned_share: float | None  # of a charge
    flashes: int | None  # counted; None: nobody counted
    full_power_flashes: float | None  # the same at the power of the recipe locked, else as planned
    power: float | None  # the mean over what was counted; None: neither locked nor planned
    power_source: str  # "locked", "planned", empty without any
    packs: tuple[PackUse, ...] = ()


@dataclass(frozen=True)
class PersonUse:
    """What one attendee had."""

    booking_id: int
    name: str
    turns: int
    missed: int
    frames: int | None  # counted by hand; None: nobody counted
    misfires: int


@dataclass(frozen=True)
class Misfire:
    at: datetime
    booking_id: int | None
    attendee: str
    trigger: str  # asset tag
    light: str
    cause: str  # as TallyEvent.Cause
    notes: str


@dataclass(frozen=True)
class SetTally:
    """One set as it was noted. Times on the clock of the place."""

    set_id: int
    title: str
    planned_start_at: datetime
    planned_end_at: datetime
    began_at: datetime | None
    ended_at: datetime | None
    heads: tuple[HeadUse, ...]
    people: tuple[PersonUse, ...]
    misfires: tuple[Misfire, ...] = ()
    gusts_m_s: tuple[tuple[datetime, float], ...] = ()
    skies: tuple[tuple[datetime, str], ...] = ()
    near_misses: tuple[tuple[datetime, str], ...] = ()
    notes: tuple[tuple[datetime, str], ...] = ()

    @property
    def minutes_over(self) -> float | None:
        """Minutes it took longer than planned; None where beginning or end was not noted."""
        if self.began_at is None or self.ended_at is None:
            return None
        planned = self.planned_end_at - self.planned_start_at
        return (self.ended_at - self.began_at - planned).total_seconds() / 60.0

    @property
    def missing(self) -> tuple[str, ...]:
        """What a whole tally still wants: "times", "flashes", "turns", "packs"."""
        lacks = {
            "times": self.began_at is None or self.ended_at is None,
            "flashes": any(head.flashes is None for head in self.heads),
            "turns": bool(self.people) and not any(one.turns or one.missed for one in self.people),
            "packs": any(head.planned_share is not None and not head.packs for head in self.heads),
        }
        return tuple(name for name, lacking in lacks.items() if lacking)
