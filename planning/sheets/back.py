"""The back of a set sheet: why, how sure, and what else could be done."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from planning.figures import NOT_KNOWN, Figures
from planning.plan.inputs import LightInputs, SetInputs
from planning.plan.result import AmbientRow, Caution, SetPlan, SunRow, Tone
from planning.sheets.front import patch_tones
from planning.templatetags import figures

LEVEL_ORDER = {"stop": 0, "act": 1, "note": 2}


@dataclass(frozen=True)
class ToneTable:
    """Stops and words of every surface, a row for each ladder step."""

    surfaces: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]  # (shutter, a cell for each surface)


@dataclass(frozen=True)
class SunLine:
    sun: SunRow
    words: str
    ambient: AmbientRow
    spread: str


def number_lines(
    plan: SetPlan, inputs: SetInputs, say: Figures, *, taught: bool = False
) -> list[str]:
    """Return the set in numbers, one step of the method a line.

    Where a point is ``taught``, its demonstration has said how the base is read already.
    """
    first = [] if taught else _base_lines(plan, inputs, say)
    return [*first, *_lamp_lines(plan, say), *_ladder_lines(plan, inputs, say)]


def _base_lines(plan: SetPlan, inputs: SetInputs, say: Figures) -> list[str]:
    exposure = plan.exposure
    base = {
        "f": figures.f_number(exposure.base_f_number),
        "shutter": figures.shutter(exposure.sync_s),
        "iso": figures.iso(exposure.iso),
        "under": say.number(exposure.stops_under, 1),
        "work": exposure.working_mark,
        "face": figures.f_number(exposure.face_ambient_f_number),
    }
    if exposure.method == "aperture first":
        base["shutter"] = figures.shutter(exposure.start_s)
    kind = {
        "incident": _("Flash off, meter at the backdrop: %(f)s at %(shutter)s, ISO %(iso)s."),
        "spot": _("Flash off, spot on the backdrop, placed: %(f)s at %(shutter)s, ISO %(iso)s."),
        "sky": _("Flash off, spot on the sky, placed: %(f)s at %(shutter)s, ISO %(iso)s."),
    }
    if inputs.job == "fill":
        base["closed"] = say.number(exposure.closed_for_flash_stops, 1)
        return [
            _("Flash off, meter on the sunny side: %(f)s at %(shutter)s, ISO %(iso)s.") % base,
            _("Close by the %(closed)s stop the fill adds there: %(work)s.") % base,
        ]
    return [
        kind.get(exposure.base_kind, kind["incident"]) % base,
        _("Work %(under)s stop under it: %(work)s. Face without flash: %(face)s.") % base,
    ]


def _ladder_lines(plan: SetPlan, inputs: SetInputs, say: Figures) -> list[str]:
    lines = []
    steps = plan.exposure.ladder
    key = next((light for light in inputs.lights if light.role == "key"), None)
    least = key.least_power if key else 1.0
    held = [
        _("%(shutter)s with %(power)s")
        % {"shutter": step.mark, "power": figures.power(step.hold_power, key)}
        for step in steps[1:]
        if step.hold_power is not None and step.hold_power >= least
    ]
    if held:
        lines.append(_("To hold the face where it was, head at: %s.") % ", ".join(held))
    if len(steps) > 1 and steps[0].ratio is not None:
        last = steps[-1]
        lines.append(
            _("From %(from)s to %(to)s: backdrop %(b0)s to %(b1)s, ratio %(r0)s to %(r1)s.")
            % {
                "from": steps[0].mark,
                "to": last.mark,
                "b0": figures.stops(steps[0].background_stops, say),
                "b1": figures.stops(last.background_stops, say),
                "r0": figures.ratio(steps[0].ratio, say),
                "r1": figures.ratio(last.ratio, say),
            }
        )
    return lines


def _lamp_lines(plan: SetPlan, say: Figures) -> list[str]:
    lines = []
    key = next((light for light in plan.lights if light.role == "key"), None)
    if key is not None and key.reading_mark:
        fall = key.fall_off
        lines.append(
            _("Key alone %(alone)s. Down the body: waist %(waist)s, feet %(feet)s; 10 cm: %(ten)s.")
            % {
                "alone": key.reading_mark,
                "waist": figures.stops(fall.waist_stops, say),
                "feet": figures.stops(fall.feet_stops, say),
                "ten": figures.stops(fall.ten_cm_stops, say),
            }
        )
    return [*lines, *_gap_line(plan, say)]


def _gap_line(plan: SetPlan, say: Figures) -> list[str]:
    """Return from which gap on the front lamp leaves the backdrop alone; no rim reaches it."""
    roles = {light.role for light in plan.lights}
    gap_m = plan.exposure.least_gap_m
    if gap_m is None or not roles & {"key", "fill"}:
        return []
    if "key" in roles:
        usual = _("Backdrop %s or more behind keeps the key's spill three stops down.")
        return [usual % say.length(gap_m)]
    filled = _("Backdrop %s or more behind gets the fill three stops weaker than the face.")
    return [filled % say.length(gap_m)]


def base_told(plan: SetPlan, say: Figures) -> str:
    """Return what a lesson's figures stand on while nobody has metered the base; else nothing."""
    exposure = plan.exposure
    if exposure.base_source == "metered" or not plan.ambient:
        return ""
    row = plan.ambient[0]
    low, high = row.low_stops, row.high_stops
    if plan.set.job == "fill":
        low, high = row.subject_low_stops, row.subject_high_stops
    return _(
        "Nobody has metered the base yet (%(source)s, %(spread)s stops): meter it first; what says "
        "“about” moves with it."
    ) % {"source": say.term(exposure.base_source), "spread": spread_words(low, high, say)}


def key_head(inputs: SetInputs) -> LightInputs | None:
    """Return the lamp whose power the ways to a wider aperture tell, as ``key_lamp`` does."""
    ranked = {"key": 0, "fill": 1}
    return min(inputs.lights, key=lambda light: ranked.get(light.role, 2), default=None)


def option_name(name: str) -> str:
    return {
        "as planned": _("as planned"),
        "nd": _("ND filter"),
        "hss": _("high-speed sync"),
        "shade": _("shade"),
    }.get(name, name)


def tone_table(plan: SetPlan, say: Figures) -> ToneTable:
    """Return each surface the front has not drawn, its stops and word at each ladder step."""
    drawn = {tone.surface for tone in patch_tones(plan)}
    found = {(tone.surface, tone.shutter_s): tone for tone in plan.tones}
    surfaces = tuple(
        dict.fromkeys(tone.surface for tone in plan.tones if tone.surface not in drawn)
    )
    rows = [
        (step.mark, tuple(_tone(found.get((name, step.shutter_s)), say) for name in surfaces))
        for step in plan.exposure.ladder
    ]
    return ToneTable(surfaces, tuple(rows))


def _tone(tone: Tone | None, say: Figures) -> str:
    if tone is None:
        return NOT_KNOWN
    state = "" if tone.state == "holds" else f" {say.term(tone.state)}"
    return figures.stops(tone.stops, say) + state


def sorted_cautions(plan: SetPlan) -> list[Caution]:
    return sorted(plan.cautions, key=lambda caution: LEVEL_ORDER.get(caution.level, 3))


def sun_rows(plan: SetPlan, say: Figures) -> list[SunLine]:
    """Return the sun at each instant with the light then."""
    return [
        SunLine(sun, sun_words(sun), light, spread_words(light.low_stops, light.high_stops, say))
        for sun, light in zip(plan.sun, plan.ambient, strict=True)
    ]


def sun_words(sun: SunRow) -> str:
    """Return where the sun stands for the photographer."""
    where = {
        "ahead": _("ahead"),
        "side": _("at the side"),
        "behind": _("behind you"),
        "down": _("down"),
    }[sun.stands]
    return f"{where}, {figures.aside(sun.from_camera_deg)}"


def spread_words(low: float, high: float, say: Figures) -> str:
    """Return a spread: "±0.7" where both sides round alike, else "−0.9 to +0.6"."""
    down, up = say.number(-low, 1), say.number(high, 1)
    if down == up:
        return f"±{up}"
    spread = {"low": figures.stops(low, say), "high": figures.stops(high, say)}
    return _("%(low)s to %(high)s") % spread
