"""From the records to the inputs of a plan."""

from planning.selectors.inputs import draft_inputs, inputs_of, set_inputs
from planning.selectors.sets import set_list, sets_of

__all__ = ["draft_inputs", "inputs_of", "set_inputs", "set_list", "sets_of"]
