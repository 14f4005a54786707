"""Events of one set -> which flashes which pack gave, as drawdowns; pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from planning.after.counts import Count
from planning.learn.drawdown import Drawdown


@dataclass(frozen=True)
class Stay:
    """One stay of one pack in one head."""

    key: str
    unit_id: int
    in_at: datetime | None
    in_share: float | None
    out_at: datetime | None
    out_share: float | None
    step_share: float  # what its readings are rounded by at most


@dataclass(frozen=True)
class Around:
    """What else a head took, and how cold it was."""

    idle_w: float
    usable_wh: float
    hours: float  # of the set, where a stay has no beginning or end
    cold_share: float
    cold_stops: float


# Nobody flashes while a pack is changed: who counts reads the counter, and then changes it;
# common practice, no source.
SWAP_SLACK = timedelta(minutes=2)

# Why a stay says nothing of its pack.
UNREAD, UNCOUNTED, NO_POWER, TWO_PACKS = "unread", "uncounted", "no power", "two packs"


def given_in(stays: Sequence[Stay], counts: Sequence[Count]) -> dict[str, float | str]:
    """Return the full-power flashes of each stay, by its key, or why they are not known.

    A count holds the flashes since the one before. The only stay of a head has them all. Of
    several, a count belongs to the stay it ends in or after; one that reaches back over a change
    of packs makes the stays it touches unknown.
    """
    if not counts:
        return {stay.key: UNCOUNTED for stay in stays}
    if any(count.power is None and count.flashes for count in counts):
        return {stay.key: NO_POWER for stay in stays}
    if len(stays) == 1:
        return {stays[0].key: sum(count.flashes * count.power for count in counts)}
    full: dict[str, float | str] = {stay.key: 0.0 for stay in stays}
    before = None
    for count in counts:
        touched = [stay for stay in stays if _overlap(stay, before, count.at)]
        if len(touched) > 1:  # counted a moment before or after the change belongs to one pack
            well = [stay for stay in touched if not _hardly(stay, before, count.at)]
            touched = well or touched
        for stay in touched:
            if len(touched) > 1:
                full[stay.key] = TWO_PACKS
            elif not isinstance(full[stay.key], str):
                full[stay.key] += count.flashes * count.power
        before = count.at
    return full


def _overlap(stay: Stay, before: datetime | None, at: datetime) -> bool:
    begun = stay.in_at is None or stay.in_at < at
    lasted = before is None or stay.out_at is None or stay.out_at > before
    return begun and lasted


def _hardly(stay: Stay, before: datetime | None, at: datetime) -> bool:
    begins = max((one for one in (stay.in_at, before) if one is not None), default=None)
    ends = at if stay.out_at is None else min(stay.out_at, at)
    return begins is not None and ends - begins <= SWAP_SLACK


def drawdown(stay: Stay, day: str, full: float | str, around: Around) -> Drawdown | str:
    """Return what a stay says of its pack, or why it says nothing."""
    if stay.in_share is None or stay.out_share is None:
        return UNREAD
    if isinstance(full, str):
        return full
    if not full:
        return UNCOUNTED
    hours = around.hours
    if stay.in_at is not None and stay.out_at is not None:
        hours = max((stay.out_at - stay.in_at).total_seconds() / 3600.0, 0.0)
    return Drawdown(
        key=stay.key,
        day=day,
        full_power_flashes=full,
        in_share=stay.in_share,
        out_share=stay.out_share,
        within_share=stay.step_share,
        idle_share=around.idle_w * hours / (around.usable_wh * around.cold_share),
        cold_share=around.cold_share,
        cold_stops=around.cold_stops,
    )
