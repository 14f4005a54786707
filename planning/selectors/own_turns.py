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
from planning.selectors.own_frames import FiledFrames, frames_filed
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
    filed: int = 0  # of them, by the files of their cameras rather than by hand


def turns_seen() -> list[Seen]:
    """Return each set with turns or frames noted, in a fixed number of questions.

    Frames of whom nobody counted by hand come from files.
    """
    rows = TallyEvent.objects.filter(
        kind__in=(Kind.TURN_GIVEN, Kind.FRAMES), takes_back=None, taken_back_by=None
    )
    of_sets = defaultdict(list)
    for row in rows.order_by("-at", "-pk").values_list(*COLUMNS)[:NEWEST]:
        of_sets[row[0]].append(row)
    found = []
    filed = frames_filed()
    for set_id, events in of_sets.items():
        found += _of_set(set_id, events)
        found += _frames_of(set_id, events, filed.pop(set_id, None))
    for set_id, of_files in filed.items():
        found += _frames_of(set_id, [], of_files)
    return found


def _of_set(set_id: int, events: list[tuple]) -> Iterable[Seen]:
    _id, zone, changeover_min = events[0][:3]
    # What is typed in later without a time stands at the planned end: no turn ended there.
    turns = [row for row in events if row[3] == Kind.TURN_GIVEN and row[4] != row[8]]
    gaps = minutes_between_turns((row[5], row[4]) for row in turns)
    minutes = [gap - changeover_min for gap in gaps if gap - changeover_min >= LEAST_MIN]
    if minutes:
        at = min(row[4] for row in turns).astimezone(ZoneInfo(zone))
        changed_at = max(max(row[9], row[10]) for row in turns)
        mean = math.fsum(minutes) / len(minutes)
        yield _seen(TURN_FIGURE, set_id, at, changed_at, Counted(mean, len(minutes)))


def _frames_of(set_id: int, events: list[tuple], filed: FiledFrames | None) -> Iterable[Seen]:
    """Return the frames of an attendee on a set: counted by hand, else by their files."""
    by_hand = defaultdict(int)
    rows = [row for row in events if row[3] == Kind.FRAMES]
    for row in rows:
        by_hand[row[6]] += row[7]
    of_files = {
        whose: count for whose, count in (filed.by_booking if filed else ()) if whose not in by_hand
    }
    counts = [count for count in (*by_hand.values(), *of_files.values()) if count]
    if not counts:
        return
    zone = events[0][1] if events else filed.zone
    times = [row[4] for row in rows] or [filed.at]
    changes = [max(row[9], row[10]) for row in rows]
    changes += [filed.changed_at] if of_files else []
    counted = Counted(math.fsum(counts) / len(counts), len(counts), len(of_files))
    yield _seen(FRAME_FIGURE, set_id, min(times).astimezone(ZoneInfo(zone)), max(changes), counted)


def _seen(figure: str, set_id: int, at: datetime, changed_at: datetime, counted: Counted) -> Seen:
    """Return a set's mean; of many it is surer than of one."""
    key = f"set:{set_id}"
    noise_ratio = counted.count**-0.5
    return Seen(
        figure=figure,
        key=key,
        at=at,
        changed_at=changed_at,
        witness=Witness(key, f"{at:%Y-%m-%d}", math.log2(counted.mean), noise_ratio=noise_ratio),
        set_id=set_id,
        detail=counted,
    )
