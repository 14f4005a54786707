"""Frames by set and turn -> what the pages of a workshop's frames show."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from planning.after.frames import (
    DEMONSTRATION,
    IN_TURN,
    NO_SET,
    OUTSIDE,
    Placed,
    SetFrames,
    SetSpan,
    Setting,
)
from planning.after.reconcile import FlashCount, flash_counts
from planning.after.results import SetTally
from planning.clock_words import (
    DOUBTS,
    SPREADS,
    WAYS,
    ahead_text,
    camera_clock,
    clock_seconds,
    fit_evidence,
)
from planning.drawings.shutters import Rung, shutters
from planning.drawings.taken import TakenRow, taken
from planning.figures import Figures
from planning.models import PlannedSet
from planning.physics.errors import OutOfRange
from planning.physics.exposure import f_mark, iso_mark, shutter_mark
from planning.plan.result import SetPlan
from planning.selectors.frames import WorkshopFrames, best_fit
from planning.selectors.lesson import station_names
from planning.selectors.recipes import locked_recipe
from planning.sheets.options import PrintOptions
from workshops.models.base import in_zone
from workshops.words import NOT_KNOWN

MOST_MARKS = 8  # of one kind shown; what was used less is summed up
WHERE = {
    IN_TURN: gettext_lazy("own turn"),
    DEMONSTRATION: gettext_lazy("demonstration"),
    OUTSIDE: gettext_lazy("outside own turn"),
    NO_SET: gettext_lazy("of no set"),
}


@dataclass(frozen=True)
class BodyLine:
    """One body as a list shows it."""

    body: str
    owner: str
    frames: int
    without_time: int
    ahead: str
    way: str
    spread: str
    is_found: bool  # somebody found its clock; else it is guessed
    shown_on: str  # the frame of the clock page it was found from
    first: str
    last: str


@dataclass(frozen=True)
class FitShown:
    """The best fit of a body's clock with its evidence."""

    add_s: float
    ahead: str
    sure: bool
    doubt: str
    evidence: list[str]


@dataclass(frozen=True)
class Marks:
    """How often each mark of one kind was used."""

    name: str
    counts: list[tuple[str, int]]
    rest: int  # frames at marks used less


@dataclass(frozen=True)
class SetShown:
    """One set: whose frames, what they were set to, flashes by two counts, and two drawings."""

    record: PlannedSet
    frames: SetFrames
    people: list[tuple[str, int, int]]  # name, in turns, outside
    turns_noted: bool
    strokes: str
    rungs: str
    marks: list[Marks]
    recipe: str
    is_locked: bool
    at_recipe: int | None
    at_flash: int | None
    counts: tuple[FlashCount, ...]
    say: Figures


@dataclass(frozen=True)
class FrameShown:
    """One frame of a list."""

    frame_id: int
    file_name: str
    body: str
    at: str
    camera: str
    way: str
    person: str
    where: str
    setting: str
    settled: bool
    flashed: bool


def body_lines(found: WorkshopFrames) -> list[BodyLine]:
    """Return the bodies of a workshop with what their clocks are taken for, in words."""
    return [
        BodyLine(
            body=one.body,
            owner=found.names.get(one.booking_id, "") if one.booking_id else "",
            frames=one.frames,
            without_time=one.without_time,
            ahead=ahead_text(one.ahead_s),
            way=str(WAYS[one.way]),
            spread=str(SPREADS.get(one.way, "")),
            is_found=one.clock is not None,
            shown_on=_file_of(found, one.clock.frame_id if one.clock else None),
            first=camera_clock(one.first_at),
            last=camera_clock(one.last_at),
        )
        for one in found.bodies
    ]


def _file_of(found: WorkshopFrames, frame_id: int | None) -> str:
    line = found.lines.get(frame_id) if frame_id else None
    return line.file_name if line else ""


def fit_shown(found: WorkshopFrames, body: str) -> FitShown | None:
    """Return a body's best fit in words; None where it has no turns or no times to fit."""
    best = best_fit(found, body)
    if best is None:
        return None
    return FitShown(
        add_s=best.add_s,
        ahead=ahead_text(-(best.add_s + found.place_offset_s)),
        sure=best.sure,
        doubt=str(DOUBTS.get(best.doubt, "")),
        evidence=fit_evidence(best, found.place_offset_s),
    )


def set_lines(
    found: WorkshopFrames,
    tallies: Iterable[SetTally],
    options: PrintOptions,
    test_share: float,
) -> list[SetShown]:
    """Return each set of a workshop with its frames, drawn and counted."""
    by_set: dict[int, list[Placed]] = {}
    for one in found.day.placed:
        if one.set_id is not None:
            by_set.setdefault(one.set_id, []).append(one)
    tally_of = {one.set_id: one for one in tallies}
    lines = []
    for record, span, frames in zip(found.sets, found.spans, found.day.sets, strict=True):
        say = options.figures(record.location.timezone_name)
        placed = by_set.get(record.pk, [])
        recipe, is_locked = _recipe(record, found.plans[record.pk])
        tally = tally_of.get(record.pk)
        lines.append(
            SetShown(
                record=record,
                frames=frames,
                people=_people(frames, found.names),
                turns_noted=any(turn.noted for turn in span.turns),
                strokes=_strokes(record, span, placed, found.names, say),
                rungs=_rungs(frames, found.plans[record.pk], span.sync_s, say),
                marks=_marks(frames),
                recipe=_setting(recipe) if recipe else "",
                is_locked=is_locked,
                at_recipe=frames.at_recipe(recipe) if recipe else None,
                at_flash=frames.at_flash(recipe) if recipe else None,
                counts=_counts(record, tally, frames, test_share),
                say=say,
            )
        )
    return lines


def frame_lines(found: WorkshopFrames, placed: Iterable[Placed]) -> list[FrameShown]:
    """Return frames as a list shows them."""
    zone = found.workshop.timezone_name
    shown = []
    for one in placed:
        line = found.lines[one.shot.frame_id]
        owner = one.shot.booking_id
        shown.append(
            FrameShown(
                frame_id=line.frame_id,
                file_name=line.file_name,
                body=line.body,
                at=clock_seconds(one.shot.at, zone),
                camera=camera_clock(line.clock_at),
                way=str(WAYS[line.way]),
                person=found.names.get(owner, "") if owner else "",
                where=str(WHERE[one.where]),
                setting=_setting(one.shot.setting),
                settled=line.settled,
                flashed=one.flashed,
            )
        )
    return shown


def _people(frames: SetFrames, names: Mapping[int, str]) -> list[tuple[str, int, int]]:
    own, other = frames.by_booking, frames.other_by_booking
    rows = [(names.get(pk, ""), own.get(pk, 0), other.get(pk, 0)) for pk in {**own, **other}]
    return sorted(rows)


def _recipe(record: PlannedSet, plan: SetPlan | None) -> tuple[Setting | None, bool]:
    """The recipe locked, else the planned one, and whether it was locked."""
    if locked := locked_recipe(record, record.events.all()):
        return Setting(locked.shutter_s, locked.f_number, locked.iso), True
    if plan is None:
        return None, False
    exposure = plan.exposure
    return Setting(exposure.start_s, exposure.working_f_number, exposure.iso), False


def _counts(
    record: PlannedSet, tally: SetTally | None, frames: SetFrames, test_share: float
) -> tuple[FlashCount, ...]:
    if tally is None:
        return ()
    stations = max(1, len(station_names(record)))
    return flash_counts(tally, frames, test_share=test_share, side_by_side=stations)


def _strokes(
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
            name=names.get(pk, "") if pk else _("the house, or nobody’s"),
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


def _rungs(frames: SetFrames, plan: SetPlan | None, sync_s: float | None, say: Figures) -> str:
    """Frames at each shutter of the plan's ladder and at those used beside it, fastest first."""
    ladder = {step.shutter_s: step for step in plan.exposure.ladder} if plan else {}
    used = dict(frames.shutters)
    rungs = []
    for shutter_s in sorted({*ladder, *used}):
        step = ladder.get(shutter_s)
        too_fast = sync_s is not None and shutter_s < sync_s * 0.99
        rungs.append(
            Rung(
                mark=_mark(shutter_mark, shutter_s),
                background_stops=step.background_stops if step else None,
                frames=used.get(shutter_s, 0),
                planned=plan is not None and shutter_s == plan.exposure.start_s,
                note=_("faster than the group’s sync") if too_fast and shutter_s in used else "",
            )
        )
    title = _("Frames at each shutter, and what it makes of the background")
    return mark_safe(shutters(rungs, title, say))


def _marks(frames: SetFrames) -> list[Marks]:
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


def _setting(one: Setting) -> str:
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
