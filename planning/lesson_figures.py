"""A set's plan -> the figures its lesson may ask for, in the house's units and language.

The names are those of ``planning.lesson.figure_names``; a figure the set does not have is None.
What the meter is expected to show, and every power, says "about" until it has been metered.
"""

from django.utils.translation import gettext as _

from planning.figures import NO_BREAK, Figures
from planning.lesson.figure_names import NAMES
from planning.lesson_lamp import about, in_stops, known, lamp_figures, side_counts
from planning.plan.inputs import SetInputs
from planning.plan.result import LadderStep, Option, SetPlan
from planning.templatetags import figures


def lesson_figures(plan: SetPlan, inputs: SetInputs, say: Figures) -> dict[str, str | None]:
    """Return every figure by its name; call it in the reader's language."""
    return {
        **dict.fromkeys(NAMES),
        **_base(plan, inputs, say),
        **_ladder(plan, say),
        **lamp_figures(plan, inputs, say),
        **_fill(plan),
        **_sun(plan, say),
        **_wide(plan, say),
        **_cloth(plan, inputs, say),
        **_times(plan, inputs, say),
        "day_ratio": _day_ratio(plan, say),
    }


def _base(plan: SetPlan, inputs: SetInputs, say: Figures) -> dict[str, str | None]:
    exposure = plan.exposure
    row = plan.ambient[0]
    return {
        "how_base": _how_base(plan, say),
        "base": about(figures.f_number(exposure.base_f_number), exposure.base_source),
        "under": in_stops(exposure.stops_under, say) if exposure.stops_under > 0 else None,
        "working": exposure.working_mark,
        "start": figures.shutter(exposure.start_s),
        "sync": figures.shutter(exposure.sync_s),
        "iso": figures.iso(exposure.iso),
        "white_balance": figures.kelvin(exposure.white_balance_k, say),
        "face": about(figures.f_number(exposure.face_ambient_f_number), row.subject_source),
        "focal": f"{say.number(inputs.focal_mm)}{NO_BREAK}mm",
        "camera_distance": say.length(inputs.camera_distance_m),
        "face_height": say.length(inputs.face_height_m),
    }


def _how_base(plan: SetPlan, say: Figures) -> str:
    placed = plan.exposure.placement_stops
    if plan.set.job == "fill":
        return _("meter on the sunny side of the face")
    if plan.exposure.base_kind == "incident":
        return _("meter at the backdrop, dome to the camera")
    where = {
        "spot": _("spot the backdrop and place it %(stops)s from mid-grey"),
        "sky": _("spot the sky and place it %(stops)s from mid-grey"),
    }
    level = {
        "spot": _("spot the backdrop, placed on mid-grey"),
        "sky": _("spot the sky, placed on mid-grey"),
    }
    kind = plan.exposure.base_kind
    return where[kind] % {"stops": figures.stops(placed, say)} if placed else level[kind]


def _ladder(plan: SetPlan, say: Figures) -> dict[str, str | None]:
    steps = plan.exposure.ladder
    if len(steps) < 2:
        return {}
    first, last = steps[0], steps[-1]
    held = [step.mark for step in steps if step.hand_held]
    return {
        "ladder": ", ".join(step.mark for step in steps),
        "slowest": last.mark,
        "hand_held": held[-1] if held and len(held) < len(steps) else None,
        "backdrop_first": _backdrop(plan, first, say),
        "backdrop_last": _backdrop(plan, last, say),
        "face_rise": in_stops(last.face_stops - first.face_stops, say),
        "ratio_first": _ratio(first, say),
        "ratio_last": _ratio(last, say) if _ratio(last, say) != _ratio(first, say) else None,
        "last_shutter": _last_shutter(plan),
    }


def _backdrop(plan: SetPlan, step: LadderStep, say: Figures) -> str | None:
    """Return the backdrop's tone, on the scale of the cloth: the ladder counts from its base."""
    behind = "sky" if plan.exposure.base_kind == "sky" else "backdrop"
    return _tone(plan, behind, step, say)


def _tone(plan: SetPlan, surface: str, step: LadderStep, say: Figures) -> str | None:
    tones = {(tone.surface, tone.shutter_s): tone.stops for tone in plan.tones}
    stops = tones.get((surface, step.shutter_s))
    return None if stops is None else figures.stops(stops, say)


def _last_shutter(plan: SetPlan) -> str | None:
    """Return what the schedule has for the last turn, and its ISO where that was raised."""
    rows = plan.exposure.schedule
    if not rows:
        return None
    last_at = max((turn.start_at for turn in plan.turns), default=plan.set.end_at)
    row = next((row for row in reversed(rows) if row.at <= last_at), rows[0])
    if row.iso == plan.exposure.iso:
        return row.mark
    return f"{row.mark}, {_('ISO %s') % figures.iso(row.iso)}"


def _ratio(step: LadderStep, say: Figures) -> str | None:
    return known(figures.ratio(step.ratio, say))


def _day_ratio(plan: SetPlan, say: Figures) -> str | None:
    row = plan.ambient[0]
    if plan.set.job != "fill":
        return None
    return figures.ratio(2 ** (row.subject_ev100 - row.shade_side_ev100), say)


def _fill(plan: SetPlan) -> dict[str, str | None]:
    fill = next((light for light in plan.lights if light.role == "fill"), None)
    if fill is None or plan.set.job == "fill" or not fill.set_power:
        return {}
    return {
        "fill": fill.modifier or fill.name,
        "fill_alone": known(fill.reading_mark),
        "fill_power": about(fill.power_mark),
    }


def _sun(plan: SetPlan, say: Figures) -> dict[str, str | None]:
    sun = plan.sun[0]
    shaded = {light.sun_side for light in plan.lights} == {"none"}
    if sun.stands == "down" or not sun.above_horizon_profile or shaded:
        return {}
    where = _("%(aside)s of where you look, %(height)s up") % {
        "aside": figures.aside(sun.from_camera_deg),
        "height": say.degrees(sun.elevation_deg),
    }
    behind = any(light.sun_side == "behind subject" for light in plan.lights)
    counts = any(side_counts(light) for light in plan.lights)
    side = _("right") if sun.from_camera_deg > 0 else _("left")
    return {
        "sun": where,
        "sun_side": side if counts and round(sun.from_camera_deg) else None,
        "sun_behind": figures.aside(sun.from_camera_deg) if behind else None,
        "shadow_length": known(say.length(sun.shadow_m)),
        "shadow_to": known(say.bearing(sun.shadow_toward_deg)),
    }


def _wide(plan: SetPlan, say: Figures) -> dict[str, str | None]:
    planned = next((way for way in plan.exposure.options if way.name == "as planned"), None)
    nd, hss = _way(plan, "nd"), _way(plan, "hss")
    open_way = nd or hss
    return {
        "wide": figures.f_number(open_way.camera_f_number) if open_way else None,
        "nd": in_stops(nd.nd_stops, say) if nd else None,
        "nd_aperture": figures.f_number(nd.camera_f_number) if nd else None,
        "hss_aperture": figures.f_number(hss.camera_f_number) if hss else None,
        "hss_shutter": figures.shutter(hss.shutter_s) if hss else None,
        "hss_power": about(figures.power(hss.power)) if hss else None,
        **_sharp("sharp", planned, say),
        **_sharp("wide", open_way, say),
    }


def _way(plan: SetPlan, name: str) -> Option | None:
    found = (way for way in plan.exposure.options if way.name == name and way.feasible)
    return next(found, None)


def _sharp(name: str, way: Option | None, say: Figures) -> dict[str, str | None]:
    if way is None:
        return {}
    far = _("infinity") if way.far_m is None else say.length(way.far_m)
    return {f"{name}_near": say.length(way.near_m), f"{name}_far": far}


def _cloth(plan: SetPlan, inputs: SetInputs, say: Figures) -> dict[str, str | None]:
    steps = plan.exposure.ladder
    name = inputs.wardrobe

    def tone(side: str, step: int) -> str | None:
        return _tone(plan, f"{name} {side}", steps[step], say) if name and steps else None

    return {
        "wardrobe": name[:1].upper() + name[1:] or None,
        "backdrop": inputs.backdrop or None,
        "cloth_lit": tone("lit", 0),
        "cloth_shaded": tone("shaded", 0),
        "cloth_shaded_last": tone("shaded", -1) if len(steps) > 1 else None,
    }


def _times(plan: SetPlan, inputs: SetInputs, say: Figures) -> dict[str, str | None]:
    exposure = plan.exposure
    return {
        "frames": say.number(inputs.frames_per_attendee),
        "turn": figures.span(inputs.turn_min, say),
        "falls": in_stops(max(0.0, -exposure.stops_per_10_min), say),
        "re_meter": known(figures.minutes(exposure.re_meter_min, say)),
        "end": say.clock(plan.set.end_at),
    }
