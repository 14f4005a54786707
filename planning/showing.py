"""SetPlan -> what a page shows beside the form: the sheet's own lists, on a screen."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.utils.safestring import mark_safe

from planning.drawings.ladder import ladder
from planning.drawings.plan_view import plan_view
from planning.figures import Figures
from planning.lesson_text import lesson, objective
from planning.models import PlannedSet
from planning.physics.errors import OutOfRange
from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan
from planning.refused import in_words
from planning.selectors import inputs_of
from planning.selectors.plans import evaluated
from planning.sheets import back, front, late
from planning.sheets.options import PrintOptions, print_options
from workshops.models import House

VIEW_MM = (130.0, 118.0)
LADDER_MM = 84.0
LADDER_ROW_MM = 9.0


@dataclass(frozen=True)
class Planned:
    """A set's plan, or in words why there is none."""

    plan: SetPlan | None
    inputs: SetInputs | None
    reason: str = ""

    @property
    def grave(self) -> list:
        """The cautions that stop the set or want something done."""
        cautions = self.plan.cautions if self.plan else ()
        return [caution for caution in cautions if caution.level in ("stop", "act")]

    @property
    def stops(self) -> list:
        return [caution for caution in self.grave if caution.level == "stop"]


@dataclass(frozen=True)
class SetLine:
    """One set as a list shows it: its record, its plan, and how the house writes figures there."""

    record: PlannedSet
    planned: Planned
    say: Figures


def lines_of(sets: Iterable[PlannedSet], house: House) -> list[SetLine]:
    """Return the sets with their plans, read in a fixed number of queries."""
    records = list(sets)
    inputs = inputs_of([record.pk for record in records])
    options = print_options(house)
    return [
        SetLine(
            record,
            planned(inputs[record.pk], house),
            options.figures(record.location.timezone_name),
        )
        for record in records
    ]


def planned(inputs: SetInputs | ValidationError, house: House | None = None) -> Planned:
    """Return the plan of the inputs, or the reason that they, or it, could not be made.

    The reason's figures are in the house's units, without a house in metric ones.
    """
    if isinstance(inputs, ValidationError):
        return Planned(None, None, " ".join(inputs.messages))
    try:
        return Planned(evaluated(inputs), inputs)
    except OutOfRange as reason:
        options = print_options(house) if house else PrintOptions()
        return Planned(None, inputs, in_words(reason, options.figures(inputs.location.timezone)))


def shown(found: Planned, house: House) -> dict:
    """Return the context of the plan's part of a page; call it in the house's language."""
    zone = found.inputs.location.timezone if found.inputs else house.timezone_name
    say = print_options(house).figures(zone)
    if found.plan is None:
        return {"plan": None, "reason": found.reason, "say": say}
    plan, inputs = found.plan, found.inputs
    view = plan_view(plan, inputs, say, width_mm=VIEW_MM[0], height_mm=VIEW_MM[1])
    patches = ladder(
        front.patch_tones(plan),
        say,
        front.shutter_marks(plan),
        width_mm=LADDER_MM,
        row_mm=LADDER_ROW_MM,
    )
    row = plan.ambient[0] if plan.ambient else None
    points = lesson(plan, inputs, say)
    return {
        "plan": plan,
        "inputs": inputs,
        "say": say,
        "stops": front.stop_line(plan, inputs, say),
        "blocks": front.light_blocks(plan, inputs, say),
        "bodies": front.own_lines(plan),
        "turns": front.turn_lines(plan),
        "own_distance": len({row.distance_m for row in plan.exposure.correction}) > 1,
        "base_spread": back.spread_words(row.low_stops, row.high_stops, say) if row else "",
        "cautions": back.sorted_cautions(plan),
        "late": late.strip(plan, say),
        "stands": late.stand_lines(plan),
        "heads": list(zip(plan.battery, plan.lights, strict=True)),
        "ways": [(back.option_name(way.name), way) for way in plan.exposure.options],
        "points": points,
        "aim": objective(plan, inputs, say),
        "base_told": back.base_told(plan, say) if points else "",
        "key_head": back.key_head(inputs),
        "numbers": back.number_lines(plan, inputs, say),
        "sun": back.sun_rows(plan, say),
        # Both drawings escape every text they are given.
        "plan_view": mark_safe(view.svg),
        "plan_view_rest": ["; ".join(label.lines) for label in view.left_over],
        "ladder_drawn": mark_safe(patches),
    }
