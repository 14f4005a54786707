"""Frames of attendees as their files say it, set by set."""

from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from django.db.models import Count, Max, Prefetch

from planning.after.clocks import place_offset_s
from planning.after.frames import OUTSIDE, Shot, frames_by_set
from planning.models import CameraClock, Frame, PlannedSet, TallyEvent
from planning.selectors.frame_rows import frame_rows, owners_of, shot_of
from planning.selectors.set_spans import span_of
from workshops.models import Workshop

NEWEST = 40  # workshops whose frames are looked at: habits change, and more say nothing new


@dataclass(frozen=True)
class FiledFrames:
    """What the files of one set say."""

    set_id: int
    zone: str
    at: datetime
    changed_at: datetime
    by_booking: tuple[tuple[int, int], ...]  # in own turns; all of a set whose turns nobody noted


def frames_filed() -> dict[int, FiledFrames]:
    """Return what files say of the frames of each set, in four questions to the database.

    A workshop is placed once, and again when its frames, clocks, sets or events have changed.
    """
    of_frames = Frame.objects.values("workshop", "workshop__changed_at").annotate(
        count=Count("pk"), newest=Max("changed_at"), at=Max("clock_at")
    )
    frames = {row["workshop"]: row for row in of_frames.order_by("-at")[:NEWEST]}
    if not frames:
        return {}
    marks = {
        pk: [row["workshop__changed_at"], row["count"], row["newest"]] for pk, row in frames.items()
    }
    for rows, of in (
        (CameraClock.objects, "workshop"),
        (PlannedSet.objects, "workshop"),
        (TallyEvent.objects, "planned_set__workshop"),
    ):
        found = rows.filter(**{f"{of}__in": list(frames)}).values(of)
        for row in found.annotate(count=Count("pk"), newest=Max("changed_at")).order_by(of):
            marks[row[of]] += [of, row["count"], row["newest"]]
    return {one.set_id: one for pk in frames for one in _filed(pk, tuple(marks[pk]))}


@lru_cache(maxsize=256)
def _filed(workshop_id: int, mark: tuple) -> tuple[FiledFrames, ...]:
    """Return the sets of one workshop; ``mark`` differs when any record of it does."""
    workshop = Workshop.objects.get(pk=workshop_id)
    rows = PlannedSet.objects.filter(workshop=workshop).select_related("location")
    events = Prefetch("events", TallyEvent.objects.order_by("at", "pk"))
    sets = list(rows.prefetch_related(events).order_by("position", "pk"))
    spans = [span_of(row, None, {}) for row in sets]
    day = frames_by_set(_shots(workshop), spans)
    noted = {span.set_id for span in spans if span.turns}
    found = []
    for row, frames in zip(sets, day.sets, strict=True):
        counts = dict(frames.by_booking)
        for one in day.placed:
            whose = one.shot.booking_id
            free = one.shot.settled or row.pk not in noted
            if one.set_id == row.pk and one.where == OUTSIDE and whose is not None and free:
                counts[whose] = counts.get(whose, 0) + 1
        if counts:
            changed = max(value for value in mark if isinstance(value, datetime))
            found.append(
                FiledFrames(
                    set_id=row.pk,
                    zone=row.location.timezone_name,
                    at=row.start_at,
                    changed_at=changed,
                    by_booking=tuple(counts.items()),
                )
            )
    return tuple(found)


def _shots(workshop: Workshop) -> list[Shot]:
    rows = frame_rows(workshop)
    clocks = {clock.body: clock for clock in CameraClock.objects.filter(workshop=workshop)}
    offset_s = place_offset_s(workshop.start_at, workshop.timezone_name)
    owners = owners_of(rows)
    return [shot_of(row, owners, clocks, offset_s)[0] for row in rows]
