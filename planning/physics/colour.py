"""Colour of light: a filter shifts every lamp by the same mireds, never the same kelvin."""

from planning.physics.errors import OutOfRange
from planning.physics.ranges import require_finite, require_positive


def mired(kelvin: float) -> float:
    """Return a colour temperature in mireds, a million over kelvin.

    Raises OutOfRange unless ``kelvin`` is finite and above 0.
    """
    require_positive(kelvin=kelvin)
    return 1_000_000 / kelvin


def filtered_kelvin(kelvin: float, shift_mired: float) -> float:
    """Return the colour temperature behind a filter; a positive shift warms.

    Raises OutOfRange unless ``kelvin`` is finite and above 0, or for a cooling filter past
    the blue end, where no temperature is left.
    """
    require_finite(shift_mired=shift_mired)
    lamp_mired = mired(kelvin)
    if lamp_mired + shift_mired <= 0:
        raise OutOfRange(
            f"shift_mired must be above {-lamp_mired:.0f} on a {kelvin:g} K lamp, not {shift_mired}"
        )
    return 1_000_000 / (lamp_mired + shift_mired)
