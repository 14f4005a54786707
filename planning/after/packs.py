"""Which pack was in which head, from what was noted of packs going in and out. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from planning.after.results import PackUse

READ_WITHIN_SHARE = 0.02  # of a display in per cent: common practice, no source
# Of which so much is rounding, and a moment sooner or later; the rest is the gauge, always alike.
READ_STEP_SHARE = 0.01


@dataclass(frozen=True)
class Charge:
    """What a pack shows: a share of its charge, or so many of its lamps."""

    share: float
    lamps: int | None = None  # of how many, where it shows lamps


@dataclass(frozen=True)
class PackEvent:
    """One pack put in or taken out, read or not."""

    goes_in: bool
    at: datetime
    unit_id: int
    tag: str
    light: str
    share: float | None
    lamps: int | None  # of how many, where the pack shows lamps


def within_share(lamps: int | None) -> float:
    """Return how near a reading can be: half a lamp where lamps are shown."""
    return 0.5 / lamps if lamps else READ_WITHIN_SHARE


def step_share(lamps: int | None) -> float:
    """Return what a reading is rounded by at most, however right the gauge is."""
    return 0.5 / lamps if lamps else READ_STEP_SHARE


def pack_uses(events: Iterable[PackEvent]) -> tuple[PackUse, ...]:
    """Return the stays of packs in heads in the order they began; ``events`` by time.

    A pack that goes in sends out, unread, whatever was in that head, and leaves, unread, the
    head it was in. One read again after it went out has the later reading.
    """
    uses: list[PackUse] = []
    for event in events:
        (_put_in if event.goes_in else _take_out)(uses, event)
    return tuple(uses)


def in_heads(uses: Iterable[PackUse]) -> dict[str, PackUse]:
    """Return the pack that is in each head still, by the light's name."""
    return {use.light: use for use in uses if use.out_at is None}


def _put_in(uses: list[PackUse], event: PackEvent) -> None:
    for place, use in enumerate(uses):
        if use.out_at is None and event.light == use.light and event.unit_id == use.unit_id:
            return  # it is there already: the first reading stands
        if use.out_at is None and (event.light == use.light or event.unit_id == use.unit_id):
            uses[place] = replace(use, out_at=event.at)
    uses.append(
        PackUse(
            unit_id=event.unit_id,
            tag=event.tag,
            light=event.light,
            in_at=event.at,
            in_share=event.share,
            out_at=None,
            out_share=None,
            within_share=within_share(event.lamps),
            step_share=step_share(event.lamps),
        )
    )


def _take_out(uses: list[PackUse], event: PackEvent) -> None:
    stays = [
        place
        for place, use in enumerate(uses)
        if use.unit_id == event.unit_id and event.light in ("", use.light)
    ]
    if not stays:
        uses.append(
            PackUse(
                unit_id=event.unit_id,
                tag=event.tag,
                light=event.light,
                in_at=None,
                in_share=None,
                out_at=event.at,
                out_share=event.share,
                within_share=within_share(event.lamps),
                step_share=step_share(event.lamps),
            )
        )
        return
    use = uses[stays[-1]]
    read = use.out_share if event.share is None else event.share
    uses[stays[-1]] = replace(
        use,
        out_at=use.out_at or event.at,
        out_share=read,
        within_share=max(use.within_share, within_share(event.lamps)),
        step_share=max(use.step_share, step_share(event.lamps)),
    )
