"""What a meter reading moved in a plan: the old and the new figures, in words."""

import math
from datetime import datetime

from django.utils.translation import gettext as _

from planning.figures import Figures
from planning.models import Reading
from planning.plan.result import Light, SetPlan
from planning.templatetags import figures

SEEN_STOPS = 0.05  # a difference that shows in tenths of a stop
STALE_MIN = 60  # minutes before or after the set a reading may lie without a word: common practice


def moved(before: SetPlan | None, after: SetPlan | None, say: Figures) -> list[str]:
    """Return a sentence for the base, the camera, each lamp and the ratio; old beside new."""
    if after is None:
        return []
    if before is None:
        return [_base_alone(after), _camera_alone(after)]
    told = [_base(before, after, say), _camera(before, after), *_lamps(before, after)]
    told += [_ratio(before, after, say)]
    found = [sentence for sentence in told if sentence]
    return found or [_("It moves nothing: everything stays as it was.")]


def doubts(
    reading: Reading, before: SetPlan | None, after: SetPlan | None, *, now: datetime, say: Figures
) -> list[str]:
    """Return what to look at again: flash in it, an odd hour, a base far from its estimate."""
    if reading.flash_in:
        return [
            _(
                "Flash was in it, so it says nothing of the daylight and replaces nothing: read "
                "the base with the flash off."
            )
        ]
    found = [_odd_hour(reading, now, say), _far_off(before, after, say)]
    return [sentence for sentence in found if sentence]


def _base_alone(after: SetPlan) -> str:
    told = {"base": _base_mark(after), "source": _source(after)}
    return _("Base %(base)s, %(source)s.") % told


def _camera_alone(after: SetPlan) -> str:
    return _("Work at %(camera)s.") % {"camera": _line(after)}


def _base(before: SetPlan, after: SetPlan, say: Figures) -> str:
    was, now = _base_mark(before), _base_mark(after)
    sources = {"source_was": _source(before), "source": _source(after)}
    told = {"was": was, "now": now, **sources, "stops": figures.stops(_shift(before, after), say)}
    if was == now and sources["source_was"] == sources["source"]:
        return ""
    if was == now:
        return _("Base %(now)s holds: it was %(source_was)s, it is %(source)s.") % told
    if before.exposure.start_s != after.exposure.start_s:
        # Aperture first: the base's mark stands, the shutter follows; the light is told in stops.
        return _("Base was %(was)s, %(source_was)s; it is %(now)s, %(source)s.") % told
    return _("Base was %(was)s, %(source_was)s; it is %(now)s, %(source)s: %(stops)s stops.") % told


def _camera(before: SetPlan, after: SetPlan) -> str:
    was, now = _line(before), _line(after)
    if was == now:
        return _("Work at %(now)s, as before.") % {"now": now}
    return _("Work at %(now)s; it was %(was)s.") % {"now": now, "was": was}


def _lamps(before: SetPlan, after: SetPlan) -> list[str]:
    old = {light.name: light for light in before.lights}
    told = []
    for light in after.lights:
        was, now = old.get(light.name), _power(light)
        if was is None or _power(was) == now:
            continue
        words = {"lamp": light.name, "now": now, "was": _power(was)}
        told.append(_("%(lamp)s at %(now)s; it was %(was)s.") % words)
    return told


def _ratio(before: SetPlan, after: SetPlan, say: Figures) -> str:
    was, now = (
        figures.ratio(plan.exposure.ladder[0].ratio if plan.exposure.ladder else None, say)
        for plan in (before, after)
    )
    if was == now:
        return ""
    return _("Lit to shadow %(now)s; it was %(was)s.") % {"now": now, "was": was}


def _odd_hour(reading: Reading, now: datetime, say: Figures) -> str:
    planned_set = reading.planned_set
    if reading.at > now:
        return _(
            "Its time is still to come, so this is a trial: delete it before the day, and read "
            "again on the spot."
        )
    early_min = (planned_set.start_at - reading.at).total_seconds() / 60.0
    late_min = (reading.at - planned_set.end_at).total_seconds() / 60.0
    if early_min > STALE_MIN:
        sentence = _(
            "Read %(time)s before the set: the plan carries it on by the change of the daylight "
            "alone. Read again when the set begins."
        )
        return sentence % {"time": _span(early_min)}
    if late_min > STALE_MIN:
        sentence = _(
            "Read %(time)s after the set: the plan carries it back by the change of the daylight "
            "alone."
        )
        return sentence % {"time": _span(late_min)}
    return ""


def _span(minutes: float) -> str:
    hours, rest = divmod(round(minutes), 60)
    return _("%(hours)d h %(minutes)02d") % {"hours": hours, "minutes": rest}


def _far_off(before: SetPlan | None, after: SetPlan | None, say: Figures) -> str:
    """Say where a base lies outside what the estimate it replaces allows: a slip, or news."""
    if before is None or after is None or before.exposure.base_source != "estimate":
        return ""
    row = before.ambient[0]
    fill = before.set.job == "fill"
    low = row.subject_low_stops if fill else row.low_stops
    high = row.subject_high_stops if fill else row.high_stops
    shift = _shift(before, after)
    if low - SEEN_STOPS <= shift <= high + SEEN_STOPS:
        return ""
    told = {
        "stops": figures.stops(shift, say),
        "low": figures.stops(low, say),
        "high": figures.stops(high, say),
    }
    return (
        _(
            "That is %(stops)s stops from the estimate, which allowed %(low)s to %(high)s: look "
            "once more at what was metered, the shutter and the ISO. If it holds, the light is "
            "another."
        )
        % told
    )


def _shift(before: SetPlan, after: SetPlan) -> float:
    """Stops by which the base light is brighter now, whatever shutter and ISO it is said at."""
    return _base_ev100(after) - _base_ev100(before)


def _base_ev100(plan: SetPlan) -> float:
    one = plan.exposure
    return 2.0 * math.log2(one.base_exact_f_number) - math.log2(one.start_s * one.iso / 100.0)


def _base_mark(plan: SetPlan) -> str:
    return figures.f_number(plan.exposure.base_f_number)


def _source(plan: SetPlan) -> str:
    """How the base is known, after "Base f/8,": one of three whole phrases."""
    return {
        "metered": _("metered"),
        "own": _("by an own reading of an earlier day"),
        "estimate": _("by estimate"),
    }[plan.exposure.base_source]


def _line(plan: SetPlan) -> str:
    one = plan.exposure
    iso = _("ISO %(iso)s") % {"iso": figures.iso(one.iso)}
    return f"{one.working_mark} {figures.shutter(one.start_s)} {iso}"


def _power(light: Light) -> str:
    mark = figures.term(light.power_mark)
    return mark if light.verdict == "fits" else f"{mark} ({figures.term(light.verdict)})"
