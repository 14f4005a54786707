"""What stands around the set on the plan view: north, scale, sun, wind, water, landmarks."""

from planning.drawings import svg
from planning.drawings.geometry import Box, Point, box_about, crosses, ray_end
from planning.drawings.labels import short, text_width_mm
from planning.drawings.scene import Scene
from planning.drawings.words import Words
from planning.plan.result import SunRow
from planning.plan.words import gettext_noop as _

NEEDLE_MM = 14.0
SCALE_BLOCK_MM = 8.5
EDGE_ARROW_MM = 9.0
SAME_DIRECTION_DEG = 4.0
LANDMARKS_SHOWN = 4


def draw_north(scene: Scene, say: Words) -> None:
    """True north as a solid arrow, compass north dashed beside it, words beside both."""
    declination_deg = scene.plan.bearings.declination_deg
    lines = _north_words(declination_deg, say)
    box = _corner_block(scene, lines)
    centre = Point(box.left + NEEDLE_MM / 2, box.centre.y)
    scene.on_top.append(_needle(scene, centre, 0.0, 6.0, ""))
    if declination_deg is not None:
        scene.on_top.append(_needle(scene, centre, declination_deg, 4.2, "1 0.7"))


def _corner_block(scene: Scene, lines: list[str]) -> Box:
    """Return ground for an arrow with words beside it, in the corner with the fewest lines."""
    wide = NEEDLE_MM + 1.0 + max(text_width_mm(line, svg.TEXT_MM) for line in lines)
    inner = scene.frame.grown(-0.3)
    corners = [
        Box(inner.right - wide, inner.top, wide, NEEDLE_MM),
        Box(inner.left, inner.top, wide, NEEDLE_MM),
        Box(inner.right - wide, inner.bottom - NEEDLE_MM, wide, NEEDLE_MM),
        Box(inner.left, inner.bottom - NEEDLE_MM - SCALE_BLOCK_MM, wide, NEEDLE_MM),
    ]
    box = min(corners, key=lambda corner: _lines_under(scene, corner))
    scene.on_top.append(svg.plate(box))
    first = box.centre.y - (len(lines) - 1) * 1.65 + 1.0
    for row, line in enumerate(lines):
        scene.on_top.append(svg.text(Point(box.left + NEEDLE_MM, first + row * 3.3), line))
    scene.symbols.append(box)
    return box


def _lines_under(scene: Scene, box: Box) -> int:
    symbols = sum(100 for symbol in scene.symbols if symbol.overlaps(box))
    return symbols + sum(crosses(start, end, box) for start, end in scene.lines)


def _north_words(declination_deg: float | None, say: Words) -> list[str]:
    if declination_deg is None:
        return [say.text(_("solid: true N")), say.text(_("compass not known"))]
    side = say.text(_("E")) if declination_deg >= 0 else say.text(_("W"))
    turn = say.degrees(abs(declination_deg))
    return [say.text(_("solid: true N")), say.text(_("dashed: compass")), f"{turn} {side}"]


def _needle(scene: Scene, centre: Point, bearing_deg: float, half_mm: float, dash: str) -> str:
    along = scene.scale.toward(bearing_deg).times(half_mm)
    return svg.arrow(centre.minus(along), centre.plus(along), svg.THIN_MM, dash)


def draw_scale_bar(scene: Scene, say: Words) -> None:
    """A bar of a round length at the bottom left, with the scale in figures."""
    per_m = scene.scale.mm_per_m
    fitting = [length for length in say.bar_lengths_m() if length * per_m <= 26.0]
    length_m = fitting[-1] if fitting else say.bar_lengths_m()[0]
    start = Point(scene.frame.left + 3.0, scene.frame.bottom - 2.6)
    end = Point(start.x + length_m * per_m, start.y)
    words = f"{say.bar_length(length_m)}, 1:{say.number(scene.scale.ratio)}"
    width = max(end.x - start.x, text_width_mm(words, svg.TEXT_MM) + 0.8)
    box = Box(start.x - 1.5, start.y - 5.6, width + 3, 7.6)
    scene.on_top += [svg.plate(box), svg.line(start, end, svg.THIN_MM)]
    for tick in (start, end):
        scene.on_top.append(svg.line(tick, Point(tick.x, tick.y - 1.6), svg.THIN_MM))
    scene.on_top.append(svg.text(Point(start.x + 0.8, start.y - 2.2), words))
    scene.symbols.append(box)


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
    hidden = "" if row.above_horizon_profile else say.text(_("behind the skyline"))
    scene.name(
        tail.plus(head).times(0.5),
        say.text(_("sun {when}")).format(when=when),
        say.text(_("{bearing}, {height} up")).format(
            bearing=say.bearing(row.azimuth_deg), height=say.degrees(row.elevation_deg)
        ),
        hidden,
        clear_mm=1.6,
    )


def _edge_arrow(scene: Scene, toward: Point, *, inwards: bool) -> tuple[Point, Point]:
    """Return and draw a short arrow at the frame's edge, slid clear of what stands there."""
    outer, near = _edge_mark(scene, toward, EDGE_ARROW_MM)
    tail, head = (outer, near) if inwards else (near, outer)
    scene.shapes.append(svg.arrow(tail, head, svg.THIN_MM * 1.6))
    return tail, head


def _edge_mark(scene: Scene, toward: Point, length_mm: float) -> tuple[Point, Point]:
    """Return the outer and inner end of a mark on a bearing, and keep its ground clear."""
    frame = scene.frame.grown(-1.0)
    outer = ray_end(scene.scale.subject, toward, frame)
    for _try in range(40):
        near = outer.minus(toward.times(length_mm))
        box = box_about(
            outer.plus(near).times(0.5),
            abs(toward.x) * length_mm + 2,
            abs(toward.y) * length_mm + 2,
        )
        if not any(box.overlaps(other) for other in scene.symbols):
            break
        outer = outer.minus(toward.times(2.0))
    scene.symbols.append(box)
    return outer, near


def draw_wind(scene: Scene, say: Words) -> None:
    """An arrow in a corner along the wind, with its gust in words."""
    forecast = scene.inputs.forecast
    if forecast is None or forecast.wind_from_deg is None:
        return
    gusts = [light.stand.gust_m_s for light in scene.plan.lights if light.stand]
    gust = max((gust for gust in gusts if gust is not None), default=forecast.gust_m_s)
    lines = [say.text(_("wind from {bearing}")).format(bearing=say.bearing(forecast.wind_from_deg))]
    if gust is not None:
        lines.append(say.text(_("gust {speed}")).format(speed=say.speed(gust)))
    box = _corner_block(scene, lines)
    along = scene.scale.toward(forecast.wind_from_deg + 180).times(4.8)
    centre = Point(box.left + NEEDLE_MM / 2, box.centre.y)
    scene.on_top.append(svg.arrow(centre.minus(along), centre.plus(along), svg.THIN_MM * 1.6))


def draw_water(scene: Scene, say: Words) -> None:
    """The water's edge across its bearing where it is near, else an arrow toward it."""
    place = scene.inputs.location
    if place.water == "none" or place.water_bearing_deg is None:
        return
    toward = scene.scale.toward(place.water_bearing_deg)
    distance_m = place.water_distance_m
    words = say.text(_("water's edge"))
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
    for landmark in scene.inputs.location.landmarks[:LANDMARKS_SHOWN]:
        outer, near = _edge_mark(scene, scene.scale.toward(landmark.bearing_deg), 3.5)
        scene.shapes.append(svg.line(outer, near, svg.THIN_MM * 1.8))
        name = f"{short(landmark.name)} {say.bearing(landmark.bearing_deg)}"
        scene.name(outer.plus(near).times(0.5), name, clear_mm=1.8)
