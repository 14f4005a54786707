"""Frames by set and turn -> what the pages of a workshop's frames show."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext_lazy

from planning.after.clocks import FIT
from planning.after.frames import (
    DEMONSTRATION,
    IN_TURN,
    NO_SET,
    OUTSIDE,
    Placed,
    SetFrames,
    Setting,
)
from planning.after.reconcile import FlashCount, flash_counts
from planning.after.results import SetTally
from planning.clock_words import (
    DOUBTS,
    SPREADS,
    WAYS,
    about_text,
    ahead_text,
    camera_clock,
    clock_seconds,
    fit_evidence,
    jump_text,
)
from planning.figures import Figures
from planning.frames_drawn import Marks, marks_used, rungs, setting_text, strokes
from planning.models import PlannedSet
from planning.plan.result import SetPlan
from planning.selectors.frames import Body, WorkshopFrames, best_fit
from planning.selectors.lesson import station_names
from planning.selectors.recipes import locked_recipe
from planning.sheets.options import PrintOptions

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
    jump: str  # what tells against one clock for all its frames, empty for nothing


@dataclass(frozen=True)
class FitShown:
    """The best fit of a body's clock with its evidence."""

    add_s: float
    ahead: str
    sure: bool
    doubt: str
    evidence: list[str]


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
            ahead=_ahead(one),
            way=str(WAYS[one.way]),
            spread=str(SPREADS.get(one.way, "")),
            is_found=one.clock is not None,
            shown_on=_file_of(found, one.clock.frame_id if one.clock else None),
            first=camera_clock(one.first_at),
            last=camera_clock(one.last_at),
            jump=jump_text(one.jump),
        )
        for one in found.bodies
    ]


def _ahead(one: Body) -> str:
    return about_text(one.ahead_s) if one.way == FIT else ahead_text(one.ahead_s)


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
        ahead=about_text(-(best.add_s + found.place_offset_s)),
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
                strokes=strokes(record, span, placed, found.names, say),
                rungs=rungs(frames, found.plans[record.pk], span.sync_s, say),
                marks=marks_used(frames),
                recipe=setting_text(recipe) if recipe else "",
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
                setting=setting_text(one.shot.setting),
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
