"""How sun and sky refuse an input: the name of the figure, its range and what came instead."""

from math import inf, isfinite

from planning.physics.errors import OutOfRange


def within(name: str, value: float, low: float, high: float) -> float:
    """Return ``value`` as a float when it is a finite number from ``low`` to ``high``.

    Raises OutOfRange naming ``name`` and the range for anything else, None included.
    """
    number = _number(name, value, f"from {low:g} to {high:g}")
    if not low <= number <= high:
        raise OutOfRange(f"{name} must lie from {low:g} to {high:g}, not {number:g}")
    return number


def positive(name: str, value: float, below: float = inf) -> float:
    """Return ``value`` as a float when it is finite, above 0 and under ``below``.

    Raises OutOfRange naming ``name`` and the range for anything else, None included.
    """
    span = "above 0" if below == inf else f"above 0 and below {below:g}"
    number = _number(name, value, span)
    if not 0 < number < below:
        raise OutOfRange(f"{name} must be {span}, not {number:g}")
    return number


def _number(name: str, value: float, span: str) -> float:
    if isinstance(value, bool):
        raise OutOfRange(f"{name} must be a number {span}, not {value}")
    try:
        number = float(value)
    except (TypeError, ValueError, OverflowError):
        raise OutOfRange(f"{name} must be a number {span}, not {value!r}") from None
    if not isfinite(number):
        raise OutOfRange(f"{name} must be a finite number {span}, not {number}")
    return number
