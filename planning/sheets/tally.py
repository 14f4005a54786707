"""The tally sheet: one side a set to fill in with a pencil, and to type in afterwards."""

from dataclasses import dataclass

from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan
from planning.sheets import pdf
from planning.sheets.options import PrintOptions
from planning.sheets.pages import in_language

FREE_ROWS = 1  # for somebody who is not on the list
SWAP_BOXES = 2  # of one strobe's packs
MOST_TALL_ROWS = 9  # of people and strobes: more stand closer, so that a set keeps to its side


@dataclass(frozen=True)
class SetTally:
    """What one side of paper asks: the set, its people and strobes as planned."""

    plan: SetPlan
    inputs: SetInputs


def _leaf(one: SetTally, options: PrintOptions) -> dict:
    plan, inputs = one.plan, one.inputs
    return {
        "plan": plan,
        "inputs": inputs,
        "say": options.figures(inputs.location.timezone),
        "number": inputs.set_index + 1,
        "people": [person.name for person in inputs.attendees],
        "free": range(FREE_ROWS),
        "rounds": range(1, inputs.rounds + 1),
        "heads": list(zip(plan.battery, plan.lights, strict=True)),
        "swaps": range(SWAP_BOXES),
        "is_tight": len(inputs.attendees) + len(plan.lights) > MOST_TALL_ROWS,
    }


def tally_pdf(sets: list[SetTally], options: PrintOptions) -> bytes:
    """Return one side for each set. Raises SheetFailed when the renderer has a complaint."""
    with in_language(options):
        leaves = [_leaf(one, options) for one in sets]
    return pdf.leaves_pdf("sheets/tally.html", leaves, options)
