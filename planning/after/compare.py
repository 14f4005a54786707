"""One set as planned beside as it was: minutes, turns, frames, flashes, light, recipe, wind.

What nobody noted stays None: nothing is filled in, nothing is taken as zero.
"""

import math
from collections import Counter
from datetime import datetime
from itertools import pairwise
from statistics import median

from planning.after.answers import answered
from planning.after.compared import (
    Base,
    HeadRow,
    Limit,
    PersonRow,
    RecipePart,
    SetComparison,
    Wind,
)
from planning.after.drawdowns import off_share
from planning.after.results import HeadUse, PersonUse
from planning.after.seen import COUNTED, FROM_FRAMES, LATER, METERED, Pair, Recipe, SetDay
from planning.plan.result import BatteryRow, SetPlan
from planning.plan.stand import expected_gust


def compare_set(day: SetDay) -> SetComparison:
    """Return one set as it was beside its plan; without a plan the planned figures are None."""
    tally = day.tally
    minutes, turns, frames = _minutes(day), _turns(day), _frames(day)
    people = tuple(_person(day, one) for one in tally.people)
    heads = tuple(_head(day, one) for one in tally.heads)
    wind, base = _wind(day), _base(day)
    return SetComparison(
        set_id=tally.set_id,
        number=day.number,
        title=tally.title,
        place=day.place,
        timezone=day.timezone,
        reason=day.reason,
        began=Pair(tally.planned_start_at, tally.began_at, _told(day, "times", tally.began_at)),
        ended=Pair(tally.planned_end_at, tally.ended_at, _told(day, "times", tally.ended_at)),
        minutes=minutes,
        turns=turns,
        turn_min=_turn_min(day),
        frames=frames,
        people=people,
        heads=heads,
        base=base,
        recipe=tuple(_recipe(day)),
        wind=wind,
        sky=day.inputs.forecast.sky if day.inputs and day.inputs.forecast else "",
        skies=tally.skies,
        cautions=answered(day),
        misfires=tally.misfires,
        near_misses=tally.near_misses,
        notes=tally.notes,
        missing=_missing(day, base),
    )


def _told(day: SetDay, figure: str, value: object) -> tuple[str, ...]:
    """Return who says a figure noted by hand; nothing where there is none."""
    if value is None:
        return ()
    return (LATER,) if figure in day.later else (COUNTED,)


def _minutes(day: SetDay) -> Pair:
    tally = day.tally
    planned = (tally.planned_end_at - tally.planned_start_at).total_seconds() / 60.0
    over = tally.minutes_over
    return Pair(planned, None if over is None else planned + over, _told(day, "times", over))


def planned_turns(plan: SetPlan | None) -> Counter[str] | None:
    return Counter(turn.attendee for turn in plan.turns) if plan else None


def turns_noted(day: SetDay) -> bool:
    """Whether anybody kept the turns of this set: without, nobody's turns are known."""
    return any(one.turns or one.missed for one in day.tally.people)


def _turns(day: SetDay) -> Pair:
    planned = planned_turns(day.plan)
    given = sum(one.turns for one in day.tally.people) if turns_noted(day) else None
    return Pair(planned.total() if planned is not None else None, given, _told(day, "turns", given))


def _turn_min(day: SetDay) -> Pair:
    """The median from one turn noted to the next at the same station."""
    by_station: dict[str, list[datetime]] = {}
    for turn in day.turn_ends:
        by_station.setdefault(turn.station, []).append(turn.at)
    gaps = [
        (after - before).total_seconds() / 60.0
        for ends in by_station.values()
        for before, after in pairwise(sorted(ends))
    ]
    planned = day.inputs.turn_min + day.inputs.changeover_min if day.inputs else None
    actual = median(gaps) if gaps else None
    return Pair(planned, actual, (COUNTED,) if gaps else ())


def _person(day: SetDay, one: PersonUse) -> PersonRow:
    planned = planned_turns(day.plan)
    turns = one.turns if turns_noted(day) else None
    files = _files_of(day, one.booking_id)
    asked = day.inputs.frames_per_attendee if day.inputs else None
    frames = Pair(asked, one.frames, _told(day, "frames", one.frames))
    if one.frames is None and files is not None:
        frames = Pair(asked, files, (FROM_FRAMES,))
    return PersonRow(
        booking_id=one.booking_id,
        name=one.name,
        turns=Pair(
            planned[one.name] if planned is not None else None, turns, _told(day, "turns", turns)
        ),
        missed=one.missed if turns is not None else None,
        frames=frames,
        files=files if one.frames is not None and files != one.frames else None,
        misfires=one.misfires,
    )


def _files_of(day: SetDay, booking_id: int) -> int | None:
    """Frames of somebody's own turns by their files; None where no file of theirs is there."""
    if day.frames is None:
        return None
    own, other = day.frames.by_booking, day.frames.other_by_booking
    if booking_id not in own and booking_id not in other:
        return None
    return own.get(booking_id, 0)


def _frames(day: SetDay) -> Pair:
    rows = [_person(day, one).frames for one in day.tally.people]
    return added(rows)


def added(pairs: list[Pair]) -> Pair:
    """Return the sum of the pairs that were noted, planned and actual of the same ones."""
    noted = [one for one in pairs if one.actual is not None]
    if not noted:
        planned = [one.planned for one in pairs if one.planned is not None]
        return Pair(sum(planned) if planned else None)
    known = all(one.planned is not None for one in noted)
    sources = dict.fromkeys(source for one in noted for source in one.sources)
    return Pair(
        sum(one.planned for one in noted) if known else None,
        sum(one.actual for one in noted),
        tuple(sources),
    )


def _head(day: SetDay, head: HeadUse) -> HeadRow:
    row = _planned_row(day.plan, head.light)
    planned, share = head.planned_flashes, head.planned_share
    if row is not None:
        planned, share = row.flashes, row.charge_share
    flashes, full = head.flashes, head.full_power_flashes
    told = _told(day, "flashes", flashes)
    seen = day.frames.flashed if day.frames else None
    if flashes is None and seen:
        flashes, told = seen, (FROM_FRAMES,)
        full = None if head.power is None else seen * head.power
    used = [pack.used_share for pack in head.packs]
    charge = sum(used) if used and None not in used else None
    tags = [pack.tag for pack in head.packs]
    return HeadRow(
        light=head.light,
        strobe=head.strobe,
        flashes=Pair(planned, flashes, told),
        full_power=Pair(
            row.full_power_flashes if row else None, full, told if full is not None else ()
        ),
        power=head.power,
        power_source=head.power_source,
        charge=Pair(share, charge, _told(day, "packs", charge)),
        within_share=math.hypot(*(off_share(pack.within_share) for pack in head.packs)),
        tags=tuple(dict.fromkeys(tags)),
        swaps=sum(a != b for a, b in pairwise(tags)) if tags else None,
    )


def _planned_row(plan: SetPlan | None, light: str) -> BatteryRow | None:
    pairs = zip(plan.lights, plan.battery, strict=True) if plan else ()
    return next((row for one, row in pairs if one.name == light), None)


def _base(day: SetDay) -> Base | None:
    """The base at the beginning of the set; None without a plan."""
    plan, metered = day.plan, day.metered
    if plan is None:
        return None
    line = plan.exposure
    estimated = line.base_exact_f_number if line.base_source != METERED else None
    was_metered = metered is not None and metered.exposure.base_source == METERED
    if not was_metered:
        return Base(Pair(estimated), line.start_s, line.iso, None)
    if estimated is None:  # too dark for an estimate: the reading alone made the plan
        found = Pair(None, metered.exposure.base_exact_f_number, (METERED,))
        return Base(found, metered.exposure.start_s, metered.exposure.iso, None)
    moved = _base_ev100(metered) - _base_ev100(plan)
    read = estimated * 2.0 ** (moved / 2.0)
    return Base(Pair(estimated, read, (METERED,)), line.start_s, line.iso, moved)


def _base_ev100(plan: SetPlan) -> float:
    row = plan.ambient[0]
    return row.subject_ev100 if plan.set.job == "fill" else row.background_ev100


def _recipe(day: SetDay) -> list[RecipePart]:
    """The camera's line and each lamp's power, each difference as it moves the exposure."""
    locked, line = day.recipe, day.plan.exposure if day.plan else None
    if locked is None and line is None:
        return []
    told = _told(day, "recipe", locked)
    planned = Recipe(line.working_f_number, line.start_s, line.iso) if line else None

    def part(what: str, name: str, stops_of_doubling: float) -> RecipePart:
        values = [getattr(one, name) if one else None for one in (planned, locked)]
        return RecipePart(what, "", Pair(*values, told), _stops(*values, stops_of_doubling))

    parts = [
        part("aperture", "f_number", -2.0),
        part("shutter", "shutter_s", 1.0),
        part("iso", "iso", 1.0),
    ]
    lights = {one.name: one.set_power for one in day.plan.lights} if day.plan else {}
    powers = dict(locked.powers) if locked else {}
    for name in dict.fromkeys([*lights, *powers]):
        values = lights.get(name) or None, powers.get(name)
        source = told if values[1] is not None else ()
        parts.append(RecipePart("power", name, Pair(*values, source), _stops(*values, 1.0)))
    return parts


def _stops(planned: float | None, actual: float | None, stops_of_doubling: float) -> float | None:
    if planned is None or actual is None:
        return None
    return stops_of_doubling * math.log2(actual / planned)


def _wind(day: SetDay) -> Wind:
    expected, source = expected_gust(day.inputs) if day.inputs else (None, "none")
    met = day.tally.gusts_m_s
    strongest = max((gust for _at, gust in met), default=None)
    return Wind(
        gust=Pair(expected, strongest, _told(day, "gusts", strongest)),
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


def _missing(day: SetDay, base: Base | None) -> tuple[str, ...]:
    """What nobody noted of this set, by name; a plan's forecast alone asks for gusts."""
    people = [_person(day, one) for one in day.tally.people]
    heads = [_head(day, one) for one in day.tally.heads]
    lacks = {
        "times": day.tally.began_at is None or day.tally.ended_at is None,
        "turns": "turns" in day.tally.missing,
        "frames": any(one.frames.actual is None for one in people),
        "flashes": any(one.flashes.actual is None for one in heads),
        "packs": any(one.charge.planned is not None and one.charge.actual is None for one in heads),
        "recipe": day.recipe is None,
        "base": base is not None and base.f_number.actual is None,
        "gusts": not day.tally.gusts_m_s,
        "sky": not day.tally.skies,
    }
    return tuple(name for name, lacking in lacks.items() if lacking)
