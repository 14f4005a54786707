"""The set from the side, to scale: lamp heights against the sun's angle, and how far shadows reach.

Everything is turned into one upright plane: what stands before the subject is drawn on the
camera's side at its true distance, whatever its angle; what stands behind it on the other.
"""

import math
from dataclasses import dataclass, field

from planning.drawings import svg
from planning.drawings.geometry import Box, Point, box_about, clip
from planning.drawings.labels import Drawing, Ground, Label, Placed, arrange
from planning.drawings.scene import lamp_ground
from planning.drawings.words import Words
from planning.physics.sun import matching_lamp_height_m
from planning.plan.inputs import LightInputs, SetInputs
from planning.plan.result import Light, SetPlan, SunRow
from planning.plan.words import gettext_noop as _

MARGIN_MM = 3.0
GROUND_MM = 7.5  # for the words below the ground line
SUN_DASH = "2.2 1"
END_DASH = "0.8 0.8"
LOWEST_SUN_DEG = 0.5  # a lower one throws shadows no page holds
LEAST_HALF_M = 1.5
FARTHEST_SHADOW_M = 6.0  # beyond it a shadow is cut at the frame and told in words


@dataclass
class _Side:
    """What is drawn so far, and what words must keep clear of."""

    frame: Box
    mm_per_m: float
    foot: Point  # of the subject
    shapes: list[str] = field(default_factory=list)
    on_top: list[str] = field(default_factory=list)
    symbols: list[Box] = field(default_factory=list)
    lines: list[tuple[Point, Point]] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)

    def at(self, along_m: float, up_m: float) -> Point:
        return Point(self.foot.x + along_m * self.mm_per_m, self.foot.y - up_m * self.mm_per_m)

    def stroke(self, start: Point, end: Point, width_mm: float = svg.HAIR_MM, dash: str = ""):
        part = clip(start, end, self.frame)
        if part:
            self.shapes.append(svg.line(*part, width_mm, dash))
            self.lines.append(part)
        return part

    def name(self, at: Point, *lines: str, clear_mm: float = 1.0, bold: bool = False) -> None:
        self.labels.append(Label(tuple(lines), at, clear_mm, bold))


def side_view(
    plan: SetPlan, inputs: SetInputs, say: Words, *, width_mm: float, height_mm: float
) -> Drawing:
    """Return the side view of a set, camera's side on the left.

    Words it has no room for are handed back, as those of the plan view: suns and shadows give way
    to who stands there.
    """
    side = _fitted(plan, inputs, Box(0.2, 0.2, width_mm - 0.4, height_mm - 0.4))
    _ground(side)
    _subject(side, inputs, say)
    suns = _suns(plan)
    for number, row in enumerate(suns):
        _sun(side, inputs, row, say, dash=SUN_DASH if number == 0 else END_DASH)
    for given, light in zip(inputs.lights, plan.lights, strict=True):
        _lamp(side, inputs, given, light, suns[0] if suns else None, say)
    ground = Ground(side.frame.grown(-0.6), tuple(side.symbols), tuple(side.lines), svg.TEXT_MM)
    labels = sorted(side.labels, key=lambda label: not label.bold_first)
    placed, left_over = arrange(labels, ground)
    frame = side.frame
    body = [
        svg.rect(Point(frame.left, frame.top), frame.width, frame.height, fill="white"),
        *side.shapes,
        *side.on_top,
        *(_words(one) for one in placed),
    ]
    title = say.text(_("Side view: {title}")).format(title=plan.set.title)
    drawing = svg.document(width_mm, height_mm, title, body)
    return Drawing(drawing, tuple(placed), tuple(left_over))


def _fitted(plan: SetPlan, inputs: SetInputs, frame: Box) -> _Side:
    """The largest scale that shows every lamp, the subject and a fair part of the shadows."""
    before, behind, high = LEAST_HALF_M, LEAST_HALF_M, inputs.subject_height_m * 1.25
    for given in inputs.lights:
        along_m = _along_m(given, inputs)
        before, behind = max(before, -along_m + 0.4), max(behind, along_m + 0.4)
        high = max(high, given.lamp_height_m + given.face_width_m / 2 + 0.2)
    for row in _suns(plan):
        reach_m = min(row.shadow_m or 0.0, FARTHEST_SHADOW_M)
        before, behind = (
            (max(before, reach_m), behind)
            if _ahead(row)
            else (
                before,
                max(behind, reach_m),
            )
        )
    wide_mm = frame.width - 2 * MARGIN_MM
    high_mm = frame.height - MARGIN_MM - GROUND_MM
    mm_per_m = min(wide_mm / (before + behind), high_mm / high)
    spare_mm = wide_mm - (before + behind) * mm_per_m
    foot = Point(
        frame.left + MARGIN_MM + spare_mm / 2 + before * mm_per_m, frame.bottom - GROUND_MM
    )
    return _Side(frame, mm_per_m, foot)


def _along_m(given: LightInputs, inputs: SetInputs) -> float:
    """How far the lamp stands from the subject on the ground; before it is negative."""
    lamp = lamp_ground(given.distance_m, given.lamp_height_m, inputs.face_height_m, given.angle_deg)
    flat_m = math.hypot(lamp.right_m, lamp.ahead_m)
    return flat_m if abs(given.angle_deg) > 90 else -flat_m


def _suns(plan: SetPlan) -> list[SunRow]:
    """The sun at the beginning and at the end, as far as it is over the horizon there."""
    ends = [plan.sun[0], plan.sun[-1]] if plan.sun else []
    up = [row for row in ends if row.elevation_deg > LOWEST_SUN_DEG and row.above_horizon_profile]
    near = len(up) == 2 and round(up[0].elevation_deg) == round(up[1].elevation_deg)
    return up[:1] if near and _ahead(up[0]) == _ahead(up[1]) else up


def _ahead(row: SunRow) -> bool:
    """Whether the sun stands on the far side of the subject: its shadow comes to the camera."""
    return abs(row.from_camera_deg) < 90


def _ground(side: _Side) -> None:
    left, right = Point(side.frame.left, side.foot.y), Point(side.frame.right, side.foot.y)
    side.shapes.append(svg.line(left, right, svg.THIN_MM))
    side.lines.append((left, right))


def _subject(side: _Side, inputs: SetInputs, say: Words) -> None:
    top, face = side.at(0, inputs.subject_height_m), side.at(0, inputs.face_height_m)
    side.shapes.append(svg.line(side.foot, top, svg.THICK_MM))
    side.on_top.append(svg.circle(face, 1.3))
    side.symbols.append(box_about(face, 3.0, 3.0))
    side.symbols.append(Box(top.x - 0.8, top.y, 1.6, side.foot.y - top.y))
    side.name(
        face,
        say.text(_("face {height} up")).format(height=say.length(inputs.face_height_m)),
        clear_mm=1.8,
        bold=True,
    )


def _sun(side: _Side, inputs: SetInputs, row: SunRow, say: Words, *, dash: str) -> None:
    """The ray that meets the top of the head, from the sky to where the shadow ends."""
    turn = math.radians(row.elevation_deg)
    toward = 1.0 if _ahead(row) else -1.0
    top = side.at(0, inputs.subject_height_m)
    far_mm = 2 * (side.frame.width + side.frame.height)
    sky = top.plus(Point(toward * math.cos(turn), -math.sin(turn)).times(far_mm))
    drawn = side.stroke(top, sky, dash=dash)
    reach_m = inputs.subject_height_m / math.tan(turn)
    tip = side.at(-toward * reach_m, 0)
    side.stroke(top, tip, dash=dash)
    shadow = clip(side.foot, tip, side.frame)
    if shadow:
        side.shapes.append(svg.line(*shadow, svg.THICK_MM))
        end = shadow[1]
        shown = side.frame.holds_point(tip)
        words = _("shadow {length} at {time}") if shown else _("shadow on to {length} at {time}")
        below = Point(end.x, end.y + 2.6)
        told = say.text(words).format(length=say.length(reach_m), time=say.clock(row.at))
        side.name(below, told, clear_mm=0.4)
    if drawn:
        share = 0.62 if dash == SUN_DASH else 0.86
        spot = drawn[0].plus(drawn[1].minus(drawn[0]).times(share))
        told = say.text(_("sun {height} at {time}")).format(
            height=say.degrees(row.elevation_deg), time=say.clock(row.at)
        )
        side.name(spot, told, clear_mm=0.6)


def _lamp(
    side: _Side,
    inputs: SetInputs,
    given: LightInputs,
    light: Light,
    sun: SunRow | None,
    say: Words,
) -> None:
    along_m = _along_m(given, inputs)
    lamp, foot = side.at(along_m, given.lamp_height_m), side.at(along_m, 0)
    face = side.at(0, inputs.face_height_m)
    side.stroke(lamp, face, svg.THIN_MM)
    if not given.hand_held:
        side.stroke(foot, lamp, svg.THIN_MM)
        leg = side.mm_per_m * given.leg_radius_m
        up = Point(foot.x, foot.y - leg * 0.9)
        for way in (-1, 1):
            side.stroke(up, Point(foot.x + way * leg, foot.y))
    side.on_top.append(svg.circle(lamp, 1.7))
    side.symbols.append(box_about(lamp, 3.8, 3.8))
    height = say.text(_("{name}: lamp {height} up")).format(
        name=light.name, height=say.length(given.lamp_height_m)
    )
    cord = say.text(_("cord {length}")).format(length=say.length(given.distance_m))
    side.name(lamp, height, cord, clear_mm=2.0, bold=True)
    if sun is not None and light.matching_height_m is not None and along_m:
        wanted_m = matching_lamp_height_m(inputs.face_height_m, abs(along_m), sun.elevation_deg)
        mark = side.at(along_m, wanted_m)
        if side.frame.grown(-1.0).holds_point(mark):
            across = Point(2.2, 0)
            side.stroke(mark.minus(across), mark.plus(across), svg.THIN_MM)
            told = say.text(_("the sun's angle: {height} up")).format(height=say.length(wanted_m))
            side.name(mark, told, clear_mm=2.4)


def _words(spot: Placed) -> str:
    parts = [svg.plate(spot.box)]
    if spot.leader:
        parts.append(svg.line(*spot.leader))
    step = (spot.box.height - 0.4) / len(spot.label.lines)
    for row, line in enumerate(spot.label.lines):
        base = spot.box.top + 0.2 + step * row + svg.TEXT_MM * 0.88
        bold = spot.label.bold_first and row == 0
        parts.append(svg.text(Point(spot.box.left + 0.4, base), line, bold=bold))
    return "".join(parts)
