"""The tally sheet: one side a set to fill in with a pencil, and to type in afterwards."""

from dataclasses import dataclass

from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan
from planning.sheets import pdf
from planning.sheets.options import PrintOptions
from planning.sheets.pages import in_language

FREE_ROWS = 1  # for somebody who is not on the list
SWAP_BOXES = 2  # of one strobe's packs
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"  # of the causes a lamp did not fire for
MOST_TALL_ROWS = 9  # of people and strobes: more stand closer, so that a set keeps to its side


@dataclass(frozen=True)
class SetTally:
    """What one side of paper asks: the set, its people and strobes as planned."""

    plan: SetPlan
    inputs: SetInputs
    causes: tuple[str, ...] = ()  # why a lamp did not fire, marked for translation


def cause_letter(number: int) -> str:
    """Return the letter that stands for a cause on paper and where it is typed in."""
    return LETTERS[number]


def _leaf(one: SetTally, options: PrintOptions) -> dict:
    plan, inputs = one.plan, one.inputs
    return {
        "plan": plan,
        "inputs": inputs,
        "say": options.figures(inputs.location.timezone),
        "number": inputs.set_index + 1,
        "people": [person.name for person in inputs.attendees],
        "free": range(FREE_ROWS),
        "turns": _turn_boxes(inputs),
        "causes": [(cause_letter(number), str(words)) for number, words in enumerate(one.causes)],
        "heads": list(zip(plan.battery, plan.lights, strict=True)),
        "swaps": range(SWAP_BOXES),
        "is_tight": len(inputs.attendees) + len(plan.lights) > MOST_TALL_ROWS,
    }


def _turn_boxes(inputs: SetInputs) -> list[tuple[int, str]]:
    """Return (round, station) of everybody's boxes; 0 and nothing where there is one."""
    several = inputs.rounds > 1
    return [
        (number if several else 0, station)
        for number in range(1, inputs.rounds + 1)
        for station in inputs.stations or ("",)
    ]


def tally_pdf(sets: list[SetTally], options: PrintOptions) -> bytes:
    """Return one side for each set. Raises SheetFailed when the renderer has a complaint."""
    with in_language(options):
        leaves = [_leaf(one, options) for one in sets]
    return pdf.leaves_pdf("sheets/tally.html", leaves, options)
