"""The turns of a set: dealt by the lesson's rules, with triggers, prompts and where time ends."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from planning.lesson.jobs import Crew
from planning.lesson.turns import Comer, Dealt, Noted, Pace, deal
from planning.plan.ambient import local
from planning.plan.group import Served
from planning.plan.inputs import SetInputs
from planning.plan.low_light import BaseCurve, re_meter_min
from planning.plan.result import Light, Turn

SLACK = timedelta(seconds=30)  # nobody's watch is better
RE_METER_STOPS = 1 / 3
SAME_STOPS = 1e-9
LOOK_AHEAD = timedelta(minutes=1)  # over which the rate at that hour is taken


@dataclass(frozen=True)
class OverRun:
    """Turns that end after the talk must have begun, and what would make them fit."""

    from_at: datetime  # when the talk must begin
    turns: int  # slots that end after it
    of: int  # slots in all
    over_min: float
    fit_min: int  # whole minutes a turn may last so that all end in time; below 1: none
    rounds_less: bool  # whether one round less ends in time


def hands_wanted(lights: Sequence[Light]) -> int:
    """How many lamps somebody has to hold: those without a stand, and where wind says so."""
    return sum(1 for light in lights if light.stand is None or light.stand.verdict == "hold")


def pace(inputs: SetInputs) -> Pace:
    """The set's own minutes as the clock of its turns."""
    ready = timedelta(minutes=inputs.rig_min + inputs.brief_min + inputs.demo_min)
    after = timedelta(minutes=inputs.critique_min + inputs.strike_min)
    return Pace(
        first_at=inputs.start_at + ready,
        until_at=inputs.end_at - after,
        turn=timedelta(minutes=inputs.turn_min),
        changeover=timedelta(minutes=inputs.changeover_min),
    )


def turns(
    inputs: SetInputs, served: Sequence[Served], lights: Sequence[Light], base: BaseCurve
) -> tuple[Turn, ...]:
    """Equal turns in an order that shifts from set to set; one trigger live at a time.

    Somebody stands at the stand also where none has to be held.
    """
    people = _told_apart(served)
    trigger = {name: one.trigger for name, one in people.items()}
    clock = pace(inputs)
    dealt = deal(
        [_comer(name, one) for name, one in people.items()],
        inputs.set_index,
        pace=clock,
        rounds=inputs.rounds,
        stations=inputs.stations,
        noted=[Noted(one.attendee, one.at, one.station, one.missed) for one in inputs.given],
        crew=Crew(max(1, hands_wanted(lights)), inputs.helpers),
    )
    prompts = _prompts(inputs, dealt, base)
    return tuple(
        Turn(
            attendee=one.name,
            trigger=trigger[one.name].name if trigger.get(one.name) else "",
            live_trigger=trigger.get(one.name) is not None,
            round=one.round,
            order=one.place,
            start_at=local(inputs, one.start_at),
            minutes=inputs.turn_min,
            on_deck=one.on_deck,
            holders=one.holders,
            log=one.log,
            station=one.station,
            given=one.given,
            over=not one.given and one.start_at + clock.step > clock.until_at + SLACK,
            re_meter=one.start_at in prompts,
            re_meter_min=_third_min(base, one.start_at),
        )
        for one in dealt
    )


def _told_apart(served: Sequence[Served]) -> dict[str, Served]:
    """Return everybody by a name of their own: namesakes that came in unnumbered get numbers."""
    people: dict[str, Served] = {}
    for one in served:
        name, number = one.attendee.name, 1
        while name in people:
            number += 1
            name = f"{one.attendee.name} {number}"
        people[name] = one
    return people


def _comer(name: str, served: Served) -> Comer:
    one, trigger = served.attendee, served.trigger
    unit = trigger.name if trigger else ""
    return Comer(name, one.arrives_at, one.leaves_at, one.turns_behind, unit)


def _third_min(base: BaseCurve, at: datetime) -> float | None:
    moved = base.at(at + LOOK_AHEAD) - base.at(at)
    return re_meter_min(moved * (timedelta(minutes=10) / LOOK_AHEAD))


def _prompts(inputs: SetInputs, dealt: Sequence[Dealt], base: BaseCurve) -> set[datetime]:
    """When the base is metered again: before a turn that would end a third of a stop off.

    It was metered when the lamps were rigged, and whenever a reading says so. Source:
    light-method 5.5, every (1/3 stop) / rate, at the changes between turns.
    """
    turn = timedelta(minutes=inputs.turn_min)
    metered = [inputs.start_at + timedelta(minutes=inputs.rig_min)]
    metered += [one.at for one in inputs.readings if one.source == "metered"]
    prompts: set[datetime] = set()
    for at in sorted({one.start_at for one in dealt}):
        before = [one for one in (*metered, *prompts) if one <= at]
        last = base.at(max(before) if before else min(metered))
        off = max(abs(base.at(when) - last) for when in (at, at + turn))
        if off >= RE_METER_STOPS - SAME_STOPS:
            prompts.add(at)
    return prompts


def minutes_over(inputs: SetInputs, rows: Sequence[Turn]) -> float:
    """How far turns, critique and strike run past the end of the set; negative: time to spare."""
    clock = pace(inputs)
    ends = [row.start_at + (clock.changeover if row.given else clock.step) for row in rows]
    return (max(ends, default=clock.first_at) - clock.until_at).total_seconds() / 60.0


def over_run(inputs: SetInputs, rows: Sequence[Turn]) -> OverRun | None:
    """Return where the turns run over and what would make them fit; None while they fit."""
    late = {row.start_at for row in rows if row.over}
    if not late:
        return None
    clock = pace(inputs)
    owed = sorted({row.start_at for row in rows if not row.given})
    room = clock.until_at - owed[0]
    kept = {row.start_at for row in rows if not row.given and row.round < inputs.rounds}
    return OverRun(
        from_at=local(inputs, clock.until_at),
        turns=len(late),
        of=len({row.start_at for row in rows}),
        over_min=minutes_over(inputs, rows),
        fit_min=int((room / len(owed) - clock.changeover) // timedelta(minutes=1)),
        rounds_less=inputs.rounds > 1 and owed[0] + len(kept) * clock.step <= clock.until_at,
    )
