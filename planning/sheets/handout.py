"""The handout: what each set taught, the same for all, behind a page of each attendee's own.

The pages of the sets are made once for a workshop; the printing process keeps them laid out, so
that each further handout costs its own page alone.
"""

import base64
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from planning.after.own import BY_FILES, OwnTally
from planning.drawings.labels import Drawing
from planning.drawings.ladder import ladder
from planning.drawings.plan_view import plan_view
from planning.drawings.side_view import side_view
from planning.figures import Figures
from planning.lesson_text import ShownPoint, lesson, objective
from planning.plan.equivalents import OwnSettings, Recipe, SmallerFlash
from planning.plan.inputs import LightInputs, SetInputs
from planning.plan.result import Light, SetPlan
from planning.sheets import back, front, pdf
from planning.sheets.glossary import GLOSSARY
from planning.sheets.options import PrintOptions
from planning.sheets.pages import in_language
from planning.sheets.worker import Side
from planning.templatetags import figures

DRAWING_MM = (104.0, 78.0)
SIDE_MM = (82.0, 50.0)
LADDER_MM = 82.0
LADDER_ROW_MM = 7.2


@dataclass(frozen=True)
class Picture:
    """A picture of the set, and whose it is."""

    address: str  # the picture itself, as a data URL
    credit: str
    words: str  # what it shows, for whoever does not see it


def picture_address(jpeg: bytes) -> str:
    """Return a JPEG as an address that the printing process reads without a file."""
    return "data:image/jpeg;base64," + base64.b64encode(jpeg).decode("ascii")


@dataclass(frozen=True)
class Shot:
    """What was really set: as locked, else as planned."""

    recipe: Recipe
    powers: tuple[tuple[str, float], ...] = ()  # by the light's name, as locked
    locked_at: datetime | None = None
    alone: tuple[tuple[str, str], ...] = ()  # what each light then reads alone, by its name


@dataclass(frozen=True)
class TaughtSet:
    """One set of the day with what it taught and what was shot."""

    plan: SetPlan
    inputs: SetInputs
    shot: Shot
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True)
class OwnSet:
    """One set on an attendee's own page."""

    number: int
    title: str
    settings: OwnSettings | None  # None: no camera recorded
    flash: tuple[SmallerFlash, SmallerFlash] | None  # bare, and through an umbrella
    own: "OwnDone | None" = None  # None: nothing was noted


@dataclass(frozen=True)
class OwnDone:
    """What an attendee had and did on a set: of the tally only what is theirs alone."""

    tally: OwnTally
    locked: bool  # whether there was a recipe to be at
    misfires: tuple[str, ...] = ()  # why each lamp did not fire, and what helps


@dataclass(frozen=True)
class Mine:
    """What is an attendee's alone."""

    name: str
    camera: str
    sets: tuple[OwnSet, ...]


@dataclass(frozen=True)
class Day:
    """What stands on every handout of a workshop."""

    title: str
    day: str
    timezone: str
    taught: tuple[TaughtSet, ...]
    credits: tuple[str, ...] = ()  # who taught, stood before the camera, helped, took pictures
    terms: str = ""  # what may be done with the pictures of the day; empty: ask first


def lesson_sides(day: Day, options: PrintOptions) -> list[Side]:
    """Return the pages of the sets, the same bytes for every attendee of the day."""
    with in_language(options):
        styles = _styles(options)
        contexts = [_set_context(one, day, options) for one in day.taught]
        return [_fitted("sheets/handout_set.html", one, styles) for one in contexts]


def own_side(mine: Mine, day: Day, options: PrintOptions) -> Side:
    """Return an attendee's own page."""
    with in_language(options):
        say = options.figures(day.timezone)
        context = {
            "options": options,
            "say": say,
            "mine": mine,
            "day": day,
            "done": [one for one in mine.sets if one.own],
            "by_files": any(one.own and one.own.tally.frames_from == BY_FILES for one in mine.sets),
            "exercises": list(_exercises(day, options)),
            "terms": GLOSSARY,
        }
        return _fitted("sheets/handout_own.html", context, _styles(options))


def handout_pdf(mine: Mine, day: Day, options: PrintOptions, lessons: Sequence[Side]) -> bytes:
    """Return an attendee's handout; ``lessons`` are the day's ``lesson_sides``.

    Raises SheetFailed when the printing process has a complaint.
    """
    return pdf.printed([own_side(mine, day, options), *lessons], "/DuplexFlipLongEdge")


def _styles(options: PrintOptions) -> str:
    return render_to_string("sheets/paper.css", {"options": options, "shared": True})


def _fitted(template: str, context: dict, styles: str) -> Side:
    return pdf.fewest_pages(lambda room: pdf.side(template, {**context, "room": room}, styles))


def _set_context(one: TaughtSet, day: Day, options: PrintOptions) -> dict:
    plan, inputs = one.plan, one.inputs
    say = options.figures(inputs.location.timezone)
    view = plan_view(plan, inputs, say, width_mm=DRAWING_MM[0], height_mm=DRAWING_MM[1])
    aside = side_view(plan, inputs, say, width_mm=SIDE_MM[0], height_mm=SIDE_MM[1])
    patches = ladder(
        front.patch_tones(plan),
        say,
        front.shutter_marks(plan),
        width_mm=LADDER_MM,
        row_mm=LADDER_ROW_MM,
    )
    row = plan.ambient[0]
    return {
        "options": options,
        "say": say,
        "plan": plan,
        "inputs": inputs,
        "day": day,
        "number": inputs.set_index + 1,
        "objective": objective(plan, inputs, say),
        "points": lesson(plan, inputs, say),
        "shot": one.shot,
        "planned": _planned(one) if one.shot.locked_at is not None else "",
        "lamps": [
            (light, _power(light, given, one.shot), given, _alone(light, one.shot))
            for light in plan.lights
            for given in [_given(inputs, light)]
        ],
        "why": back.number_lines(plan, inputs, say),
        "base_spread": back.spread_words(row.low_stops, row.high_stops, say),
        "pictures": one.pictures,
        # The drawings escape every text they are given.
        "plan_view": mark_safe(view.svg),
        "left_over": _left_over(view, aside),
        "side_view": mark_safe(aside.svg),
        "ladder": mark_safe(patches),
    }


def _left_over(*drawn: Drawing) -> list[str]:
    """Return what the drawings could not say, each sentence once."""
    labels = (label for one in drawn for label in one.left_over)
    return list(dict.fromkeys("; ".join(label.lines) for label in labels))


def _planned(one: TaughtSet) -> str:
    """Return what was planned of all that was locked otherwise, as it prints; else nothing."""
    exposure, recipe = one.plan.exposure, one.shot.recipe
    planned = _marks(exposure.working_f_number, exposure.start_s, exposure.iso)
    told = []
    if planned != _marks(recipe.f_number, recipe.shutter_s, recipe.iso):
        told.append(planned)
    locked = dict(one.shot.powers)
    told += [
        f"{light.name} {light.power_mark}"
        for light in one.plan.lights
        if light.name in locked
        and figures.power(locked[light.name], _given(one.inputs, light)) != light.power_mark
    ]
    return ", ".join(told)


def _marks(f_number: float, shutter_s: float, iso: float) -> str:
    return f"{figures.f_number(f_number)} {figures.shutter(shutter_s)} ISO {figures.iso(iso)}"


def _power(light: Light, given: LightInputs, shot: Shot) -> str:
    locked = dict(shot.powers).get(light.name)
    return light.power_mark if locked is None else figures.power(locked, given)


def _alone(light: Light, shot: Shot) -> str:
    return dict(shot.alone).get(light.name, light.reading_mark)


def _given(inputs: SetInputs, light: Light) -> LightInputs:
    return next(one for one in inputs.lights if one.name == light.name)


def _exercises(day: Day, options: PrintOptions) -> Iterator[tuple[int, ShownPoint]]:
    for one in day.taught:
        say: Figures = options.figures(one.inputs.location.timezone)
        for point in lesson(one.plan, one.inputs, say):
            if point.exercise:
                yield one.inputs.set_index + 1, point
