"""Where a surface lands on the picture's scale, in stops from mid-grey."""

import math

from planning.physics.constants import BLOCKED_STOPS, BLOWN_STOPS, GREY_REFLECTANCE
from planning.physics.errors import OutOfRange
from planning.physics.exposure import sum_stops
from planning.physics.ranges import require_share


def tone_stops(
    reflectance: float,
    *,
    ambient_stops: float | None = None,
    flash_stops: float | None = None,
) -> float:
    """Return a surface's tone in stops from mid-grey, lit by ambient, flash or both.

    Each light stands so many stops from what the camera is set for; None or minus infinity
    is no such light, and with neither the answer is minus infinity. Raises OutOfRange for a
    reflectance outside 0 to 1, or a level that is not a number or infinitely bright.

    Source: log2(reflectance / 0.18), 18 % taken as mid-grey.
    """
    require_share(reflectance=reflectance)
    for name, level in (("ambient_stops", ambient_stops), ("flash_stops", flash_stops)):
        if level is not None and (math.isnan(level) or level == math.inf):
            raise OutOfRange(f"{name} must be a number or minus infinity, not {level}")
    levels = [level for level in (ambient_stops, flash_stops) if level is not None]
    light_stops = sum_stops(*levels) if levels else -math.inf
    return math.log2(reflectance / GREY_REFLECTANCE) + light_stops


def tone_state(stops: float) -> str:
    """Return what a tone does in the picture: "blown", "blocked" or "holds".

    Blown above +3, blocked below -4.5; the limits themselves hold. Raises OutOfRange when
    ``stops`` is not a number. Source: common practice.
    """
    if math.isnan(stops):
        raise OutOfRange(f"stops must be a number, not {stops}")
    if stops > BLOWN_STOPS:
        return "blown"
    return "blocked" if stops < BLOCKED_STOPS else "holds"
