"""Turns and frames as they were noted, as what they say of a turn's minutes and frames each."""

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from planning.after.turn_times import minutes_between_turns
from planning.learn.witness import Witness
from planning.models import TallyEvent
from planning.selectors.seen import Seen

Kind = TallyEvent.Kind
TURN_FIGURE, FRAME_FIGURE = "minutes-per-turn", "frames-per-attendee"
NEWEST = 500  # turns and counts that are looked at: habits change, and more say nothing new
COLUMNS = (
    "planned_set",
    "planned_set__location__timezone_name",
    "planned_set__changeover_min",
    "kind",
    "at",
    "station",
    "booking",
    "count",
    "planned_set__end_at",
    "changed_at",
    "planned_set__changed_at",
)
LEAST_MIN = 0.5  # of a turn: less is two presses of a button


@dataclass(frozen=True)
class Counted:
    """How many turns or attendees a set's mean was made of."""

    mean: float
    count: int


def turns_seen() -> list[Seen]:
    """Return each set with turns or frames noted, in one question to the database."""
    rows = TallyEvent.objects.filter(
        kind__in=(Kind.TURN_GIVEN, Kind.FRAMES), takes_back=None, taken_back_by=None
    )
    of_sets = defaultdict(list)
    for row in rows.order_by("-at", "-pk").values_list(*COLUMNS)[:NEWEST]:
        of_sets[row[0]].append(row)
    found = []
    for set_id, events in of_sets.items():
        found += _of_set(set_id, events)
    return found


def _of_set(set_id: int, events: list[tuple]) -> Iterable[Seen]:
    _id, zone, changeover_min = events[0][:3]
    # What is typed in later without a time stands at the planned end: no turn ended there.
    turns = [row for row in events if row[3] == Kind.TURN_GIVEN and row[4] != row[8]]
    gaps = minutes_between_turns((row[5], row[4]) for row in turns)
    minutes = [gap - changeover_min for gap in gaps if gap - changeover_min >= LEAST_MIN]
    if minutes:
        yield _seen(TURN_FIGURE, set_id, zone, turns, minutes)
    frames = [row for row in events if row[3] == Kind.FRAMES]
    each = defaultdict(int)
    for row in frames:
        each[row[6]] += row[7]
    counts = [count for count in each.values() if count]
    if counts:
        yield _seen(FRAME_FIGURE, set_id, zone, frames, counts)


def _seen(figure: str, set_id: int, zone: str, events: list[tuple], values: list) -> Seen:
    """Return a set's mean; of many it is surer than of one."""
    mean = math.fsum(values) / len(values)
    there: datetime = min(row[4] for row in events).astimezone(ZoneInfo(zone))
    key = f"set:{set_id}"
    return Seen(
        figure=figure,
        key=key,
        at=there,
        changed_at=max(max(row[9], row[10]) for row in events),
        witness=Witness(key, f"{there:%Y-%m-%d}", math.log2(mean), noise_ratio=len(values) ** -0.5),
        set_id=set_id,
        detail=Counted(mean, len(values)),
    )
