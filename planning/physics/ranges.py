"""Refusals in one wording: the argument's name, the range it must keep, what it was."""

import math

from planning.physics.errors import OutOfRange


def require_finite(**values: float) -> None:
    """Raise OutOfRange naming the first argument that is not a finite number."""
    for name, value in values.items():
        if not math.isfinite(value):
            raise OutOfRange(f"{name} must be a finite number, not {value}")


def require_positive(**values: float) -> None:
    """Raise OutOfRange naming the first argument that is not finite and above 0."""
    for name, value in values.items():
        if not (math.isfinite(value) and value > 0):
            raise OutOfRange(f"{name} must be a finite number above 0, not {value}")


def require_not_negative(**values: float) -> None:
    """Raise OutOfRange naming the first argument that is not finite and 0 or more."""
    for name, value in values.items():
        if not (math.isfinite(value) and value >= 0):
            raise OutOfRange(f"{name} must be a finite number, 0 or more, not {value}")


def require_between(low: float, high: float, **values: float) -> None:
    """Raise OutOfRange naming the first argument outside ``low`` to ``high``, both allowed."""
    for name, value in values.items():
        if not (math.isfinite(value) and low <= value <= high):
            raise OutOfRange(f"{name} must lie from {low:g} to {high:g}, not {value}")


def require_share(**values: float) -> None:
    """Raise OutOfRange naming the first argument that is not above 0 and at most 1."""
    for name, value in values.items():
        if not (math.isfinite(value) and 0 < value <= 1):
            raise OutOfRange(f"{name} must be above 0 and at most 1, not {value}")
