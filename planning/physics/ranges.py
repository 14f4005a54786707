"""Refusals in one wording: the argument's name, the range it must keep, what it was."""

import math
from collections.abc import Callable

from planning.physics.errors import OutOfRange


def require_finite(**values: float) -> None:
    """Raise OutOfRange naming the first argument that is not a finite number."""
    _require(lambda number: True, "a finite number", values)


def require_positive(**values: float) -> None:
    """Raise OutOfRange naming the first argument that is not finite and above 0."""
    _require(lambda number: number > 0, "a finite number above 0", values)


def require_not_negative(**values: float) -> None:
    """Raise OutOfRange naming the first argument that is not finite and 0 or more."""
    _require(lambda number: number >= 0, "a finite number, 0 or more", values)


def require_between(low: float, high: float, **values: float) -> None:
    """Raise OutOfRange naming the first argument outside ``low`` to ``high``, both allowed."""
    _require(lambda number: low <= number <= high, f"from {low:g} to {high:g}", values)


def require_share(**values: float) -> None:
    """Raise OutOfRange naming the first argument that is not above 0 and at most 1."""
    _require(lambda number: 0 < number <= 1, "above 0 and at most 1", values)


def _require(holds: Callable[[float], bool], wanted: str, values: dict[str, float]) -> None:
    for name, value in values.items():
        try:
            fits = math.isfinite(value) and holds(value)
        except (TypeError, OverflowError):  # None or text is no number either
            fits = False
        if not fits:
            raise OutOfRange(f"{name} must be {wanted}, not {value}")
