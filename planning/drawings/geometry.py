"""Points and boxes on the paper, in millimetres from its top left, y downwards."""

import math
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Point:
    x: float
    y: float

    def plus(self, other: "Point") -> "Point":
        return Point(self.x + other.x, self.y + other.y)

    def minus(self, other: "Point") -> "Point":
        return Point(self.x - other.x, self.y - other.y)

    def times(self, factor: float) -> "Point":
        return Point(self.x * factor, self.y * factor)

    def length(self) -> float:
        return math.hypot(self.x, self.y)

    def unit(self) -> "Point":
        return self.times(1 / self.length())


@dataclass(frozen=True)
class Box:
    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.left + self.width

    @property
    def bottom(self) -> float:
        return self.top + self.height

    @property
    def centre(self) -> Point:
        return Point(self.left + self.width / 2, self.top + self.height / 2)

    def grown(self, by_mm: float) -> "Box":
        return Box(
            self.left - by_mm, self.top - by_mm, self.width + 2 * by_mm, self.height + 2 * by_mm
        )

    def overlaps(self, other: "Box") -> bool:
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, other: "Box") -> bool:
        return (
            self.left <= other.left
            and self.top <= other.top
            and other.right <= self.right
            and other.bottom <= self.bottom
        )

    def holds_point(self, point: Point) -> bool:
        return self.left <= point.x <= self.right and self.top <= point.y <= self.bottom

    def nearest_to(self, point: Point) -> Point:
        return Point(
            min(max(point.x, self.left), self.right), min(max(point.y, self.top), self.bottom)
        )


def box_about(centre: Point, width_mm: float, height_mm: float) -> Box:
    return Box(centre.x - width_mm / 2, centre.y - height_mm / 2, width_mm, height_mm)


def clip(start: Point, end: Point, frame: Box) -> tuple[Point, Point] | None:
    """Return the part of a segment inside the frame, or None where none is (Liang-Barsky)."""
    span = end.minus(start)
    enter, leave = 0.0, 1.0
    for slope, gap in (
        (-span.x, start.x - frame.left),
        (span.x, frame.right - start.x),
        (-span.y, start.y - frame.top),
        (span.y, frame.bottom - start.y),
    ):
        if slope == 0:
            if gap < 0:
                return None
            continue
        share = gap / slope
        if slope < 0:
            enter = max(enter, share)
        else:
            leave = min(leave, share)
    if enter > leave:
        return None
    return start.plus(span.times(enter)), start.plus(span.times(leave))


def crosses(start: Point, end: Point, box: Box) -> bool:
    return clip(start, end, box) is not None


def meeting(start: Point, end: Point, first: Point, last: Point) -> Point | None:
    """Return where two segments cross, or None where they do not."""
    along, other = end.minus(start), last.minus(first)
    turn = along.x * other.y - along.y * other.x
    if abs(turn) < 1e-9:
        return None
    gap = first.minus(start)
    share = (gap.x * other.y - gap.y * other.x) / turn
    across = (gap.x * along.y - gap.y * along.x) / turn
    return start.plus(along.times(share)) if 0 <= share <= 1 and 0 <= across <= 1 else None


def ray_end(start: Point, direction: Point, frame: Box) -> Point:
    """Return where a ray from inside the frame leaves it."""
    far = start.plus(direction.unit().times(10 * (frame.width + frame.height)))
    clipped = clip(start, far, frame)
    return clipped[1] if clipped else frame.nearest_to(start)


def arc_pieces(centre: Point, radius: float, frame: Box) -> Iterable[tuple[Point, Point]]:
    """Yield the dashes of a circle that lie in the frame, always starting at its right."""
    count = max(12, min(120, round(radius * 2)))
    for index in range(count):
        ends = [
            Point(
                centre.x + radius * math.cos(turn),
                centre.y + radius * math.sin(turn),
            )
            for turn in (2 * math.pi * (index + part) / count for part in (0.0, 0.55))
        ]
        if frame.holds_point(ends[0]) and frame.holds_point(ends[1]):
            yield ends[0], ends[1]
