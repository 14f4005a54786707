"""The strip for a late start and a changed sky, and the stands' gusts, as set sheets show them."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from planning.figures import NOT_KNOWN, Figures
from planning.plan.result import Light, SetPlan
from planning.plan.result_sky import LateRow, Line, SkyRow, SunRow
from planning.sheets.back import spread_words
from planning.templatetags import figures


@dataclass(frozen=True)
class Strip:
    """A column each for the plan, 30 and 60 minutes late, sun out and cloud over."""

    heads: tuple[tuple[str, str], ...]  # (what, when)
    rows: tuple[tuple[str, tuple[str, ...]], ...]  # (name, a cell for each column)
    lines: tuple[str, ...]  # what else happens then


@dataclass(frozen=True)
class StandLine:
    light: Light
    off_above_m_s: float | None  # None: it is struck before that


def strip(plan: SetPlan, say: Figures) -> Strip:
    """Return the strip; call it with the house's language active."""
    exposure, key = plan.exposure, _key(plan)
    lines = [row.line for row in (*plan.late, *plan.skies)]
    heads = [(_("as planned"), say.clock(plan.set.start_at))]
    heads += [(_late(row), say.clock(row.at)) for row in plan.late]
    heads += [(say.term(row.name), _("as planned") if row.planned else "") for row in plan.skies]
    cells = {
        _("base"): [
            figures.f_number(exposure.base_f_number),
            *(_mark(line, "base_mark") for line in lines),
        ],
        _("camera"): [
            f"{exposure.working_mark} {figures.shutter(exposure.start_s)}",
            *(_camera(line, exposure.iso) for line in lines),
        ],
        _("head"): [
            figures.term(key.power_mark) if key else NOT_KNOWN,
            *(figures.term(_mark(line, "power_mark")) for line in lines),
        ],
        _("or the shutter alone"): ["", *(_mark(line, "shutter_alone_mark") for line in lines)],
        _("base light, stops"): [
            _planned_spread(plan, say),
            *(_moved(line, say) for line in lines),
        ],
        _("sun, true and height"): [
            _sun(plan.sun[0], say),
            *(_sun(row.sun, say) for row in plan.late),
        ],
    }
    if plan.turns:
        late = [_turns(row, say) for row in plan.late]
        cells[_("turns that fit, over by")] = [say.number(len(plan.turns)), *late]
    return Strip(
        heads=tuple(heads),
        rows=tuple((name, _filled(row, len(heads))) for name, row in cells.items()),
        lines=tuple(_lines(plan, say)),
    )


def _filled(cells: list[str], count: int) -> tuple[str, ...]:
    return tuple(cells + [""] * (count - len(cells)))


def stand_lines(plan: SetPlan) -> list[StandLine]:
    """Return each stand with the gusts at which it changes; one that is struck first stays on."""
    rows = []
    for light in plan.lights:
        if light.stand is not None:
            off_m_s, strike_m_s = light.stand.off_above_m_s, light.stand.strike_above_m_s
            sooner = off_m_s is not None and off_m_s < strike_m_s
            rows.append(StandLine(light, off_m_s if sooner else None))
    return rows


def _key(plan: SetPlan) -> Light | None:
    """The lamp the strip speaks of: the key, else the fill, else the first."""
    for role in ("key", "fill", None):
        for light in plan.lights:
            if role in (None, light.role):
                return light
    return None


def _late(row: LateRow) -> str:
    return _("%d min late") % row.minutes


def _mark(line: Line | None, name: str) -> str:
    return (getattr(line, name) if line else "") or NOT_KNOWN


def _camera(line: Line | None, planned_iso: float) -> str:
    """Return aperture and shutter, and the ISO where it is another than the plan's."""
    if line is None:
        return NOT_KNOWN
    told = f"{line.working_mark} {line.shutter_mark}"
    same = figures.iso(line.iso) == figures.iso(planned_iso)
    return told if same else f"{told} {_('ISO %s') % figures.iso(line.iso)}"


def _planned_spread(plan: SetPlan, say: Figures) -> str:
    row = plan.ambient[0]
    source = plan.exposure.base_source
    low, high = row.low_stops, row.high_stops
    if plan.set.job == "fill":
        low, high = row.subject_low_stops, row.subject_high_stops
    return f"{spread_words(low, high, say)} {figures.letter(source)}"


def _moved(line: Line | None, say: Figures) -> str:
    if line is None:
        return NOT_KNOWN
    moved = figures.stops(line.base_moved_stops, say)
    spread = spread_words(line.low_stops, line.high_stops, say)
    return f"{moved} ({spread} {figures.letter(line.source)})"


def _sun(sun: SunRow, say: Figures) -> str:
    told = f"{say.bearing(sun.azimuth_deg)}, {say.degrees(sun.elevation_deg)}"
    if sun.stands == "down":
        return f"{told} {figures.term('down')}"
    return told if sun.above_horizon_profile else f"{told} {_('hidden')}"


def _turns(row: LateRow, say: Figures) -> str:
    if row.turns == 0:
        return _("none left to give")
    told = {"fit": say.number(row.turns_fit), "turns": say.number(row.turns)}
    if row.over_min <= 0.0:
        return _("%(fit)s of %(turns)s") % told
    told["over"] = say.amount(row.over_min, "need_min")
    return _("%(fit)s of %(turns)s, %(over)s") % told


def _lines(plan: SetPlan, say: Figures) -> Iterator[str]:
    """Yield what else happens, a line for each column that has anything to say."""
    lamp = _key(plan)
    told = [(_late(row), list(_late_words(row, lamp, say))) for row in plan.late]
    told += [
        (say.term(row.name), list(_sky_words(row, lamp, say)))
        for row in plan.skies
        if not row.planned
    ]
    alike: dict[str, list[str]] = {}
    for name, words in told:
        if words:
            alike.setdefault("; ".join(words), []).append(name)
    yield from (capfirst(f"{', '.join(names)}: {words}.") for words, names in alike.items())


def _late_words(row: LateRow, lamp: Light | None, say: Figures) -> Iterator[str]:
    yield from (say.words(words) for words in row.passed)
    if row.line is None:
        yield _("too dark for an estimate, meter the base")
    else:
        yield from _line_words(row.line, lamp, say)
    if row.sun_gone_at:
        yield _("the sun goes behind the horizon at %s") % say.clock(row.sun_gone_at)
    if row.key_sun_side != row.key_sun_side_planned:
        sides = {
            "behind subject": _("the sun stands behind the subject then: it is the rim"),
            "none": _("no sun on the set then"),
        }
        if lamp and lamp.role == "key":  # no other lamp stands in for the sun
            sides["same"] = _("the key stands on the sun's side then")
            sides["opposite"] = _("the key stands across from the sun then: two shadows")
        if row.key_sun_side in sides:
            yield sides[row.key_sun_side]


def _line_words(line: Line, lamp: Light | None, say: Figures) -> Iterator[str]:
    if line.method == "aperture first":
        yield _("aperture first: the light is too low for the sync line")
    if not line.hand_held:
        yield _("no hand holds %s: tripod and a still model, or end before") % line.shutter_mark
    if line.camera_fits:
        yield say.words(line.camera_fits)
    if lamp and line.power_verdict in ("too weak", "may be too weak", "too strong"):
        yield f"{lamp.name}: {figures.term(line.power_verdict)}"


def _sky_words(row: SkyRow, lamp: Light | None, say: Figures) -> Iterator[str]:
    yield from _line_words(row.line, lamp, say)
    face, base = row.face_moved_stops, row.line.base_moved_stops
    if figures.stops(face, say) != figures.stops(base, say):
        told = {"face": figures.stops(face, say), "base": figures.stops(base, say)}
        yield _("the face moves %(face)s, the base %(base)s stops") % told
