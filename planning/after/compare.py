"""One set as planned beside as it was: minutes, turns, frames, flashes, light, recipe, wind.

What nobody noted stays None: nothing is filled in, nothing is taken as zero.
"""

import math
from collections import Counter
from datetime import datetime
from itertools import pairwise
from statistics import median

from planning.after.answers import answered
from planning.after.compared import Base, HeadRow, PersonRow, SetComparison
from planning.after.conditions import base_of, recipe_of, wind_of
from planning.after.drawdowns import off_share
from planning.after.results import HeadUse, PersonUse
from planning.after.seen import FROM_FRAMES, NOTED, Pair, SetDay, told
from planning.plan.result import BatteryRow, SetPlan


def compare_set(day: SetDay) -> SetComparison:
    """Return one set as it was beside its plan; without a plan the planned figures are None."""
    tally = day.tally
    minutes, turns, frames = _minutes(day), _turns(day), _frames(day)
    people = tuple(_person(day, one) for one in tally.people)
    heads = tuple(_head(day, one) for one in tally.heads)
    base = base_of(day)
    return SetComparison(
        set_id=tally.set_id,
        number=day.number,
        title=tally.title,
        place=day.place,
        timezone=day.timezone,
        reason=day.reason,
        began=Pair(tally.planned_start_at, tally.began_at, told(day, "times", tally.began_at)),
        ended=Pair(tally.planned_end_at, tally.ended_at, told(day, "times", tally.ended_at)),
        minutes=minutes,
        turns=turns,
        turn_min=_turn_min(day),
        frames=frames,
        people=people,
        heads=heads,
        base=base,
        recipe=tuple(recipe_of(day)),
        wind=wind_of(day),
        sky=day.inputs.forecast.sky if day.inputs and day.inputs.forecast else "",
        skies=tally.skies,
        cautions=answered(day),
        misfires=tally.misfires,
        near_misses=tally.near_misses,
        notes=tally.notes,
        missing=_missing(day, base),
    )


def _minutes(day: SetDay) -> Pair:
    tally = day.tally
    planned = (tally.planned_end_at - tally.planned_start_at).total_seconds() / 60.0
    over = tally.minutes_over
    return Pair(planned, None if over is None else planned + over, told(day, "times", over))


def planned_turns(plan: SetPlan | None) -> Counter[str] | None:
    return Counter(turn.attendee for turn in plan.turns) if plan else None


def turns_noted(day: SetDay) -> bool:
    """Whether anybody kept the turns of this set: without, nobody's turns are known."""
    return any(one.turns or one.missed for one in day.tally.people)


def _turns(day: SetDay) -> Pair:
    planned = planned_turns(day.plan)
    given = sum(one.turns for one in day.tally.people) if turns_noted(day) else None
    return Pair(planned.total() if planned is not None else None, given, told(day, "turns", given))


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
    return Pair(planned, actual, (NOTED,) if gaps else ())


def _person(day: SetDay, one: PersonUse) -> PersonRow:
    planned = planned_turns(day.plan)
    turns = one.turns if turns_noted(day) else None
    files = _files_of(day, one.booking_id)
    asked = day.inputs.frames_per_attendee if day.inputs else None
    frames = Pair(asked, one.frames, told(day, "frames", one.frames))
    if one.frames is None and files is not None:
        frames = Pair(asked, files, (FROM_FRAMES,))
    return PersonRow(
        booking_id=one.booking_id,
        name=one.name,
        turns=Pair(
            planned[one.name] if planned is not None else None, turns, told(day, "turns", turns)
        ),
        missed=one.missed if turns is not None else None,
        frames=frames,
        files=files if one.frames is not None and files != one.frames else None,
        misfires=one.misfires,
    )


def _files_of(day: SetDay, booking_id: int) -> int | None:
    """Frames of somebody's own turns by their files; None where there is none of them.

    Files that all lie outside own turns tell of a clock or of somebody else's turn, not of none.
    """
    return day.frames.by_booking.get(booking_id) if day.frames else None


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
    source = told(day, "flashes", flashes)
    seen = day.frames.flashed if day.frames else None
    if flashes is None and seen:
        flashes, source = seen, (FROM_FRAMES,)
        full = None if head.power is None else seen * head.power
    used = [pack.used_share for pack in head.packs]
    charge = sum(used) if used and None not in used else None
    tags = [pack.tag for pack in head.packs]
    return HeadRow(
        light=head.light,
        strobe=head.strobe,
        flashes=Pair(planned, flashes, source),
        full_power=Pair(
            row.full_power_flashes if row else None, full, source if full is not None else ()
        ),
        power=head.power,
        power_source=head.power_source,
        charge=Pair(share, charge, told(day, "packs", charge)),
        within_share=math.hypot(*(off_share(pack.within_share) for pack in head.packs)),
        tags=tuple(dict.fromkeys(tags)),
        swaps=sum(a != b for a, b in pairwise(tags)) if tags else None,
    )


def _planned_row(plan: SetPlan | None, light: str) -> BatteryRow | None:
    pairs = zip(plan.lights, plan.battery, strict=True) if plan else ()
    return next((row for one, row in pairs if one.name == light), None)


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
