"""The shutter ladder as grey patches: how each surface comes out at each step.

The grey only repeats what the patch says in figures and words, for a poor printer.
"""

from collections.abc import Sequence

from planning.drawings import svg
from planning.drawings.geometry import Point
from planning.drawings.labels import text_width_mm
from planning.drawings.words import Words
from planning.physics.constants import BLOCKED_STOPS, BLOWN_STOPS, GREY_REFLECTANCE
from planning.plan.result import Tone
from planning.plan.words import gettext_noop as _

SHUTTER_COLUMN_MM = 9.6
HEAD_MM = 7.4
MOST_ROWS = 6
SMALL_MM = 2.85  # 8 points


def ladder(
    tones: Sequence[Tone],
    say: Words,
    shutter_marks: dict[float, str],
    *,
    width_mm: float,
    row_mm: float = 8.0,
) -> str:
    """Return patches, a row for each shutter and a column for each surface, in plan order.

    Beyond six steps the first, the last and steps evenly between are drawn. An empty text
    when there are no tones. Each patch has an outline, its stops and, where it is not held,
    the plan's word for it.
    """
    if not tones:
        return ""
    shutters = _thinned(list(dict.fromkeys(tone.shutter_s for tone in tones)))
    surfaces = list(dict.fromkeys(tone.surface for tone in tones))
    found = {(tone.shutter_s, tone.surface): tone for tone in tones}
    patch_mm = (width_mm - SHUTTER_COLUMN_MM - 0.4) / len(surfaces)
    body = [_heads(surfaces, say, patch_mm)]
    for row, shutter_s in enumerate(shutters):
        top = HEAD_MM + row * row_mm
        base = top + row_mm / 2 + 1.0
        body.append(svg.text(Point(0, base), shutter_marks.get(shutter_s, ""), bold=True))
        for column, surface in enumerate(surfaces):
            tone = found.get((shutter_s, surface))
            if tone is not None:
                corner = Point(SHUTTER_COLUMN_MM + column * patch_mm + 0.2, top)
                body.append(_patch(tone, say, corner, patch_mm, row_mm))
    height = HEAD_MM + len(shutters) * row_mm + 0.4
    return svg.document(width_mm, height, say.text(_("How each surface comes out")), body)


def _thinned(shutters: list[float]) -> list[float]:
    if len(shutters) <= MOST_ROWS:
        return shutters
    last = len(shutters) - 1
    picked = sorted({round(step * last / (MOST_ROWS - 1)) for step in range(MOST_ROWS)})
    return [shutters[index] for index in picked]


def _heads(surfaces: Sequence[str], say: Words, patch_mm: float) -> str:
    parts = []
    for column, surface in enumerate(surfaces):
        lines = _wrapped(say.term(surface), patch_mm - 0.4)
        for row, line in enumerate(lines):
            base = HEAD_MM - 1.2 - (len(lines) - 1 - row) * 3.0
            left = SHUTTER_COLUMN_MM + column * patch_mm + 0.2
            parts.append(svg.text(Point(left, base), line, size_mm=SMALL_MM))
    return "".join(parts)


def _wrapped(words: str, width_mm: float) -> list[str]:
    """Return at most two lines no wider than the patch, the second cut if it must be."""
    first, rest = "", words.split()
    while rest and text_width_mm(f"{first} {rest[0]}".strip(), SMALL_MM) <= width_mm:
        first = f"{first} {rest.pop(0)}".strip()
    if not first and rest:
        first = _cut(rest.pop(0), width_mm)
    return [first, _cut(" ".join(rest), width_mm)] if rest else [first]


def _cut(words: str, width_mm: float) -> str:
    while words and text_width_mm(words, SMALL_MM) > width_mm:
        words = words[:-2].rstrip() + "…" if len(words) > 2 else ""
    return words


def _patch(tone: Tone, say: Words, corner: Point, patch_mm: float, row_mm: float) -> str:
    """A grey field with a white plate for the words, both outlined."""
    field = svg.rect(corner, patch_mm, row_mm, fill=grey(tone.stops))
    held = tone.state == "holds"
    lines = [say.number(tone.stops, 1, sign=True)]
    if not held:
        lines.append(say.term(tone.state))
    plate_high = 3.1 * len(lines) + 0.5
    widest = max(text_width_mm(line, SMALL_MM) for line in lines)
    plate_wide = min(patch_mm - 0.8, widest + 0.8)
    plate = Point(corner.x + 0.4, corner.y + row_mm - plate_high - 0.4)
    parts = [field, svg.rect(plate, plate_wide, plate_high, fill="white", stroke_mm=0)]
    for row, line in enumerate(lines):
        base = plate.y + 2.5 + row * 3.1
        at = Point(plate.x + 0.4, base)
        parts.append(svg.text(at, line, size_mm=SMALL_MM, bold=row > 0))
    return "".join(parts)


def grey(stops: float) -> str:
    """Return the grey of a tone so many stops from mid-grey, white and black at its ends.

    Source: sRGB transfer curve, IEC 61966-2-1; the ends are common practice.
    """
    if stops >= BLOWN_STOPS:
        return "#ffffff"
    if stops <= BLOCKED_STOPS:
        return "#000000"
    # A straight scale above mid-grey keeps the steps apart that white paper would swallow.
    light = min(1.0, GREY_REFLECTANCE * 2 ** min(stops, 2.4))
    coded = 12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055
    level = round(255 * coded)
    return f"#{level:02x}{level:02x}{level:02x}"
