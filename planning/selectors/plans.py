"""Plans of the inputs, kept: the same inputs give the same plan."""

from functools import lru_cache

from planning.plan import evaluate
from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan


@lru_cache(maxsize=256)
def evaluated(inputs: SetInputs) -> SetPlan:
    """Return the plan of a set, worked out once. Raises OutOfRange as ``evaluate`` does."""
    return evaluate(inputs)
