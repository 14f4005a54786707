"""The frames of a workshop by set and turn, with the clock of each body that took them."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime

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
    place_offset_s,
)
from planning.after.frames import (
    DayFrames,
    SetFrames,
    SetSpan,
    frames_by_set,
)
from planning.models import CameraClock, Frame, PlannedSet
from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan
from planning.selectors.frame_rows import FrameLine, FrameRow, frame_rows, owners_of, shot_of
from planning.selectors.inputs import inputs_of
from planning.selectors.lesson import called_by
from planning.selectors.people import printed_names
from planning.selectors.set_spans import plan_of, span_of
from workshops.models import Booking, Workshop

Inputs = Mapping[int, SetInputs | ValidationError]


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
    rows = frame_rows(workshop)
    clocks = {clock.body: clock for clock in CameraClock.objects.filter(workshop=workshop)}
    offset_s = place_offset_s(workshop.start_at, workshop.timezone_name)
    owners = owners_of(rows)
    placed = [shot_of(row, owners, clocks, offset_s) for row in rows]
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


def _sets(workshop: Workshop) -> Iterable[PlannedSet]:
    rows = PlannedSet.objects.filter(workshop=workshop).select_related("location")
    return rows.prefetch_related("events").order_by("position", "pk")


def _bodies(
    rows: Iterable[FrameRow],
    owners: Mapping[str, int | None],
    clocks: Mapping[str, CameraClock],
    offset_s: float,
) -> Iterable[Body]:
    by_body: dict[str, list[FrameRow]] = {}
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


def _guess(own: Iterable[FrameRow], offset_s: float) -> tuple[str, float | None]:
    """What most of a body's frames are taken for while nobody has found its clock."""
    timed = [row for row in own if row.clock_at]
    if not timed:
        return NO_TIME, None
    said = Counter(row.offset_min for row in timed)
    offset_min, count = said.most_common(1)[0]
    if offset_min is None:
        return AS_PLACE, -offset_s
    return AS_CAMERA_SAYS, -60.0 * offset_min if count == len(timed) else None
