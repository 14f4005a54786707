"""From the records to the inputs of a plan."""

from planning.selectors.sets import set_inputs, set_list, sets_of

__all__ = ["set_inputs", "set_list", "sets_of"]
