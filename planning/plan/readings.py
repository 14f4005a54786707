"""What the meter said against the estimate, and for how long it counts."""

import math
from datetime import datetime

from planning.physics import constants as c
from planning.physics.reading import spot_over_incident_stops
from planning.plan.ambient import Offsets, estimate, sky_word, sun_at
from planning.plan.inputs import ReadingInputs, SetInputs


def offsets(inputs: SetInputs) -> Offsets:
    """Return what the readings say against the estimate at their own instants.

    A reading replaces its own quantity and no other; between times it is carried by the
    change of the estimate. A face without beam on it is its own shadow side: either reading
    serves both.
    """
    best: dict[str, ReadingInputs] = {}
    for reading in sorted(inputs.readings, key=lambda r: (r.source == "metered", r.at)):
        if reading.source == "own" and not _same_light(inputs, reading):
            continue
        best[_quantity(reading)] = reading
    for one, other in (("subject", "shade"), ("shade", "subject")):
        if one in best and other not in best and _flat_lit(inputs, best[one].at):
            best[other] = best[one]
    return Offsets(
        stops=tuple((name, _against_estimate(inputs, name, best[name])) for name in best),
        sources=tuple((name, reading.source) for name, reading in best.items()),
        spreads=tuple((name, _reading_spread(inputs, reading)) for name, reading in best.items()),
    )


def _against_estimate(inputs: SetInputs, quantity: str, reading: ReadingInputs) -> float:
    levels = estimate(inputs, reading.at, sky_word(inputs), dark_too=True)
    ev100 = reading.ev100
    if quantity == "incident" and reading.kind == "spot":
        ev100 -= spot_over_incident_stops(inputs.backdrop_reflectance)
    return ev100 - getattr(levels, f"{quantity}_ev100")


def _flat_lit(inputs: SetInputs, at: datetime) -> bool:
    levels = estimate(inputs, at, sky_word(inputs), dark_too=True)
    return levels.subject_ev100 == levels.shade_ev100


def _quantity(reading: ReadingInputs) -> str:
    if reading.kind == "sky" or reading.plane == "sky":
        return "sky"
    return {"backdrop": "incident", "face": "subject", "shade": "shade"}[reading.plane]


def _same_light(inputs: SetInputs, reading: ReadingInputs) -> bool:
    """Whether an earlier day's reading was taken under such a sun and sky."""
    if reading.sky != sky_word(inputs):
        return False
    then, now = sun_at(inputs, reading.at), sun_at(inputs, inputs.start_at)
    turn_deg = (then.azimuth_deg - now.azimuth_deg + 180.0) % 360.0 - 180.0
    return (
        abs(then.elevation_deg - now.elevation_deg) <= c.SAME_SUN_ELEVATION_DEG
        and abs(turn_deg) <= c.SAME_SUN_AZIMUTH_DEG
    )


def _reading_spread(inputs: SetInputs, reading: ReadingInputs) -> float:
    """A reading's own spread; read as another kind than the plan wants, the link's on top."""
    spread = c.OWN_READING_SPREAD_STOPS if reading.source == "own" else reading.spread_stops
    if reading.plane == "backdrop" and reading.kind not in ("sky", inputs.base_kind):
        return math.hypot(spread, c.REFLECTANCE_SPREAD_STOPS)
    return spread
