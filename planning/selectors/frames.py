"""The frames of a workshop by set and turn, with the clock of each body that took them."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache

from django.core.exceptions import ValidationError
from django.db.models import Prefetch, prefetch_related_objects

from planning.after.clock_doubts import Fit
from planning.after.clock_fit import fit
from planning.after.clock_jumps import Jump, Shown, jump
from planning.after.clock_rhythm import FitShot
from planning.after.clocks import (
    AS_CAMERA_SAYS,
    AS_PLACE,
    NO_TIME,
    Clock,
    place_offset_s,
    true_time,
)
from planning.after.frames import (
    DayFrames,
    SetFrames,
    SetSpan,
    Setting,
    Shot,
    frames_by_set,
)
from planning.models import CameraClock, Frame, PlannedSet
from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan
from planning.selectors.inputs import inputs_of
from planning.selectors.lesson import called_by
from planning.selectors.people import printed_names
from planning.selectors.set_spans import plan_of, span_of
from workshops import marks
from workshops.models import Booking, Workshop

Inputs = Mapping[int, SetInputs | ValidationError]
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
class Body:
    """One body of the workshop, and what its clock is taken for."""

    body: str  # as the files have it; empty: they do not say
    frames: int
    without_time: int
    booking_id: int | None  # whose frames these are, where they are one person's
    way: str  # shown, hand, fit; else the guess
    add_s: float | None  # None: a guess frame by frame, or no time at all
    ahead_s: float | None  # of the clock of the place; negative: behind
    clock: CameraClock | None = None
    first_at: datetime | None = None  # on its own clock
    last_at: datetime | None = None
    jump: Jump | None = None  # what tells against one clock for all of them


@dataclass(frozen=True)
class WorkshopFrames:
    """All that the pages of a workshop's frames show."""

    workshop: Workshop
    sets: tuple[PlannedSet, ...]
    spans: tuple[SetSpan, ...]
    plans: Mapping[int, SetPlan | None]
    day: DayFrames
    lines: Mapping[int, FrameLine]  # by the frame's id
    bodies: tuple[Body, ...]
    names: Mapping[int, str]  # of attendees, by booking
    place_offset_s: float = 0.0
    own_of: Mapping[int, int | None] = field(default_factory=dict)  # whose, by the frame's id


def set_frames(workshop: Workshop, inputs: Inputs | None = None) -> dict[int, SetFrames]:
    """Return what the frames of each set add up to, by set; empty while no frame is there.

    ``inputs`` of the sets, where they have been read already, save reading them again.
    """
    if not Frame.objects.filter(workshop=workshop).exists():
        return {}
    found = workshop_frames(workshop, inputs)
    return {one.set_id: one for one in found.day.sets}


def workshop_frames(workshop: Workshop, inputs: Inputs | None = None) -> WorkshopFrames:
    """Return the frames of a workshop, placed, in as many queries for ten thousand as for one."""
    sets = tuple(_sets(workshop))
    if inputs is None:
        inputs = inputs_of([row.pk for row in sets])
    plans = {row.pk: plan_of(inputs.get(row.pk)) for row in sets}
    people = Booking.objects.select_related("person").order_by("booked_at", "pk")
    prefetch_related_objects([workshop], Prefetch("bookings", people))
    by_name = {name: pk for pk, name in printed_names(workshop).items()}
    spans = tuple(span_of(row, plans[row.pk], by_name) for row in sets)
    rows = [_Row(*values) for values in _rows(workshop)]
    clocks = {clock.body: clock for clock in CameraClock.objects.filter(workshop=workshop)}
    offset_s = place_offset_s(workshop.start_at, workshop.timezone_name)
    owners = _owners(rows)
    placed = [_shot(row, owners, clocks, offset_s) for row in rows]
    return WorkshopFrames(
        workshop=workshop,
        sets=sets,
        spans=spans,
        plans=plans,
        day=frames_by_set([shot for shot, _line in placed], spans),
        lines={line.frame_id: line for _shot_, line in placed},
        bodies=tuple(_bodies(rows, owners, clocks, offset_s)),
        names=called_by(workshop),
        place_offset_s=offset_s,
        own_of={shot.frame_id: shot.booking_id for shot, _line in placed},
    )


def best_fit(found: WorkshopFrames, body: str) -> Fit | None:
    """Return the offset that fits a body's frames best into its owners' turns; None: cannot be."""
    shots = [
        FitShot(line.clock_at, owner)
        for line in found.lines.values()
        if line.body == body
        and line.clock_at
        and (owner := found.own_of[line.frame_id]) is not None
    ]
    return fit(shots, found.spans, found.place_offset_s)


@dataclass(frozen=True)
class _Row:
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


def _sets(workshop: Workshop) -> Iterable[PlannedSet]:
    rows = PlannedSet.objects.filter(workshop=workshop).select_related("location")
    return rows.prefetch_related("events").order_by("position", "pk")


def _rows(workshop: Workshop):
    rows = Frame.objects.filter(workshop=workshop)
    return rows.order_by("clock_at", "file_name", "pk").values_list(*FIELDS)


def _owners(rows: Iterable[_Row]) -> dict[str, int | None]:
    """Whose each body is: theirs whose frames alone it took, of those that are anybody's."""
    found: dict[str, set[int]] = {}
    for row in rows:
        if row.body and row.booking_id is not None:
            found.setdefault(row.body, set()).add(row.booking_id)
    return {body: owners.pop() for body, owners in found.items() if len(owners) == 1}


def _shot(
    row: _Row,
    owners: Mapping[str, int | None],
    clocks: Mapping[str, CameraClock],
    offset_s: float,
) -> tuple[Shot, FrameLine]:
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


def _bodies(
    rows: Iterable[_Row],
    owners: Mapping[str, int | None],
    clocks: Mapping[str, CameraClock],
    offset_s: float,
) -> Iterable[Body]:
    by_body: dict[str, list[_Row]] = {}
    for row in rows:
        by_body.setdefault(row.body, []).append(row)
    for body, own in sorted(by_body.items()):
        times = [row.clock_at for row in own if row.clock_at]
        clock = clocks.get(body) if body else None
        way, add_s = _guess(own, offset_s) if clock is None else (clock.way, clock.add_s)
        yield Body(
            body=body,
            frames=len(own),
            without_time=len(own) - len(times),
            booking_id=owners.get(body),
            way=way,
            add_s=add_s,
            ahead_s=None if add_s is None else -(add_s + offset_s),
            clock=clock,
            first_at=min(times, default=None),
            last_at=max(times, default=None),
            jump=jump(
                Shown(row.file_name, row.clock_at, row.offset_min)
                for row in own
                if body and row.clock_at
            ),
        )


def _guess(own: Iterable[_Row], offset_s: float) -> tuple[str, float | None]:
    """What most of a body's frames are taken for while nobody has found its clock."""
    timed = [row for row in own if row.clock_at]
    if not timed:
        return NO_TIME, None
    said = Counter(row.offset_min for row in timed)
    offset_min, count = said.most_common(1)[0]
    if offset_min is None:
        return AS_PLACE, -offset_s
    return AS_CAMERA_SAYS, -60.0 * offset_min if count == len(timed) else None
