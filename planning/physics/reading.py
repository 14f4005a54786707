"""How the kinds of meter reading stand to each other."""

import math

from planning.physics import constants as c
from planning.physics.errors import OutOfRange


def spot_over_incident_stops(reflectance: float) -> float:
    """Return how far a reflected reading of a matt surface stands over an incident one, in stops.

    ``reflectance`` 0 < r <= 1. Negative for anything darker than 15.7 %, the tone both
    kinds of meter agree on for K 12.5 and C 250.

    Raises OutOfRange outside that.

    Source: L = E r / pi for a diffuse surface, with ISO 2720 N^2/t = L S/K = E S/C.
    """
    if not (math.isfinite(reflectance) and 0.0 < reflectance <= 1.0):
        raise OutOfRange(f"reflectance {reflectance} must lie above 0 and up to 1")
    return math.log2(
        reflectance * c.INCIDENT_CALIBRATION_FLAT / (math.pi * c.REFLECTED_CALIBRATION)
    )
