"""The sun out, a cloud over it: what each takes of camera and head, whatever sky is forecast."""

import math
from dataclasses import fields

from planning.physics import constants as c
from planning.physics.daylight import spread_stops
from planning.plan.ambient import (
    Levels,
    Offsets,
    base_quantity,
    clear_of_profile,
    estimate,
    partly_levels,
    sky_word,
    sun_at,
)
from planning.plan.exposure import Settled, base_ev100
from planning.plan.inputs import SetInputs
from planning.plan.line import line_in
from planning.plan.result_sky import SkyRow

SKY_OF_STATE = {"sun out": "clear", "cloud over": "overcast"}
QUANTITIES = ("subject", "shade", "incident", "sky")


def sky_rows(
    inputs: SetInputs, settled: Settled, added: Offsets, dimmest_ev100: float
) -> tuple[SkyRow, ...]:
    """Return the line with the sun out and with a cloud over it, at the start of the set.

    Empty while the sun is down or behind the horizon profile: no cloud changes much then.
    What was metered belongs to one of the two and is carried to the other by the change of
    the estimate: to the forecast's own sky, under "partly" to the nearer of the two.

    Source: light-method section 5, "partly" is two states.
    """
    sun = sun_at(inputs, inputs.start_at)
    if sun.elevation_deg <= 0.0 or not clear_of_profile(inputs, sun):
        return ()
    states = _states(inputs)
    own = _own_state(inputs, settled, added, states)
    planned = None if sky_word(inputs) == "partly" and _estimated(inputs, added) else own
    rows = []
    for name, guess in states.items():
        levels = _carried(added, settled.levels, guess, states[own])
        moved = base_ev100(inputs, levels) - base_ev100(inputs, settled.levels)
        low, high = _spread(inputs, added, name, sun.geometric_elevation_deg, own=name == own)
        rows.append(
            SkyRow(
                name=name,
                planned=name == planned,
                line=line_in(
                    inputs,
                    settled,
                    levels,
                    dimmest_ev100=dimmest_ev100 + moved,
                    spread=(low, high),
                    # A reading is one of its own sky; carried to the other it is an estimate.
                    source=added.source(base_quantity(inputs)) if name == own else "estimate",
                ),
                face_moved_stops=levels.subject_ev100 - settled.levels.subject_ev100,
            )
        )
    return tuple(rows)


def _states(inputs: SetInputs) -> dict[str, Levels]:
    if sky_word(inputs) == "partly":
        return dict(partly_levels(inputs, inputs.start_at))
    return {
        name: estimate(inputs, inputs.start_at, sky, dark_too=True)
        for name, sky in SKY_OF_STATE.items()
    }


def _own_state(
    inputs: SetInputs, settled: Settled, added: Offsets, states: dict[str, Levels]
) -> str:
    """The state that the plan's own levels belong to, by what was metered where it can be told."""
    word = sky_word(inputs)
    for name, sky in SKY_OF_STATE.items():
        if word == sky:
            return name
    of_base = base_quantity(inputs)
    metered = [name for name in (of_base, *QUANTITIES) if added.source(name) != "estimate"]
    level = f"{metered[0] if metered else of_base}_ev100"
    now = getattr(settled.levels, level)
    return min(states, key=lambda name: abs(getattr(states[name], level) - now))


def _estimated(inputs: SetInputs, added: Offsets) -> bool:
    return added.source(base_quantity(inputs)) == "estimate"


def _carried(added: Offsets, now: Levels, guess: Levels, own: Levels) -> Levels:
    """A state's estimate with what was metered in its own state carried over to it."""
    moved = {}
    for quantity in QUANTITIES:
        name = f"{quantity}_ev100"
        metered = added.source(quantity) != "estimate"
        offset = getattr(now, name) - getattr(own, name) if metered else 0.0
        moved[name] = getattr(guess, name) + offset
    rest = {field.name: getattr(guess, field.name) for field in fields(Levels)}
    return Levels(**rest | moved)


def _spread(
    inputs: SetInputs, added: Offsets, name: str, elevation_deg: float, *, own: bool
) -> tuple[float, float]:
    """Return (low, high) of the base in this state: the sky's, and what errs beside it.

    Source: the sky's from typical years; plane, reflectance and meter common practice.
    """
    quantity = base_quantity(inputs)
    sky_low, middle, sky_high = spread_stops(SKY_OF_STATE[name], elevation_deg)
    low, high = middle - sky_low, sky_high - middle
    if added.source(quantity) != "estimate":
        spread = added.spread(quantity)
        if own:
            return -spread, spread
        return -math.hypot(low, spread), math.hypot(high, spread)
    parts = [c.PLANE_SPREAD_STOPS, c.METER_SPREAD_STOPS]
    if inputs.base_kind == "spot" and quantity == "incident":
        parts.append(c.REFLECTANCE_SPREAD_STOPS)
    return -math.hypot(low, *parts), math.hypot(high, *parts)
