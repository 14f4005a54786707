"""How long a set and each turn really lasted, from what was noted, else from what was planned."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from planning.after.frames import NOTED_SLACK, PLANNED_MARGIN, SetSpan, TurnSpan

# A turn runs over by half at the most before somebody calls: common practice, no source.
MOST_OF_A_TURN = 1.5


@dataclass(frozen=True)
class TurnEnd:
    """A turn as it is noted: at its end."""

    booking_id: int
    at: datetime
    station: str = ""


@dataclass(frozen=True)
class SetTimes:
    """When a set was planned, and what was noted of it; None: nobody did."""

    planned_start_at: datetime
    planned_end_at: datetime
    began_at: datetime | None = None
    ended_at: datetime | None = None


def turns_from_ends(ends: Iterable[TurnEnd], turn: timedelta) -> tuple[TurnSpan, ...]:
    """Return the turns that were noted at their ends, in the order of the clock.

    A turn begins when the one before it at its station ended, and lasts half as long again as
    planned at the most. Raises ValueError for a turn without length.
    """
    if turn <= timedelta(0):
        raise ValueError("a turn must last some time")
    before: dict[str, datetime] = {}
    turns = []
    for end in sorted(ends, key=lambda one: one.at):
        begins_at = end.at - MOST_OF_A_TURN * turn
        if end.station in before:
            begins_at = max(begins_at, before[end.station])
        before[end.station] = end.at
        turns.append(TurnSpan(end.booking_id, begins_at, end.at))
    return tuple(turns)


def set_span(
    set_id: int, times: SetTimes, turns: Sequence[TurnSpan], sync_s: float | None
) -> SetSpan:
    """Return a set from its real beginning to its real end, with room where nobody noted them.

    One end alone tells the other by the planned length. Turns that were noted lie within.
    """
    length = times.planned_end_at - times.planned_start_at
    first_at = times.began_at
    last_at = times.ended_at
    if first_at is None:
        first_at = times.planned_start_at
        if last_at is not None and last_at <= first_at:
            first_at = last_at - length
    if last_at is None:
        last_at = first_at + length
    noted = [turn for turn in turns if turn.noted]
    first_at = min([first_at, *(turn.begins_at for turn in noted)])
    last_at = max([last_at, *(turn.ends_at for turn in noted)])
    return SetSpan(
        set_id=set_id,
        begins_at=first_at - (NOTED_SLACK if times.began_at else PLANNED_MARGIN),
        ends_at=last_at + (NOTED_SLACK if times.ended_at else PLANNED_MARGIN),
        turns=tuple(turns),
        sync_s=sync_s,
        core_from_at=first_at,
        core_to_at=last_at,
    )
