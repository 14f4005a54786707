"""Frames as they were kept -> shots at their true time, each with whose it is."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from planning.after.clocks import Clock, true_time
from planning.after.frames import Setting, Shot
from planning.models import CameraClock, Frame
from workshops import marks
from workshops.models import Workshop

FIELDS = (
    "pk", "file_name", "body", "booking_id", "clock_at", "offset_min",
    "shutter_s", "f_number", "iso", "settled", "planned_set_id",
)  # fmt: skip


@dataclass(frozen=True)
class FrameLine:
    """One frame as lists show it."""

    frame_id: int
    file_name: str
    body: str
    clock_at: datetime | None  # what its camera showed
    way: str  # how its true time was come by
    settled: bool


@dataclass(frozen=True)
class FrameRow:
    pk: int
    file_name: str
    body: str
    booking_id: int | None
    clock_at: datetime | None
    offset_min: int | None
    shutter_s: float | None
    f_number: float | None
    iso: float | None
    settled: bool
    planned_set_id: int | None


def frame_rows(workshop: Workshop) -> list[FrameRow]:
    """Return the frames of a workshop in the order of their own clocks."""
    rows = Frame.objects.filter(workshop=workshop)
    rows = rows.order_by("clock_at", "file_name", "pk").values_list(*FIELDS)
    return [FrameRow(*values) for values in rows]


def owners_of(rows: Iterable[FrameRow]) -> dict[str, int | None]:
    """Return whose each body is: theirs whose frames alone it took, of those that are anybody's."""
    found: dict[str, set[int]] = {}
    for row in rows:
        if row.body and row.booking_id is not None:
            found.setdefault(row.body, set()).add(row.booking_id)
    return {body: owners.pop() for body, owners in found.items() if len(owners) == 1}


def shot_of(
    row: FrameRow,
    owners: Mapping[str, int | None],
    clocks: Mapping[str, CameraClock],
    offset_s: float,
) -> tuple[Shot, FrameLine]:
    """Return a frame as it is placed, and as lists show it."""
    kept = clocks.get(row.body) if row.body else None
    clock = Clock(kept.add_s, kept.way) if kept else None
    told = true_time(row.clock_at, row.offset_min, clock, offset_s)
    owner = row.booking_id if row.booking_id is not None else owners.get(row.body)
    shot = Shot(
        frame_id=row.pk,
        at=told.at,
        booking_id=owner,
        setting=Setting(
            _on_mark(marks.shutter_s, row.shutter_s),
            _on_mark(marks.f_number, row.f_number),
            _on_mark(marks.iso, row.iso),
        ),
        settled=row.settled,
        set_id=row.planned_set_id,
    )
    return shot, FrameLine(row.pk, row.file_name, row.body, row.clock_at, told.way, row.settled)


@lru_cache(maxsize=4096)
def _on_mark(snap, value: float | None) -> float | None:
    """Snap to the mark a camera means; what lies beyond the marks stays what it is."""
    if value is None:
        return None
    try:
        return snap(value)
    except ValueError:
        return value
