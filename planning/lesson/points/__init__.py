"""The library of teaching points: what a set can teach, in words and with places for figures.

Written for this product from common practice, no source; where a line states a fact of light,
the plan's own figures or ``planning/physics`` carry the source.
"""

from planning.lesson.points.colour import GELS
from planning.lesson.points.exposure import (
    DEPTH,
    HSS_OR_ND,
    LAST_LIGHT,
    ONE_UNDER,
    SHUTTER_TRIMS,
)
from planning.lesson.points.lamp import DISTANCE, HARD_SOFT, RATIO, SUN_SIDE
from planning.lesson.points.picture import (
    DARK_ON_BRIGHT,
    HEIGHT_LINES,
    MOTION,
    STORY,
    TWO_PEOPLE,
)
from planning.lesson.points.point import PARTS, Point

__all__ = ["LIBRARY", "PARTS", "POINTS", "Point"]

POINTS = (
    ONE_UNDER,
    SHUTTER_TRIMS,
    DISTANCE,
    HARD_SOFT,
    SUN_SIDE,
    DARK_ON_BRIGHT,
    HSS_OR_ND,
    DEPTH,
    RATIO,
    GELS,
    MOTION,
    HEIGHT_LINES,
    STORY,
    TWO_PEOPLE,
    LAST_LIGHT,
)
LIBRARY = {point.code: point for point in POINTS}
