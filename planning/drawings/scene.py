"""The ground seen from above, to scale, with the camera at the bottom looking up the page."""

import math
from dataclasses import dataclass, field

from planning.drawings import svg
from planning.drawings.geometry import Box, Point, box_about, clip
from planning.drawings.labels import Ground, Label, arrange
from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan

SIDE_MARGIN_MM = 13.0
TOP_MARGIN_MM = 9.0
BOTTOM_MARGIN_MM = 9.0
SCALES = (10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000)
LEAST_SPAN_M = 2.4  # nobody needs a subject larger than the page


@dataclass(frozen=True)
class Scale:
    """Ground metres to paper: the subject's place on the paper, and 1:``ratio``."""

    subject: Point
    ratio: float
    facing_deg: float

    @property
    def mm_per_m(self) -> float:
        return 1000 / self.ratio

    def paper(self, right_m: float, ahead_m: float) -> Point:
        """Return the paper point of a place right of and beyond the subject, camera's view."""
        return Point(
            self.subject.x + right_m * self.mm_per_m, self.subject.y - ahead_m * self.mm_per_m
        )

    def toward(self, bearing_deg: float) -> Point:
        """Return the paper direction, length 1, of a true bearing."""
        turn = math.radians(bearing_deg - self.facing_deg)
        return Point(math.sin(turn), -math.cos(turn))


@dataclass(frozen=True)
class GroundLamp:
    """Where one lamp stands, metres right of and beyond the subject."""

    right_m: float
    ahead_m: float


def lamp_ground(distance_m: float, lamp_height_m: float, face_height_m: float, angle_deg: float):
    """Return the place under a lamp whose cord runs on the slant from fabric to face."""
    rise_m = lamp_height_m - face_height_m
    flat_m = math.sqrt(max(0.0, distance_m**2 - rise_m**2))
    turn = math.radians(angle_deg)
    return GroundLamp(flat_m * math.sin(turn), -flat_m * math.cos(turn))


def fitted_scale(inputs: SetInputs, frame: Box) -> Scale:
    """Return the largest scale of the list that shows camera, subject, lamps and backdrop."""
    places = [(0.0, 0.0), (0.0, -inputs.camera_distance_m)]
    for light in inputs.lights:
        lamp = lamp_ground(
            light.distance_m, light.lamp_height_m, inputs.face_height_m, light.angle_deg
        )
        places.append((lamp.right_m, lamp.ahead_m))
    reach_m = max(math.hypot(*place) for place in places)
    if inputs.gap_behind_m is not None and inputs.gap_behind_m <= max(1.5 * reach_m, 3.0):
        places.append((0.0, inputs.gap_behind_m))
    half_m = max(LEAST_SPAN_M / 2, *(abs(right) for right, _ in places))
    top_m = max(ahead for _, ahead in places)
    bottom_m = min(ahead for _, ahead in places)
    tall_m = max(LEAST_SPAN_M, top_m - bottom_m)
    wide_mm = frame.width - 2 * SIDE_MARGIN_MM
    high_mm = frame.height - TOP_MARGIN_MM - BOTTOM_MARGIN_MM
    least = max(2 * half_m * 1000 / wide_mm, tall_m * 1000 / high_mm)
    ratio = next((ratio for ratio in SCALES if ratio >= least), math.ceil(least / 1000) * 1000)
    middle_m = (top_m + bottom_m) / 2
    centre = Point(frame.centre.x, frame.top + TOP_MARGIN_MM + high_mm / 2)
    subject = Point(centre.x, centre.y + middle_m * 1000 / ratio)
    return Scale(subject, ratio, inputs.camera_facing_deg)


@dataclass
class Scene:
    """What is drawn so far, and what the labels must keep clear of."""

    plan: SetPlan
    inputs: SetInputs
    frame: Box
    scale: Scale
    shapes: list[str] = field(default_factory=list)
    on_top: list[str] = field(default_factory=list)  # blocks on white ground, over every line
    backdrop: tuple[Point, Point] | None = None
    symbols: list[Box] = field(default_factory=list)
    lines: list[tuple[Point, Point]] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)

    def stroke(self, start: Point, end: Point, width_mm: float = svg.HAIR_MM, dash: str = ""):
        """Draw the part of a line inside the frame and return it, None where none is."""
        part = clip(start, end, self.frame)
        if part:
            self.shapes.append(svg.line(*part, width_mm, dash))
            self.lines.append(part)
        return part

    def arrow(self, start: Point, end: Point, width_mm: float = svg.THIN_MM, dash: str = ""):
        """Draw an arrow, cut at the frame, and return where its head ends."""
        part = clip(start, end, self.frame)
        if part:
            self.shapes.append(svg.arrow(*part, width_mm, dash))
            self.lines.append(part)
        return part[1] if part else None

    def keep_clear(self, centre: Point, width_mm: float, height_mm: float) -> None:
        self.symbols.append(box_about(centre, width_mm, height_mm))

    def name(self, at: Point, *lines: str, clear_mm: float = 1.0, bold: bool = False) -> None:
        if self.frame.holds_point(at):
            self.labels.append(Label(tuple(line for line in lines if line), at, clear_mm, bold))

    def placed(self):
        """Return the labels placed, and those without room."""
        ground = Ground(self.frame.grown(-1.0), tuple(self.symbols), tuple(self.lines), svg.TEXT_MM)
        return arrange(self.labels, ground)
