"""Begun late: what the light, the camera, the head, the turns and the way out make of it."""

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta

from planning.physics.constants import SUN_LAST_YEAR
from planning.plan.ambient import (
    Offsets,
    ambient_row,
    base_quantity,
    clear_of_profile,
    dark,
    levels_at,
    local,
    sun_at,
)
from planning.plan.exposure import Settled
from planning.plan.inputs import SetInputs
from planning.plan.lights import Lamp, key_lamp
from planning.plan.line import line_in
from planning.plan.low_light import dimmest_between
from planning.plan.result import Turn, WaterPlan
from planning.plan.result_sky import LateRow, Line
from planning.plan.rota import SLACK, minutes_over, pace
from planning.plan.sun_side import sun_row, sun_side_at
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _

LATE_MIN = (30, 60)
GONE_STEP = timedelta(minutes=5)


def late_rows(
    inputs: SetInputs,
    settled: Settled,
    lamps: tuple[Lamp, ...],
    added: Offsets,
    rota: tuple[Turn, ...],
    water: WaterPlan | None,
) -> tuple[LateRow, ...]:
    """Return the set begun 30 and 60 minutes late and run as long as planned.

    Readings count as in the plan, carried by the change of the estimate. Past the years of
    the sun's tables there is no row.
    """
    last = inputs.end_at + timedelta(minutes=LATE_MIN[-1])
    if local(inputs, last).year > SUN_LAST_YEAR:
        return ()
    key = key_lamp(lamps)
    gone_at = _sun_gone_at(inputs, inputs.start_at, last)
    return tuple(
        _late(inputs, settled, key, added, rota, water, minutes, gone_at) for minutes in LATE_MIN
    )


def _late(
    inputs: SetInputs,
    settled: Settled,
    key: Lamp | None,
    added: Offsets,
    rota: tuple[Turn, ...],
    water: WaterPlan | None,
    minutes: int,
    gone_at: datetime | None,
) -> LateRow:
    late = timedelta(minutes=minutes)
    # In UTC, so that minutes pass as they do where the clock is moved meanwhile.
    at, end_at = (one.astimezone(UTC) + late for one in (inputs.start_at, inputs.end_at))
    owed = [turn for turn in rota if not turn.given]
    return LateRow(
        minutes=minutes,
        at=local(inputs, at),
        sun=sun_row(inputs, at),
        sun_gone_at=local(inputs, gone_at) if gone_at and at < gone_at <= end_at else None,
        key_sun_side=sun_side_at(inputs, key.given, at) if key else "",
        key_sun_side_planned=sun_side_at(inputs, key.given, inputs.start_at) if key else "",
        line=None if dark(inputs, at, added) else _line(inputs, settled, added, at, end_at),
        turns=len(owed),
        turns_fit=_turns_fit(inputs, owed, water, late),
        over_min=minutes_over(inputs, owed) + minutes,
        passed=tuple(_passed(inputs, water, at, end_at)),
    )


def _line(
    inputs: SetInputs, settled: Settled, added: Offsets, at: datetime, end_at: datetime
) -> Line:
    ambient = ambient_row(inputs, at, added)
    of_face = base_quantity(inputs) == "subject"
    spread = (
        (ambient.subject_low_stops, ambient.subject_high_stops)
        if of_face
        else (ambient.low_stops, ambient.high_stops)
    )
    return line_in(
        inputs,
        settled,
        levels_at(inputs, at, added),
        dimmest_ev100=dimmest_between(inputs, added, at, end_at),
        spread=spread,
        source=ambient.subject_source if of_face else ambient.source,
    )


def _turns_fit(
    inputs: SetInputs, turns: Sequence[Turn], water: WaterPlan | None, late: timedelta
) -> int:
    """How many turns are over in time for critique and strike before the planned end or a limit."""
    ends = [inputs.end_at]
    if inputs.latest_at:
        ends.append(inputs.latest_at)
    if water and water.strike_from_at:
        ends.append(water.strike_from_at + timedelta(minutes=inputs.strike_min))
    clock = pace(inputs)
    sooner = inputs.end_at - min(ends)
    return sum(
        turn.start_at + clock.step + late <= clock.until_at - sooner + SLACK for turn in turns
    )


def _passed(
    inputs: SetInputs, water: WaterPlan | None, at: datetime, end_at: datetime
) -> Iterator[Words]:
    """Yield what the set, begun late and run as long as planned, runs past."""
    if water and water.strike_from_at and end_at > water.strike_from_at:
        yield _past(
            at,
            water.strike_from_at,
            _("striking must have begun at {at}: do not set up"),
            _("striking must begin at {at}: cut it short by {minutes}"),
            end_at,
        )
    if water and water.stands_flood_at and end_at >= water.stands_flood_at:
        yield say(_("the water reaches the stands at {at}"), at=(water.stands_flood_at, "clock"))
    if inputs.latest_at and end_at > inputs.latest_at:
        yield _past(
            at,
            local(inputs, inputs.latest_at),
            _("it had to be over by {at}: leave this set out"),
            _("it must be over by {at}: cut it short by {minutes}"),
            end_at,
        )


def _past(at: datetime, limit_at: datetime, gone: str, cut: str, end_at: datetime) -> Words:
    if at >= limit_at:
        return say(gone, at=(limit_at, "clock"))
    over_min = (end_at - limit_at) / timedelta(minutes=1)
    return say(cut, at=(limit_at, "clock"), minutes=(over_min, "need_min"))


def _sun_gone_at(inputs: SetInputs, start_at: datetime, end_at: datetime) -> datetime | None:
    """The first minute in which the sun has gone behind the horizon, None while it stays."""

    def clear(at: datetime) -> bool:
        return clear_of_profile(inputs, sun_at(inputs, at))

    at, was = start_at, clear(start_at)
    while at < end_at:
        then = min(at + GONE_STEP, end_at)
        now = clear(then)
        if was and not now:
            minutes = (at + timedelta(minutes=n) for n in range(1, int(GONE_STEP.seconds / 60)))
            return next((one for one in minutes if one < then and not clear(one)), then)
        at, was = then, now
    return None
