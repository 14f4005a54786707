"""The horizon round a place, and the sun's way over it: a strip from north to north."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from planning.drawings import svg
from planning.drawings.geometry import Point
from planning.drawings.labels import text_width_mm
from planning.drawings.words import Words
from planning.physics.horizon import horizon_elevation_deg
from planning.plan.words import gettext_noop as _

LEFT_MM, TOP_MM, FOOT_MM, RIGHT_MM = 9.0, 4.0, 10.0, 2.0
LEAST_TOP_DEG = 30.0
STEP_DEG = 10.0
POINTS = (_("N"), _("NE"), _("E"), _("SE"), _("S"), _("SW"), _("W"), _("NW"), _("N"))
GROUND = "#d9d9d9"
TICK_MM = 0.9
LABEL_STEP_MM = 3.6
LOWEST_DEG = -10.0  # a profile may fall below level: a crest over a valley


@dataclass(frozen=True)
class SunPath:
    """One day's sun: (azimuth, elevation, hour in words or empty), in order of time."""

    label: str
    points: tuple[tuple[float, float, str], ...]


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


def horizon_strip(
    profile: Sequence[tuple[float, float]],
    paths: Sequence[SunPath],
    say: Words,
    *,
    width_mm: float = 245.0,
    height_mm: float = 85.0,
) -> str:
    """Return the strip as SVG: the ground grey under its outline, the sun's ways as lines.

    Azimuth runs from 0 to 360 along the foot, elevation up the side; between pairs the outline
    is straight, and it joins round north. Where the sun stands behind the ground its way is
    dashed. Hours stand at their ticks.
    """
    heights = [elevation for _azimuth, elevation in profile]
    highest = max([LEAST_TOP_DEG, *heights, *(y for path in paths for _x, y, _h in path.points)])
    top_deg = min(90.0, STEP_DEG * (int(highest / STEP_DEG) + 1))
    low_deg = LOWEST_DEG if any(height < 0 for height in heights) else 0.0
    frame = _Frame(width_mm, height_mm, top_deg, low_deg)
    body = [
        _ground(frame, profile),
        *_scale(frame, say),
        *(part for path in paths for part in _path(frame, profile, path)),
        *_labels(frame, paths),
        *(svg.circle(frame.at(azimuth, height), 0.9, fill="black") for azimuth, height in profile),
    ]
    return svg.document(width_mm, height_mm, say.text(_("The horizon and the sun over it")), body)


def _ground(frame: _Frame, profile: Sequence[tuple[float, float]]) -> str:
    turns = sorted({0.0, 360.0, *(azimuth for azimuth, _height in profile)})
    outline = [frame.at(at, horizon_elevation_deg(profile, at % 360)) for at in turns]
    feet = [frame.at(360, frame.low_deg), frame.at(0, frame.low_deg)]
    return svg.polygon([*outline, *feet], fill=GROUND, stroke="black")


def _scale(frame: _Frame, say: Words) -> list[str]:
    parts = []
    for index, name in enumerate(POINTS):
        foot = frame.at(index * 45.0, frame.low_deg)
        parts.append(svg.line(foot, Point(foot.x, foot.y + TICK_MM)))
        for row, words in enumerate((say.text(name), f"{index * 45}°")):
            left = foot.x - text_width_mm(words, svg.TEXT_MM) / 2
            left = min(left, frame.width_mm - text_width_mm(words, svg.TEXT_MM))
            parts.append(svg.text(Point(left, foot.y + 4.0 + row * 3.6), words, bold=row == 0))
    height_deg = 0.0
    while height_deg <= frame.top_deg:
        left, right = frame.at(0, height_deg), frame.at(360, height_deg)
        parts.append(svg.line(left, right, dash="" if height_deg == 0 else "0.4 1.6"))
        parts.append(svg.text(Point(0.4, left.y + 1.0), f"{height_deg:.0f}°"))
        height_deg += STEP_DEG
    return parts


def _path(frame: _Frame, profile, path: SunPath) -> list[str]:
    """The sun's way with its hours, broken at north where the strip ends."""
    parts, above = [], [point for point in path.points if point[1] >= 0]
    for (az, el, _one), (next_az, next_el, _two) in pairwise(above):
        if abs(next_az - az) > 180:
            continue
        hidden = (el + next_el) / 2 < horizon_elevation_deg(profile, (az + next_az) / 2)
        ends = frame.at(az, el), frame.at(next_az, next_el)
        parts.append(svg.line(*ends, width_mm=svg.THIN_MM, dash="0.8 0.8" if hidden else ""))
    for az, el, hour in above:
        if hour:
            tick = frame.at(az, el)
            parts.append(svg.line(Point(tick.x, tick.y - TICK_MM), Point(tick.x, tick.y + TICK_MM)))
            parts.append(svg.text(Point(tick.x + 0.5, tick.y - 1.0), hour, size_mm=2.4))
    return parts


def _labels(frame: _Frame, paths: Sequence[SunPath]) -> list[str]:
    """Each day's words under the highest point of its line: above it stand the hours."""
    peaks = [
        (path.label, max(path.points, key=lambda point: point[1]))
        for path in paths
        if any(point[1] >= 0 for point in path.points)
    ]
    parts, last_mm = [], -LABEL_STEP_MM
    for words, (azimuth, elevation, _hour) in sorted(peaks, key=lambda peak: -peak[1][1]):
        peak = frame.at(azimuth, elevation)
        # Two days near each other would write over each other.
        last_mm = max(peak.y + LABEL_STEP_MM, last_mm + LABEL_STEP_MM)
        wide = text_width_mm(words, svg.TEXT_MM)
        left = min(max(peak.x - wide / 2, LEFT_MM), frame.width_mm - wide - RIGHT_MM)
        parts.append(svg.text(Point(left, last_mm), words, bold=True))
    return parts
