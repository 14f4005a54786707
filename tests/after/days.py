"""A set after its day, by hand: the plain day of ``tests.planning.day`` and what was noted."""

from dataclasses import replace
from datetime import datetime, timedelta

from planning.after.results import HeadUse, PackUse, PersonUse, SetTally
from planning.after.seen import SetDay
from planning.plan import evaluate
from planning.plan.inputs import SetInputs
from tests.planning import day

NOBODY = ()


def at(minutes: float, start: datetime = day.START) -> datetime:
    return start + timedelta(minutes=minutes)


def pack(tag: str, in_share, out_share, *, light="octa", begins=0.0, ends=70.0, within=0.02):
    return PackUse(ord(tag[-1]), tag, light, at(begins), in_share, at(ends), out_share, within)


def person(number: int, turns=0, *, missed=0, frames=None, misfires=0) -> PersonUse:
    return PersonUse(number, day.PEOPLE[number], turns, missed, frames, misfires)


def head(inputs: SetInputs = day.SET, place: int = 0, **changes) -> HeadUse:
    """One lamp as the plan asks it, nothing noted but what is given."""
    plan = evaluate(inputs)
    light, row = plan.lights[place], plan.battery[place]
    given = {
        "light": light.name,
        "strobe": row.strobe,
        "planned_flashes": row.flashes,
        "planned_share": row.charge_share,
        "flashes": None,
        "full_power_flashes": None,
        "power": light.set_power,
        "power_source": "planned",
    }
    return HeadUse(**{**given, **changes})


def tally(inputs: SetInputs = day.SET, **changes) -> SetTally:
    """What was noted of a set: nothing, but what is given."""
    given = {
        "set_id": inputs.id,
        "title": inputs.title,
        "planned_start_at": inputs.start_at,
        "planned_end_at": inputs.end_at,
        "began_at": None,
        "ended_at": None,
        "heads": tuple(head(inputs, place) for place in range(len(inputs.lights))),
        "people": tuple(
            PersonUse(number, one.name, 0, 0, None, 0)
            for number, one in enumerate(inputs.attendees)
        ),
    }
    return SetTally(**{**given, **changes})


def set_day(noted: SetTally | None = None, inputs: SetInputs = day.SET, **changes) -> SetDay:
    """A set with its plan of before the day, its readings left to ``metered``."""
    before = replace(inputs, readings=())
    given = {
        "number": inputs.set_index + 1,
        "place": inputs.location.name,
        "timezone": inputs.location.timezone,
        "tally": noted or tally(inputs),
        "plan": evaluate(before),
        "inputs": inputs,
        "metered": evaluate(inputs),
    }
    return SetDay(**{**given, **changes})
