"""Batteries over the day: what each pack was read at, what it gave, and whether one was enough."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from planning.after.compare import added
from planning.after.compared import SetComparison
from planning.after.drawdowns import off_share
from planning.after.results import PackUse
from planning.after.seen import READ, Pair, SetDay

# Whether one pack a head was enough; what was noted of some packs alone leaves it open.
ENOUGH, WOULD_HAVE_BEEN, UNDECIDED, NOT_ENOUGH, PARTLY, NOT_NOTED = (
    "enough", "would have been", "undecided", "not enough", "partly", "not noted",
)  # fmt: skip


@dataclass(frozen=True)
class Read:
    """A pack looked at: as it went into a head, or as it came out or was read in it."""

    set_number: int
    strobe: str
    light: str
    at: datetime | None
    share: float | None  # None: nobody looked
    is_in: bool


@dataclass(frozen=True)
class PackDay:
    """One pack through the day."""

    tag: str
    reads: tuple[Read, ...]
    used: float | None  # share of a charge, recharged ones added; None: read less than twice
    within_share: float
    recharges: int

    @property
    def left(self) -> float | None:
        shares = [one.share for one in self.reads if one.share is not None]
        return shares[-1] if shares else None

    @property
    def unread(self) -> bool:
        """Whether its first or its last charge is not known; what lies between is not needed."""
        return self.reads[0].share is None or self.reads[-1].share is None


@dataclass(frozen=True)
class StrobeDay:
    """One kind of head through the day, and its packs."""

    strobe: str
    heads: int  # at once, at the most
    flashes: Pair
    full_power: Pair
    charge: Pair  # shares of one charge, summed over heads and sets
    within_share: float
    packs: tuple[PackDay, ...]
    most_used: float  # of one pack in these heads, as far as it was read
    swaps: int | None
    verdict: str  # empty: no battery in it


def strobe_days(days: Sequence[SetDay], sets: Sequence[SetComparison]) -> tuple[StrobeDay, ...]:
    """Return each kind of head, in the order it is first used."""
    names = dict.fromkeys(head.strobe for one in sets for head in one.heads)
    packs = pack_days(days)
    return tuple(_strobe(name, sets, packs) for name in names)


def pack_days(days: Sequence[SetDay]) -> tuple[PackDay, ...]:
    """Return every pack that was noted, by its tag, with all its readings in order of time."""
    stays: dict[str, list[tuple[SetDay, str, PackUse]]] = {}
    for day in days:
        for head in day.tally.heads:
            for use in head.packs:
                stays.setdefault(use.tag, []).append((day, head.strobe, use))
    return tuple(_pack(tag, stays[tag]) for tag in sorted(stays))


def _pack(tag: str, stays: list[tuple[SetDay, str, PackUse]]) -> PackDay:
    # The order noted holds where nobody gave a time.
    first = min(day.tally.planned_start_at for day, _strobe, _use in stays)
    stays = sorted(stays, key=lambda one: (one[0].tally.planned_start_at, one[2].in_at or first))
    reads = []
    for day, strobe, use in stays:
        given = (day.number, strobe, use.light)
        reads.append(Read(*given, use.in_at, use.in_share, is_in=True))
        reads.append(Read(*given, use.out_at, use.out_share, is_in=False))
    within = max(use.within_share for _day, _strobe, use in stays)
    known = [one for one in reads if one.share is not None]
    off = off_share(within)
    rises = sum(after.share - before.share > off for before, after in pairwise(known))
    falls = sum(max(0.0, before.share - after.share) for before, after in pairwise(known))
    return PackDay(
        tag=tag,
        reads=tuple(reads),
        used=falls if len(known) > 1 else None,
        within_share=off * math.sqrt(rises + 1),  # each charge between has two readings more
        recharges=rises,
    )


def _strobe(name: str, sets: Sequence[SetComparison], packs: Sequence[PackDay]) -> StrobeDay:
    rows = [(one, head) for one in sets for head in one.heads if head.strobe == name]
    own = tuple(pack for pack in packs if any(read.strobe == name for read in pack.reads))
    at_once = max(Counter(one.set_id for one, _head in rows).values())
    planned = [head.charge.planned for _set, head in rows if head.charge.planned is not None]
    used = sum(_used_in(pack, name) for pack in own)
    has_battery = bool(planned or own)
    sources = dict.fromkeys(source for _set, head in rows for source in head.charge.sources)
    is_read = any(pack.used is not None for pack in own)
    charge = Pair(
        sum(planned) if planned else None, used if is_read else None, tuple(sources or (READ,))
    )
    swaps = [head.swaps for _set, head in rows if head.swaps is not None]
    unnoted = any(
        head.charge.planned is not None and not head.tags and not _stays_in(own, one, sets)
        for one, head in rows
    )
    return StrobeDay(
        strobe=name,
        heads=at_once,
        flashes=added([head.flashes for _set, head in rows]),
        full_power=added([head.full_power for _set, head in rows]),
        charge=charge if is_read else Pair(charge.planned),
        within_share=math.hypot(*(pack.within_share for pack in own)),
        packs=own,
        most_used=max((_used_in(pack, name) for pack in own), default=0.0),
        swaps=sum(swaps) + _changes_between(rows) if swaps else None,
        verdict=_verdict(own, at_once, used, unnoted=unnoted) if has_battery else "",
    )


def _stays_in(packs: Sequence[PackDay], one: SetComparison, sets: Sequence[SetComparison]) -> bool:
    """Whether a pack was read both before and after a set in which nobody touched it."""
    order = {other.number: place for place, other in enumerate(sets)}
    read = [
        [order[read.set_number] for read in pack.reads if read.share is not None] for pack in packs
    ]
    return any(places and places[0] < order[one.number] < places[-1] for places in read)


def _used_in(pack: PackDay, strobe: str) -> float:
    """What a pack gave in one kind of head; what it lost between two sets counts to the first."""
    known = [one for one in pack.reads if one.share is not None]
    return sum(
        max(0.0, before.share - after.share)
        for before, after in pairwise(known)
        if before.strobe == strobe
    )


def _changes_between(rows) -> int:
    """How often a lamp of the same name began a set with another pack than it ended the last."""
    last: dict[str, str] = {}
    changes = 0
    for _set, head in rows:
        if head.tags:
            changes += last.get(head.light, head.tags[0]) != head.tags[0]
            last[head.light] = head.tags[-1]
    return changes


def _verdict(packs: Sequence[PackDay], heads: int, used: float, *, unnoted: bool) -> str:
    """Whether one pack a head was enough, as far as it was noted."""
    if not packs:
        return NOT_NOTED
    # More than a charge was taken: whatever else was not noted, one pack cannot have been enough.
    within = math.hypot(*(pack.within_share for pack in packs))
    if used - within > heads:
        return NOT_ENOUGH
    if unnoted or any(pack.unread or pack.used is None for pack in packs):
        return PARTLY
    if len(packs) <= heads and not any(pack.recharges for pack in packs):
        return ENOUGH
    return WOULD_HAVE_BEEN if heads == 1 and used + within <= 1 else UNDECIDED
