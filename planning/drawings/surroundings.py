"""What stands around the set on the plan view: north, scale, sun, wind, water, landmarks."""

import math

from planning.drawings import svg
from planning.drawings.geometry import Box, Point, box_about, ray_end
from planning.drawings.labels import text_width_mm
from planning.drawings.scene import Scene
from planning.drawings.words import Words
from planning.plan.result import SunRow

CORNER_MM = 17.0
EDGE_ARROW_MM = 9.0
SAME_DIRECTION_DEG = 4.0
LANDMARKS_SHOWN = 4


def draw_north(scene: Scene, say: Words) -> None:
    """True north as a solid arrow, compass north dashed beside it, words under both."""
    declination_deg = scene.plan.bearings.declination_deg
    lines = [say.text("solid: true N")]
    if declination_deg is None:
        lines.append(say.text("no declination"))
    else:
        side = say.text("E") if declination_deg >= 0 else say.text("W")
        turn = say.degrees(abs(declination_deg))
        lines.append(say.text("dashed: compass,"))
        lines.append(f"{turn} {side}")
    wide = max(text_width_mm(line, svg.TEXT_MM) for line in lines)
    block = max(CORNER_MM, wide)
    left = scene.frame.right - block - 1.5
    centre = Point(left + block / 2, scene.frame.top + 8.5)
    _needle(scene, centre, 0.0, 6.5, "")
    if declination_deg is not None:
        _needle(scene, centre, declination_deg, 5.0, "1 0.7")
    tip = centre.plus(scene.scale.toward(0.0).times(8.0))
    scene.shapes.append(svg.text(Point(tip.x - 0.9, tip.y + 1.0), say.text("N"), bold=True))
    base = centre.y + 11.5
    for row, line in enumerate(lines):
        at = Point(left + block - text_width_mm(line, svg.TEXT_MM), base + row * 3.3)
        scene.shapes.append(svg.text(at, line))
    scene.symbols.append(
        Box(left - 0.5, scene.frame.top, block + 2, base - scene.frame.top + len(lines) * 3.3 - 2)
    )


def _needle(scene: Scene, centre: Point, bearing_deg: float, half_mm: float, dash: str) -> None:
    along = scene.scale.toward(bearing_deg).times(half_mm)
    scene.shapes.append(svg.arrow(centre.minus(along), centre.plus(along), svg.THIN_MM, dash))


def draw_scale_bar(scene: Scene, say: Words) -> None:
    """A bar of a round length at the bottom left, with the scale in figures."""
    per_m = scene.scale.mm_per_m
    fitting = [length for length in say.bar_lengths_m() if length * per_m <= 26.0]
    length_m = fitting[-1] if fitting else say.bar_lengths_m()[0]
    start = Point(scene.frame.left + 3.0, scene.frame.bottom - 3.0)
    end = Point(start.x + length_m * per_m, start.y)
    scene.shapes.append(svg.line(start, end, svg.THIN_MM))
    for tick in (start, end):
        scene.shapes.append(svg.line(tick, Point(tick.x, tick.y - 1.6), svg.THIN_MM))
    words = f"{say.bar_length(length_m)}  1:{say.number(scene.scale.ratio)}"
    scene.shapes.append(svg.text(Point(start.x + 0.8, start.y - 2.0), words))
    width = max(end.x - start.x, text_width_mm(words, svg.TEXT_MM)) + 2
    scene.symbols.append(Box(start.x - 1, start.y - 5.4, width, 6.6))


def draw_sun(scene: Scene, say: Words) -> None:
    """Short arrows at the edge along the sun's light, at the start and at the end."""
    first, last = scene.plan.sun[0], scene.plan.sun[-1]
    turn_deg = abs((last.azimuth_deg - first.azimuth_deg + 180) % 360 - 180)
    if first.elevation_deg > 0 and last.elevation_deg > 0 and turn_deg < SAME_DIRECTION_DEG:
        _sun_arrow(scene, say, first, f"{say.clock(first.at)}–{say.clock(last.at)}")
        return
    for row in (first, last):
        if row.elevation_deg > 0:
            _sun_arrow(scene, say, row, say.clock(row.at))


def _sun_arrow(scene: Scene, say: Words, row: SunRow, when: str) -> None:
    toward = scene.scale.toward(row.azimuth_deg)
    tail, head = _edge_arrow(scene, toward, inwards=True)
    hidden = "" if row.above_horizon_profile else say.text("behind the skyline")
    scene.name(
        box_about((tail.plus(head)).times(0.5), 1, 1).centre,
        say.text("sun") + f" {when}",
        f"{say.bearing(row.azimuth_deg)}, {say.degrees(row.elevation_deg)} {say.text('up')}",
        hidden,
        clear_mm=1.6,
    )


def _edge_arrow(scene: Scene, toward: Point, *, inwards: bool) -> tuple[Point, Point]:
    """Return and draw a short arrow at the frame's edge, slid clear of what stands there."""
    inner = scene.frame.grown(-1.5)
    outer = ray_end(scene.scale.subject, toward, inner)
    for _ in range(40):
        near = outer.minus(toward.times(EDGE_ARROW_MM))
        middle = outer.plus(near).times(0.5)
        box = box_about(
            middle, abs(toward.x) * EDGE_ARROW_MM + 2, abs(toward.y) * EDGE_ARROW_MM + 2
        )
        if not any(box.overlaps(other) for other in scene.symbols):
            break
        outer = outer.minus(toward.times(2.0))
    tail, head = (outer, near) if inwards else (near, outer)
    scene.shapes.append(svg.arrow(tail, head, svg.THIN_MM * 1.6))
    scene.symbols.append(box)
    return tail, head


def draw_wind(scene: Scene, say: Words) -> None:
    """An arrow in the top left corner along the wind, with its gust in words."""
    forecast = scene.inputs.forecast
    if forecast is None or forecast.wind_from_deg is None:
        return
    along = scene.scale.toward(forecast.wind_from_deg + 180).times(4.5)
    centre = Point(scene.frame.left + 7.0, scene.frame.top + 7.0)
    scene.shapes.append(svg.arrow(centre.minus(along), centre.plus(along), svg.THIN_MM * 1.6))
    scene.keep_clear(centre, 11.0, 11.0)
    gusts = [light.stand.gust_m_s for light in scene.plan.lights if light.stand]
    gust = max((gust for gust in gusts if gust is not None), default=forecast.gust_m_s)
    scene.name(
        centre,
        f"{say.text('wind from')} {say.bearing(forecast.wind_from_deg)}",
        f"{say.text('gust')} {say.speed(gust)}" if gust is not None else "",
        clear_mm=5.5,
    )


def draw_water(scene: Scene, say: Words) -> None:
    """The water's edge across its bearing where it is near, else an arrow toward it."""
    place = scene.inputs.location
    if place.water == "none" or place.water_bearing_deg is None:
        return
    toward = scene.scale.toward(place.water_bearing_deg)
    distance_m = place.water_distance_m
    words = say.text("water's edge")
    if distance_m is not None:
        words = f"{words} {say.length(distance_m)}"
        shore = scene.scale.subject.plus(toward.times(distance_m * scene.scale.mm_per_m))
        across = Point(-toward.y, toward.x).times(500.0)
        if scene.frame.grown(-4.0).holds_point(shore):
            scene.stroke(shore.minus(across), shore.plus(across), svg.THIN_MM, "3 1 0.6 1")
            scene.name(shore, words, clear_mm=0.6)
            return
    _tail, head = _edge_arrow(scene, toward, inwards=False)
    scene.name(head, words, clear_mm=1.2)


def draw_landmarks(scene: Scene, say: Words) -> None:
    """A tick at the border along each landmark's bearing, with its name."""
    inner = scene.frame
    for landmark in scene.inputs.location.landmarks[:LANDMARKS_SHOWN]:
        toward = scene.scale.toward(landmark.bearing_deg)
        edge = ray_end(scene.scale.subject, toward, inner)
        scene.stroke(edge, edge.minus(toward.times(3.0)), svg.THIN_MM * 1.6)
        foot = edge.minus(toward.times(3.0))
        scene.keep_clear(edge.minus(toward.times(1.5)), 2.0, 2.0)
        scene.name(
            Point(foot.x, foot.y),
            f"{short(landmark.name)} {say.bearing(landmark.bearing_deg)}",
            clear_mm=0.6,
        )


def short(words: str, limit: int = 24) -> str:
    """Return words for a drawing: one line, cut with an ellipsis; the table has them whole."""
    line = " ".join(words.split())
    return line if len(line) <= limit else line[: limit - 1].rstrip() + "…"


