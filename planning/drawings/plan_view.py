"""The set from above, to scale: what a helper reads to put every foot in its place."""

import math

from planning.drawings import svg
from planning.drawings.geometry import Box, Point, arc_pieces, meeting
from planning.drawings.labels import Drawing, Placed, short
from planning.drawings.scene import Scene, fitted_scale, lamp_ground
from planning.drawings.surroundings import (
    draw_landmarks,
    draw_north,
    draw_scale_bar,
    draw_sun,
    draw_water,
    draw_wind,
)
from planning.drawings.words import Words
from planning.plan.inputs import LightInputs, SetInputs
from planning.plan.result import Light, SetPlan
from planning.plan.words import gettext_noop as _

LAMP_MM = 1.7
SHADOW_END_DASH = "2.2 1"
BACKDROP_HALF_M = 2.0


def plan_view(
    plan: SetPlan, inputs: SetInputs, say: Words, *, width_mm: float, height_mm: float
) -> Drawing:
    """Return the plan view of a set, ``width_mm`` by ``height_mm``, camera at the bottom.

    The view looks along the camera, so its left is the photographer's left, and north is
    turned to suit. Distances are on the ground: a cord that rises to a lamp is shorter here.
    """
    frame = Box(0.2, 0.2, width_mm - 0.4, height_mm - 0.4)
    scene = Scene(plan, inputs, frame, fitted_scale(inputs, frame))
    draw_scale_bar(scene, say)
    _draw_camera(scene, say)
    _draw_subject(scene, say)
    _draw_lamps(scene, say)
    _draw_backdrop(scene, say)
    _draw_shadows(scene, say)
    _draw_falls(scene, say)
    draw_north(scene, say)
    draw_wind(scene, say)
    draw_sun(scene, say)
    draw_water(scene, say)
    draw_landmarks(scene, say)
    placed, left_over = scene.placed()
    body = [
        svg.rect(Point(frame.left, frame.top), frame.width, frame.height, fill="white"),
        *scene.shapes,
        *scene.on_top,
        *(_words(spot) for spot in placed),
    ]
    ratio = say.number(scene.scale.ratio)
    title = say.text(_("Plan view: {title}, 1:{ratio}")).format(title=plan.set.title, ratio=ratio)
    drawing = svg.document(width_mm, height_mm, title, body)
    return Drawing(drawing, tuple(placed), tuple(left_over))


def empty_view(*, width_mm: float, height_mm: float) -> Drawing:
    """Return a drawing of that size with nothing on it, to measure a page with."""
    return Drawing(svg.document(width_mm, height_mm, "", []), (), ())


def _words(spot: Placed) -> str:
    """The label on its own white ground, so that no line runs through its letters."""
    parts = [svg.plate(spot.box)]
    if spot.leader:
        parts.append(svg.line(*spot.leader))
    step = (spot.box.height - 0.4) / len(spot.label.lines)
    for row, line in enumerate(spot.label.lines):
        base = spot.box.top + 0.2 + step * row + svg.TEXT_MM * 0.88
        bold = spot.label.bold_first and row == 0
        parts.append(svg.text(Point(spot.box.left + 0.4, base), line, bold=bold))
    return "".join(parts)


def _draw_camera(scene: Scene, say: Words) -> None:
    inputs, scale = scene.inputs, scene.scale
    at = scale.paper(0.0, -inputs.camera_distance_m)
    half = math.atan(inputs.camera.sensor_width_mm / (2 * inputs.focal_mm))
    far_mm = 3 * (scene.frame.width + scene.frame.height)
    for side in (-1, 1):
        edge = Point(side * math.sin(half), -math.cos(half)).times(far_mm)
        scene.stroke(at, at.plus(edge), svg.HAIR_MM, "0.5 1.4")
    scene.on_top.append(
        svg.polygon(
            (at, at.plus(Point(-1.9, 3.2)), at.plus(Point(1.9, 3.2))), fill="white", stroke="black"
        )
    )
    middle = at.plus(Point(0, 1.6))
    scene.keep_clear(middle, 4.4, 3.8)
    facing = say.bearing(scene.plan.bearings.camera_true_deg)
    compass = scene.plan.bearings.camera_compass_deg
    faces = say.text(_("faces {true} true")).format(true=facing)
    if compass is not None:
        both = say.text(_("faces {true} true, {compass} compass"))
        faces = both.format(true=facing, compass=say.bearing(compass))
    scene.name(
        middle,
        say.text(_("camera {focal} mm, {distance}")).format(
            focal=say.number(inputs.focal_mm), distance=say.length(inputs.camera_distance_m)
        ),
        faces,
        clear_mm=2.2,
        bold=True,
    )


def _draw_subject(scene: Scene, say: Words) -> None:
    at = scene.scale.subject
    scene.on_top.append(svg.circle(at, 1.1, fill="black"))
    scene.keep_clear(at, 2.6, 2.6)
    scene.name(at, say.text(_("subject")), clear_mm=1.5, bold=True)


def _lamp_spots(scene: Scene) -> list[tuple[LightInputs, Light, Point]]:
    spots = []
    for light, result in zip(scene.inputs.lights, scene.plan.lights, strict=True):
        lamp = lamp_ground(
            light.distance_m, light.lamp_height_m, scene.inputs.face_height_m, light.angle_deg
        )
        spots.append((light, result, scene.scale.paper(lamp.right_m, lamp.ahead_m)))
    return spots


def _draw_lamps(scene: Scene, say: Words) -> None:
    for light, _result, at in _lamp_spots(scene):
        scene.stroke(at, scene.scale.subject, svg.THIN_MM)
        scene.on_top.append(svg.circle(at, LAMP_MM))
        scene.keep_clear(at, 2 * LAMP_MM + 0.4, 2 * LAMP_MM + 0.4)
        scene.name(at, *_lamp_words(light, say), clear_mm=LAMP_MM + 0.3, bold=True)


def _lamp_words(light: LightInputs, say: Words) -> tuple[str, ...]:
    lines = [
        f"{say.term(light.role)}: {short(light.modifier or light.name, 20)}",
        say.text(_("cord {cord}, {height} up")).format(
            cord=say.length(light.distance_m), height=say.length(light.lamp_height_m)
        ),
    ]
    if light.hand_held:
        lines.append(say.text(_("hand held")))
    return tuple(lines)


def _draw_falls(scene: Scene, say: Words) -> None:
    """The circles nobody stands in, and the way each stand would fall, said once each way."""
    said: set[str] = set()
    for _light, result, at in _lamp_spots(scene):
        stand = result.stand
        if stand is None:
            continue
        radius_mm = stand.clear_circle_m * scene.scale.mm_per_m
        for start, end in arc_pieces(at, radius_mm, scene.frame):
            scene.shapes.append(svg.line(start, end, svg.HAIR_MM))
        if stand.fall_toward_deg is None:
            continue
        toward = scene.scale.toward(stand.fall_toward_deg)
        head = scene.arrow(at, at.plus(toward.times(radius_mm)), svg.THIN_MM, "1.2 0.8")
        if head is None:
            continue
        way = say.text(_("falls toward {bearing}")).format(
            bearing=say.bearing(stand.fall_toward_deg)
        )
        clear = say.text(_("clear {radius}")).format(radius=say.need_length(stand.clear_circle_m))
        scene.name(head, "" if way in said else way, clear, clear_mm=0.8)
        said.add(way)


def _draw_shadows(scene: Scene, say: Words) -> None:
    """The subject's shadow to scale at the start (solid) and at the end (dashed), in sun only."""
    if not scene.inputs.subject_in_sun or scene.plan.ambient[0].sky == "overcast":
        return
    for row, dash in ((scene.plan.sun[0], ""), (scene.plan.sun[-1], SHADOW_END_DASH)):
        if row.shadow_toward_deg is None or not row.above_horizon_profile:
            continue
        length_m = row.shadow_length_ratio * scene.inputs.subject_height_m
        toward = scene.scale.toward(row.shadow_toward_deg)
        end = scene.scale.subject.plus(toward.times(length_m * scene.scale.mm_per_m))
        if scene.backdrop:
            # A shadow that meets the backdrop climbs it: on the ground it ends there.
            end = meeting(scene.scale.subject, end, *scene.backdrop) or end
        part = scene.stroke(scene.scale.subject, end, svg.THICK_MM, dash)
        if part:
            words = say.text(_("shadow {at}, {length}")).format(
                at=say.clock(row.at), length=say.length(length_m)
            )
            scene.name(part[1], words, clear_mm=0.8)


def _draw_backdrop(scene: Scene, say: Words) -> None:
    inputs, scale = scene.inputs, scene.scale
    name = short(inputs.backdrop) or say.text(_("backdrop"))
    gap_m = inputs.gap_behind_m
    top = Point(scale.subject.x, scene.frame.top + 1.5)
    if gap_m is None:
        scene.name(top, name, clear_mm=0.6)
        return
    words = say.text(_("{backdrop}, {gap} behind")).format(backdrop=name, gap=say.length(gap_m))
    at = scale.paper(0.0, gap_m)
    if not scene.frame.grown(-1.0).holds_point(at):
        scene.name(top, words, clear_mm=0.6)
        return
    facing_deg = inputs.backdrop_facing_deg
    if facing_deg is None:
        facing_deg = inputs.camera_facing_deg + 180
    along = scale.toward(facing_deg + 90).times(BACKDROP_HALF_M * scale.mm_per_m)
    part = scene.stroke(at.minus(along), at.plus(along), svg.THICK_MM)
    if part:
        scene.backdrop = part
        scene.name(part[0].plus(part[1]).times(0.5), words, clear_mm=0.8)
