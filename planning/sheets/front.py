"""The front of a set sheet: what cold hands need, in the order they need it."""

import math
from dataclasses import dataclass

from django.utils.translation import gettext as _

from planning.figures import NOT_KNOWN, Figures
from planning.plan.inputs import LightInputs, SetInputs
from planning.plan.result import BodyLine, Caution, Light, SetPlan, Tone, Turn
from planning.plan.words import Words
from planning.templatetags import figures

PATCH_SURFACES = ("skin lit", "skin shaded", "white cloth lit", "black cloth lit")
BACKDROP_SURFACES = ("backdrop", "sky")  # the first that has a tone stands for what is behind
LEAST_RESIDUAL_STOPS = 0.095  # what prints as a tenth
FRONTAL = ("key", "fill")  # lamps whose shadow shows beside the sun's
SPOKEN_CODES = ("wind-", "thunder", "tide")  # stop cautions that have their own words above


@dataclass(frozen=True)
class Room:
    """How much of each list the front carries; what is over goes to the continued page."""

    plan_view_mm: float
    lights: int = 3
    turns: int = 8
    bodies: int = 3
    stops: int = 10
    pencil_mm: float = 13.0
    tight: bool = False
    dense: bool = False  # tight, and its lines closer, before anything goes to another page


@dataclass(frozen=True)
class LightBlock:
    light: Light
    given: LightInputs
    stand_words: str
    grave: bool  # the stand wants more than a bag
    off_mark: bool  # the head's step leaves a tenth of a stop or more
    sun_height_m: float | None  # of the lamp that meets the sun's angle; None: no such rule now


@dataclass(frozen=True)
class TurnLine:
    turn: Turn
    camera: str  # shutter and ISO of this turn where the light falls, else empty
    holders: str  # their names, as many as the column holds
    meters: bool  # whether the base is metered again before any turn of the set
    stationed: bool  # whether any turn of the set has a station: then every row has a place for it


@dataclass(frozen=True)
class OwnLine:
    names: str
    marks: str
    reason: Words | str


def turn_lines(plan: SetPlan) -> list[TurnLine]:
    """Return everybody's turn, with its own shutter and ISO where a schedule gives them."""
    schedule = {row.at: row for row in plan.exposure.schedule}
    meters = any(turn.re_meter for turn in plan.turns)
    stationed = any(turn.station for turn in plan.turns)
    lines = []
    for turn in plan.turns:
        row = schedule.get(turn.start_at)
        iso = _("ISO %s") % figures.iso(row.iso) if row else ""
        camera = f"{row.mark} {iso}" if row else ""
        holders = ", ".join(figures.short(name, 18 // len(turn.holders)) for name in turn.holders)
        lines.append(TurnLine(turn, camera, holders, meters, stationed))
    return lines


def stop_line(plan: SetPlan, inputs: SetInputs, say: Figures) -> list[str]:
    """Return what ends the set, gravest first, each in a few words. Thunder always ends it."""
    said = []
    if inputs.forecast and inputs.forecast.thunder:
        said.append(_("THUNDER FORECAST: do not rig"))
    said += _wind_words(plan, inputs, say)
    said += _water_words(plan, say)
    said += [_stop_words(caution, say) for caution in plan.cautions if _says_more(caution)]
    said.append(_("thunder = stop"))
    return said


def _wind_words(plan: SetPlan, inputs: SetInputs, say: Figures) -> list[str]:
    """Return when each modifier comes off and where its stand falls, alike ones together."""
    thunder = bool(inputs.forecast and inputs.forecast.thunder)
    together: dict[tuple[str, str, str], list[str]] = {}
    no_gust: list[str] = []
    stands = [light for light in plan.lights if light.stand is not None]
    for light in sorted(stands, key=lambda light: light.stand.off_above_m_s or 0.0):
        stand = light.stand
        verdict = "" if thunder and stand.verdict == "strike" else stand.verdict
        now = verdict in ("strike", "modifier off")
        gust_m_s = stand.gust_m_s if now else stand.off_above_m_s
        if gust_m_s is None and not now:
            continue
        what = figures.short(light.modifier or light.name, 24)
        if now and stand.off_above_m_s == 0.0:
            # No gust is small enough: the reason is the stand's own.
            words = {"what": what, "reason": say.words(stand.reason)}
            no_gust.append(_("%(what)s OFF: %(reason)s") % words)
            continue
        gust = say.speed(gust_m_s) if now else say.limit_speed(gust_m_s)
        if not now:
            verdict = "limit" if gust_m_s >= stand.strike_above_m_s else ""
        key = (verdict, gust, say.bearing(stand.fall_toward_deg))
        together.setdefault(key, []).append(what)
    said = [_gust_words(*key, ", ".join(names)) for key, names in together.items()]
    return [*no_gust, *said, *_ballast_words(stands, say)]


def _ballast_words(stands: list[Light], say: Figures) -> list[str]:
    """Return from which gust what is hung is too little, where that comes before anything else."""
    together: dict[str, list[str]] = {}
    for light in stands:
        stand = light.stand
        first_m_s = min(stand.off_above_m_s or 0.0, stand.hold_above_m_s or math.inf)
        if stand.verdict in ("bag", "no forecast") and stand.bag_holds_to_m_s < first_m_s:
            gust = say.limit_speed(stand.bag_holds_to_m_s)
            what = figures.short(light.modifier or light.name, 24)
            together.setdefault(gust, []).append(what)
    pattern = _("gust %(gust)s = more ballast on %(what)s")
    return [pattern % {"gust": gust, "what": ", ".join(all_)} for gust, all_ in together.items()]


def _gust_words(verdict: str, gust: str, toward: str, what: str) -> str:
    patterns = {
        "strike": _("%(what)s DOWN, gust expected %(gust)s"),
        "modifier off": _("%(what)s OFF, gust expected %(gust)s"),
        "limit": _("gust %(gust)s = %(what)s down"),
    }
    pattern = patterns.get(verdict, _("gust %(gust)s = %(what)s off"))
    words = pattern % {"what": what, "gust": gust}
    if gust == NOT_KNOWN:
        words = _("%(what)s OFF, see stands on the back") % {"what": what}
    if toward == NOT_KNOWN:
        return words
    return words + ", " + _("falls toward %s") % toward


def _water_words(plan: SetPlan, say: Figures) -> list[str]:
    water = plan.water
    if water is None or water.clear_by_at is None:
        return []
    return [
        _("start striking %(strike)s, off the shore by %(clear)s")
        % {"strike": say.clock(water.strike_from_at), "clear": say.clock(water.clear_by_at)}
    ]


def _says_more(caution: Caution) -> bool:
    own = caution.code.startswith(SPOKEN_CODES) and caution.code != "tide-unknown"
    return caution.level == "stop" and not own


def _stop_words(caution: Caution, say: Figures) -> str:
    short = {
        "photosensitive": _("flash-sensitive person here: one live trigger, no bursts"),
        "minors": _("somebody under age, no guardian recorded"),
        "tide-unknown": _("no tide table: do not go out"),
        "trees": _("gusts under trees: leave the wood"),
        "ballast-short": _("ballast too light for the gust: see KEY line and stands"),
        "mains-water": _("mains near water: battery heads only"),
        "stands-flood": _("water reaches the stands during the set"),
        "head-limit": _("more heads than the permit allows"),
    }
    return short.get(caution.code) or figures.cut(say.words(caution.text), 80)


def light_blocks(plan: SetPlan, inputs: SetInputs, say: Figures) -> list[LightBlock]:
    given = {light.name: light for light in inputs.lights}
    # A lamp that fills stands across from the sun; under a high one its side alone is matched.
    low_sun = plan.set.job != "fill" and all(one.code != "sun-high" for one in plan.cautions)
    return [
        LightBlock(
            light=light,
            given=given[light.name],
            stand_words=_stand_words(light, say),
            grave=light.stand is not None and light.stand.verdict != "bag",
            off_mark=abs(light.residual_stops) >= LEAST_RESIDUAL_STOPS,
            sun_height_m=light.matching_height_m if low_sun and light.role in FRONTAL else None,
        )
        for light in plan.lights
    ]


def _stand_words(light: Light, say: Figures) -> str:
    stand = light.stand
    if stand is None:
        return _("hand held")
    hang = say.need_mass(max(stand.need_hung_kg or 0.0, stand.bag_kg))
    return {
        "bag": _("hang %s") % hang,
        "hold": _("somebody HOLDS the stand, hang %s") % hang,
        "modifier off": _("modifier OFF"),
        "strike": _("STRIKE, do not rig"),
        "no forecast": _("no gust known: bag, and measure"),
    }[stand.verdict]


def own_lines(plan: SetPlan) -> list[OwnLine]:
    """Return the bodies off the group's line, those with the same settings together."""
    together: dict[tuple, list[BodyLine]] = {}
    for line in plan.exposure.own_lines:
        key = (line.f_mark, line.shutter_mark, line.iso_mark, line.reason)
        together.setdefault(key, []).append(line)
    group_shutter = plan.exposure.ladder[0].mark if plan.exposure.ladder else ""
    lines = []
    for (f_mark, shutter_mark, iso_mark, reason), bodies in together.items():
        names = ", ".join(figures.short(body.attendee, 24) for body in bodies)
        marks = ""
        if f_mark:
            iso = _("ISO %s") % iso_mark
            marks = f"{f_mark} {iso}"
            if shutter_mark != group_shutter:
                marks = f"{f_mark} {shutter_mark} {iso}"
        lines.append(OwnLine(names, marks, reason))
    return lines


def patch_tones(plan: SetPlan) -> list[Tone]:
    """Return the tones drawn on the front: what is behind, skin, white and black cloth."""
    present = {tone.surface for tone in plan.tones}
    behind = next((name for name in BACKDROP_SURFACES if name in present), None)
    wanted = [behind, *PATCH_SURFACES] if behind else list(PATCH_SURFACES)
    order = {name: place for place, name in enumerate(wanted)}
    return sorted(
        (tone for tone in plan.tones if tone.surface in order),
        key=lambda tone: (tone.shutter_s, order[tone.surface]),
    )


def shutter_marks(plan: SetPlan) -> dict[float, str]:
    return {step.shutter_s: step.mark for step in plan.exposure.ladder}
