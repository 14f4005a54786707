"""The frames of a set drawn: along its turns, and at each shutter of its plan; marks counted."""

import math
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _

from planning.after.frames import OUTSIDE, SAME_STOPS, Placed, SetFrames, SetSpan, Setting
from planning.drawings.shutters import Rung, shutters
from planning.drawings.taken import TakenRow, taken
from planning.figures import Figures
from planning.models import PlannedSet
from planning.physics.errors import OutOfRange
from planning.physics.exposure import f_mark, iso_mark, shutter_mark
from planning.plan.result import SetPlan
from workshops.models.base import in_zone
from workshops.words import NOT_KNOWN

MOST_MARKS = 8  # of one kind shown; what was used less is summed up


@dataclass(frozen=True)
class Marks:
    """How often each mark of one kind was used."""

    name: str
    counts: list[tuple[str, int]]
    rest: int  # frames at marks used less


def strokes(
    record: PlannedSet,
    span: SetSpan,
    placed: Iterable[Placed],
    names: Mapping[int, str],
    say: Figures,
) -> str:
    """The strokes of everybody who has a turn or took a frame here, the house first."""
    zone = record.location.timezone_name
    rows: dict[int | None, tuple[list[datetime], list[datetime]]] = {}
    for one in placed:
        if one.shot.at is not None:
            inside, outside = rows.setdefault(one.shot.booking_id, ([], []))
            (outside if one.where == OUTSIDE else inside).append(in_zone(one.shot.at, zone))
    if not rows:
        return ""
    turns: dict[int | None, list[tuple[datetime, datetime]]] = {}
    for turn in span.turns:
        ends = in_zone(turn.begins_at, zone), in_zone(turn.ends_at, zone)
        turns.setdefault(turn.booking_id, []).append(ends)
    order = sorted(
        {*turns, *rows},
        key=lambda pk: (min(turns[pk])[0].timestamp() if pk in turns else 0.0, pk or 0),
    )
    drawn = [
        TakenRow(
            name=names.get(pk, "") if pk else _("no owner known"),
            turns=tuple(turns.get(pk, ())),
            in_turn=tuple(rows.get(pk, ((), ()))[0]),
            outside=tuple(rows.get(pk, ((), ()))[1]),
        )
        for pk in order
    ]
    begins_at = in_zone(span.core_from_at or span.begins_at, zone)
    ends_at = in_zone(span.core_to_at or span.ends_at, zone)
    title = _("Frames along the turns of %(set)s") % {"set": record.title}
    return mark_safe(taken(drawn, begins_at, ends_at, title, say))


def rungs(frames: SetFrames, plan: SetPlan | None, sync_s: float | None, say: Figures) -> str:
    """Frames at each shutter of the plan's ladder and at those used beside it, fastest first."""
    ladder = {step.shutter_s: step for step in plan.exposure.ladder} if plan else {}
    # A file's 1/160 and the plan's are one rung, whatever their last digits are.
    used = Counter()
    for shutter_s, count in frames.shutters:
        used[next((rung for rung in ladder if _is_same(rung, shutter_s)), shutter_s)] += count
    rows = []
    for shutter_s in sorted({*ladder, *used}):
        step = ladder.get(shutter_s)
        too_fast = sync_s is not None and math.log2(shutter_s / sync_s) <= -SAME_STOPS
        rows.append(
            Rung(
                mark=_mark(shutter_mark, shutter_s),
                background_stops=step.background_stops if step else None,
                frames=used[shutter_s],
                planned=plan is not None and shutter_s == plan.exposure.start_s,
                note=_("faster than the group’s sync") if too_fast and shutter_s in used else "",
            )
        )
    title = _("Frames at each shutter, and what it makes of the background")
    return mark_safe(shutters(rows, title, say))


def _is_same(one_s: float, other_s: float) -> bool:
    return abs(math.log2(one_s / other_s)) < SAME_STOPS


def marks_used(frames: SetFrames) -> list[Marks]:
    kinds = (
        (_("shutter"), frames.shutters, shutter_mark),
        (_("aperture"), frames.f_numbers, f_mark),
        (_("ISO"), frames.isos, iso_mark),
    )
    shown = []
    for name, counted, make in kinds:
        if not counted:
            continue
        kept = sorted(sorted(counted, key=lambda one: -one[1])[:MOST_MARKS])
        rest = sum(count for _value, count in counted) - sum(count for _value, count in kept)
        shown.append(Marks(name, [(_mark(make, value), count) for value, count in kept], rest))
    return shown


def setting_text(one: Setting) -> str:
    """Return "1/125 f/16 ISO 100"; a dash for what the file does not say."""
    iso = _mark(iso_mark, one.iso)
    return " ".join((_mark(shutter_mark, one.shutter_s), _mark(f_mark, one.f_number), f"ISO {iso}"))


def _mark(make, value: float | None) -> str:
    if value is None:
        return NOT_KNOWN
    try:
        return make(value)
    except OutOfRange:
        return NOT_KNOWN
