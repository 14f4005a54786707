"""The points a set teaches -> its lesson as page and sheet show it, filled with the plan's figures.

Nothing of it is stored: a reading typed into the set changes the lesson with the plan.
"""

from dataclasses import dataclass

from django.utils.translation import gettext

from planning.figures import Figures
from planning.lesson.figure_names import filled
from planning.lesson.points import LIBRARY, PARTS
from planning.lesson_figures import lesson_figures
from planning.plan.inputs import PointInputs, SetInputs
from planning.plan.result import SetPlan
from planning.templatetags.figures import cut, fewer

# Twice the longest line of the library, and more lines than anybody shows.
MOST_LINES = 40
MOST_LETTERS = 800


@dataclass(frozen=True)
class Fault:
    seen: str
    cure: str  # empty where the line names none


@dataclass(frozen=True)
class ShownPoint:
    """One point, in words fit to print."""

    code: str
    name: str
    objective: str
    demo: tuple[str, ...]
    task: tuple[str, ...]
    vary: tuple[str, ...]
    faults: tuple[Fault, ...]
    critique: tuple[str, ...]
    exercise: str


def point_text(code: str, part: str, own: str = "") -> str:
    """Return one part of a point, or its name, unfilled: the house's words, else the library's."""
    known = LIBRARY.get(code)
    return own or (known.text(part, gettext) if known else "")


def lesson(plan: SetPlan, inputs: SetInputs, say: Figures) -> tuple[ShownPoint, ...]:
    """Return the set's points, the main one first, in the reader's language."""
    if not inputs.points:
        return ()
    figures = lesson_figures(plan, inputs, say)
    return tuple(_shown(point, figures) for point in inputs.points)


def objective(plan: SetPlan, inputs: SetInputs, say: Figures) -> str:
    """Return what the set is for: in its own words, else those of the point it teaches."""
    if inputs.objective or not inputs.points:
        return inputs.objective
    return _shown(inputs.points[0], lesson_figures(plan, inputs, say)).objective


def _shown(point: PointInputs, figures: dict[str, str | None]) -> ShownPoint:
    parts = {part: _lines(point, part, figures) for part in PARTS}
    return ShownPoint(
        code=point.code,
        name=point_text(point.code, "name", point.name),
        objective=" ".join(parts["objective"]),
        demo=parts["demo"],
        task=parts["task"],
        vary=parts["vary"],
        faults=tuple(_fault(line) for line in parts["faults"]),
        critique=parts["critique"],
        exercise=" ".join(parts["exercise"]),
    )


def _lines(point: PointInputs, part: str, figures: dict[str, str | None]) -> tuple[str, ...]:
    text = point_text(point.code, part, getattr(point, part))
    lines = fewer((line for one in text.splitlines() if (line := one.strip())), MOST_LINES)
    return tuple(shown for line in lines if (shown := cut(filled(line, figures), MOST_LETTERS)))


def _fault(line: str) -> Fault:
    seen, mark, cure = line.partition(": ")
    return Fault(seen, cure) if mark else Fault(line, "")
