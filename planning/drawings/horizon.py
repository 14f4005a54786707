"""The horizon round a place, and the sun's way over it: a strip from north to north."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import chain, pairwise

from planning.drawings import svg
from planning.drawings.geometry import Box, Point, box_about, crosses
from planning.drawings.labels import text_width_mm
from planning.drawings.sun_way import Piece, Profile, SunPath, pieces
from planning.drawings.words import Words
from planning.physics.horizon import horizon_elevation_deg
from planning.plan.words import gettext_noop as _

LEFT_MM, TOP_MM, FOOT_MM, RIGHT_MM = 9.0, 8.5, 9.5, 3.0
NOTES_MM = 3.0  # base line of the words above the strip
LEAST_TOP_DEG = 30.0
STEP_DEG = 10.0
POINTS = (_("N"), _("NE"), _("E"), _("SE"), _("S"), _("SW"), _("W"), _("NW"), _("N"))
GROUND = "#d9d9d9"
HIDDEN = "1 0.8"
TICK_MM = 0.8
NAME_MM = (2.2, 2.8, 3.4)  # of a day from its line
SMALL_MM = 2.85  # 8 points
TALL_SHARE = 0.95  # of the type size: a line of words without its leading
BASE_SHARE = 0.17
LOWEST_DEG = -10.0  # a profile may fall below level: a crest over a valley


@dataclass(frozen=True)
class _Frame:
    width_mm: float
    height_mm: float
    top_deg: float
    low_deg: float

    def at(self, azimuth_deg: float, elevation_deg: float) -> Point:
        across = self.width_mm - LEFT_MM - RIGHT_MM
        up = self.height_mm - TOP_MM - FOOT_MM
        share = (self.top_deg - elevation_deg) / (self.top_deg - self.low_deg)
        return Point(LEFT_MM + azimuth_deg / 360 * across, TOP_MM + share * up)

    def box(self) -> Box:
        """Where words beside the lines may stand: above the foot, below the notes."""
        top, right = NOTES_MM + 1.0, self.width_mm
        return Box(LEFT_MM, top, right - LEFT_MM, self.height_mm - FOOT_MM - top)


@dataclass
class _Page:
    """What is drawn so far, and what words must keep clear of."""

    frame: _Frame
    body: list[str] = field(default_factory=list)
    lines: list[tuple[Point, Point]] = field(default_factory=list)
    guides: list[tuple[Point, Point]] = field(default_factory=list)  # thin: kept clear if we can
    boxes: list[Box] = field(default_factory=list)

    def write(
        self, words: str, near: Sequence[Point], far: Iterable[Point] = (), *, name: bool = False
    ) -> None:
        """Write the words centred on the first free place, of the near ones off the dotted lines.

        A name is bold, and written whether there is room or not.
        """
        size_mm = svg.TEXT_MM if name else SMALL_MM
        wide, tall = text_width_mm(words, size_mm), size_mm * TALL_SHARE
        boxes = [box_about(place, wide, tall) for place in near]
        free = [box for box in boxes if self._is_free(box)]
        away = (box for place in far if self._is_free(box := box_about(place, wide, tall)))
        off_guides = (box for box in free if not _struck(box, self.guides))
        box = next(chain(off_guides, free, away, boxes if name else ()), None)
        if box is not None:
            self.boxes.append(box)
            at = Point(box.left, box.bottom - BASE_SHARE * size_mm)
            self.body.append(svg.text(at, words, size_mm=size_mm, bold=name))

    def _is_free(self, box: Box) -> bool:
        if not self.frame.box().holds(box) or any(box.overlaps(one) for one in self.boxes):
            return False
        return not _struck(box, self.lines)


def _struck(box: Box, lines: Sequence[tuple[Point, Point]]) -> bool:
    return any(
        max(start.x, end.x) >= box.left
        and min(start.x, end.x) <= box.right
        and crosses(start, end, box)
        for start, end in lines
    )


def horizon_strip(
    profile: Profile,
    paths: Sequence[SunPath],
    say: Words,
    *,
    width_mm: float = 170.0,
    height_mm: float = 68.0,
) -> str:
    """Return the strip as SVG: the ground grey under its outline, the sun's ways as lines.

    Azimuth runs from 0 to 360 along the foot, elevation up the side; between pairs the outline
    is straight, and it joins round north. Where the sun stands behind the ground its way is
    dashed. Hours stand at their ticks where there is room; a day without sun is told above.
    """
    heights = [elevation for _azimuth, elevation in profile]
    highest = max([LEAST_TOP_DEG, *heights, *(y for path in paths for _x, y, _h in path.points)])
    top_deg = min(90.0, STEP_DEG * (int(highest / STEP_DEG) + 1))
    low_deg = LOWEST_DEG if any(height < 0 for height in heights) else 0.0
    page = _Page(_Frame(width_mm, height_mm, top_deg, low_deg))
    _ground(page, profile)
    _scale(page, say)
    ways = [tuple(pieces(profile, path, low_deg)) for path in paths]
    for path, way in zip(paths, ways, strict=True):
        _draw(page, path, way)
    _name(page, paths)
    for path in paths:
        _hours(page, path)
    _notes(page, paths, ways, say)
    title = say.text(_("The horizon and the sun over it"))
    return svg.document(width_mm, height_mm, title, page.body)


def _ground(page: _Page, profile: Profile) -> None:
    frame = page.frame
    turns = sorted({0.0, 360.0, *(azimuth for azimuth, _height in profile)})
    outline = [frame.at(at, horizon_elevation_deg(profile, at % 360)) for at in turns]
    feet = [frame.at(360, frame.low_deg), frame.at(0, frame.low_deg)]
    page.body.append(svg.polygon([*outline, *feet], fill=GROUND, stroke="black"))
    page.lines.extend(pairwise(outline))
    for azimuth, height in profile:
        dot = frame.at(azimuth, height)
        page.body.append(svg.circle(dot, 0.8, fill="black"))
        page.boxes.append(box_about(dot, 2.0, 2.0))


def _scale(page: _Page, say: Words) -> None:
    frame = page.frame
    for index, name in enumerate(POINTS):
        foot = frame.at(index * 45.0, frame.low_deg)
        page.body.append(svg.line(foot, Point(foot.x, foot.y + TICK_MM)))
        for row, words in enumerate((say.text(name), f"{index * 45}°")):
            wide = text_width_mm(words, svg.TEXT_MM)
            left = min(foot.x - wide / 2, frame.width_mm - wide)
            at = Point(left, foot.y + 4.0 + row * 3.6)
            page.body.append(svg.text(at, words, bold=row == 0))
    height_deg = 0.0
    while height_deg <= frame.top_deg:
        left, right = frame.at(0, height_deg), frame.at(360, height_deg)
        page.guides.append((left, right))
        page.body.append(svg.line(left, right, dash="" if height_deg == 0 else "0.3 1.7"))
        words = say.degrees(height_deg)
        wide = text_width_mm(words, svg.TEXT_MM)
        page.body.append(svg.text(Point(LEFT_MM - 1.5 - wide, left.y + 1.0), words))
        height_deg += STEP_DEG


def _draw(page: _Page, path: SunPath, way: Sequence[Piece]) -> None:
    for piece in way:
        points = [page.frame.at(*end) for end in piece.ends]
        page.lines.extend(pairwise(points))
        joined = " ".join(f"{svg.number(point.x)},{svg.number(point.y)}" for point in points)
        dash = {"stroke_dasharray": HIDDEN} if piece.hidden else {}
        width_mm = 2 * svg.THIN_MM if path.strong else svg.THIN_MM
        page.body.append(
            svg.element(
                "polyline",
                points=joined,
                fill="none",
                stroke="black",
                stroke_width=width_mm,
                **dash,
            )
        )


def _name(page: _Page, paths: Sequence[SunPath]) -> None:
    """Write each day at the highest point of its line, the highest day first."""
    shown = [path for path in paths if path.highest()[1] > page.frame.low_deg]
    for path in sorted(shown, key=lambda path: -path.highest()[1]):
        peak = page.frame.at(*path.highest())
        wide = text_width_mm(path.label, svg.TEXT_MM)
        inner = page.frame.box()
        x = min(max(peak.x, inner.left + wide / 2 + 0.5), inner.right - wide / 2 - 0.5)
        top = Point(x, peak.y)
        near = [top.plus(Point(0, up)) for away in NAME_MM for up in (-away, away)]
        far = (
            top.plus(Point(aside * wide, up))
            for away in (*NAME_MM, 6.0, 9.0, 13.0)
            for aside in (-0.6, 0.6, -1.2, 1.2)
            for up in (-away, away)
        )
        page.write(path.label, near, far, name=True)


def _hours(page: _Page, path: SunPath) -> None:
    """Draw a tick across the way at each hour told, its words outside the arch or within."""
    frame = page.frame
    for index, (azimuth, elevation, hour) in enumerate(path.points):
        if not hour or elevation < frame.low_deg:
            continue
        at, across = frame.at(azimuth, elevation), _across(frame, path.points, index)
        reach = across.times(TICK_MM)
        page.body.append(svg.line(at.minus(reach), at.plus(reach)))
        wide, tall = text_width_mm(hour, SMALL_MM), SMALL_MM * TALL_SHARE
        half = abs(across.x) * wide / 2 + abs(across.y) * tall / 2
        away = [across.times(half + TICK_MM + more) for more in (0.2, 0.8, 1.4, 2.0)]
        page.write(hour, [at.plus(step.times(side)) for side in (1, -1) for step in away])


def _across(frame: _Frame, points, index: int) -> Point:
    """Return the unit across the way at a point, upwards on the paper."""
    near = [points[at] for at in (max(index - 1, 0), min(index + 1, len(points) - 1))]
    first, last = near[0], near[1]
    turn = (last[0] - first[0] + 180) % 360 - 180  # round north as well
    along = frame.at(first[0] + turn, last[1]).minus(frame.at(first[0], first[1]))
    if along.length() < 0.01:
        return Point(0, -1)
    unit = along.unit()
    return Point(unit.y, -unit.x) if unit.x > 0 else Point(-unit.y, unit.x)


def _notes(page: _Page, paths: Sequence[SunPath], ways, say: Words) -> None:
    """Say above the strip what the dashes mean, and which days have no sun."""
    notes = []
    if any(piece.hidden for way in ways for piece in way):
        notes.append(say.text(_("dashed: the sun is behind the ground")))
    for path, way in zip(paths, ways, strict=True):
        if not way:
            notes.append(say.text(_("{day}: the sun does not rise")).format(day=path.label))
    if notes:
        page.body.append(svg.text(Point(LEFT_MM, NOTES_MM), "; ".join(notes), size_mm=SMALL_MM))
