"""Base, recipe and wind of one set: what was expected beside what was metered, locked and met."""

import math

from planning.after.compared import Base, Limit, RecipePart, Wind
from planning.after.seen import METERED, Pair, Recipe, SetDay, told
from planning.plan.result import SetPlan
from planning.plan.stand import expected_gust


def base_of(day: SetDay) -> Base | None:
    """The base at the beginning of the set; None without a plan."""
    plan, metered = day.plan, day.metered
    if plan is None:
        return None
    line, row = plan.exposure, plan.ambient[0]
    spread = (row.low_stops, row.high_stops)
    if plan.set.job == "fill":
        spread = (row.subject_low_stops, row.subject_high_stops)
    estimated = line.base_exact_f_number if line.base_source != METERED else None
    if metered is None or metered.exposure.base_source != METERED:
        return Base(Pair(estimated), line.start_s, line.iso, *spread)
    if estimated is None:  # too dark for an estimate: the reading alone made the plan
        read = metered.exposure
        found = Pair(None, read.base_exact_f_number, (METERED,))
        return Base(found, read.start_s, read.iso, *spread)
    moved = _base_ev100(metered) - _base_ev100(plan)
    read = estimated * 2.0 ** (moved / 2.0)
    return Base(Pair(estimated, read, (METERED,)), line.start_s, line.iso, *spread, moved)


def _base_ev100(plan: SetPlan) -> float:
    row = plan.ambient[0]
    return row.subject_ev100 if plan.set.job == "fill" else row.background_ev100


def recipe_of(day: SetDay) -> list[RecipePart]:
    """The camera's line and each lamp's power, each difference as it moves the exposure."""
    locked, line = day.recipe, day.plan.exposure if day.plan else None
    if locked is None and line is None:
        return []
    source = told(day, "recipe", locked)
    planned = Recipe(line.working_f_number, line.start_s, line.iso) if line else None

    def part(what: str, name: str, stops_of_doubling: float) -> RecipePart:
        values = [getattr(one, name) if one else None for one in (planned, locked)]
        return RecipePart(what, "", Pair(*values, source), _stops(*values, stops_of_doubling))

    parts = [
        part("aperture", "f_number", -2.0),
        part("shutter", "shutter_s", 1.0),
        part("iso", "iso", 1.0),
    ]
    lights = {one.name: one.set_power for one in day.plan.lights} if day.plan else {}
    powers = dict(locked.powers) if locked else {}
    heads = {one.name: one for one in day.inputs.lights} if day.inputs else {}
    for name in dict.fromkeys([*lights, *powers]):
        values = lights.get(name) or None, powers.get(name)
        found = Pair(*values, source if values[1] is not None else ())
        parts.append(RecipePart("power", name, found, _stops(*values, 1.0), heads.get(name)))
    return parts


def _stops(planned: float | None, actual: float | None, stops_of_doubling: float) -> float | None:
    if planned is None or actual is None:
        return None
    return stops_of_doubling * math.log2(actual / planned)


def wind_of(day: SetDay) -> Wind:
    expected, source = expected_gust(day.inputs) if day.inputs else (None, "none")
    met = day.tally.gusts_m_s
    strongest = max((gust for _at, gust in met), default=None)
    return Wind(
        gust=Pair(expected, strongest, told(day, "gusts", strongest)),
        forecast_source=source,
        met=met,
        limits=tuple(_limits(day.plan, strongest)) if day.plan else (),
    )


def _limits(plan: SetPlan, strongest: float | None) -> list[Limit]:
    """The gusts at which a stand wants something, the gravest first, each lower than the last."""
    found = []
    for light in plan.lights:
        if light.stand is None:
            continue
        stand = light.stand
        gusts = (
            ("strike", stand.strike_above_m_s),
            ("modifier off", stand.off_above_m_s),
            ("hold", stand.hold_above_m_s),
            ("more ballast", stand.bag_holds_to_m_s),
        )
        lowest = math.inf
        for what, gust in gusts:
            if gust is not None and gust < lowest:
                lowest = gust
                passed = None if strongest is None else strongest > gust
                found.append(Limit(light.name, what, gust, passed))
    return found
