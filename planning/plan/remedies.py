"""When the lamp does not fit: what really helps, in order, each with its number."""

import math

from planning.plan.exposure import Settled
from planning.plan.inputs import SetInputs
from planning.plan.lights import Lamp, guide_number_spread_stops, needed_power, reach_m
from planning.plan.result import Remedy


def remedies(
    inputs: SetInputs,
    settled: Settled,
    key: Lamp | None,
    *,
    shade_f_number: float | None,
    stops_per_10_min: float,
) -> tuple[Remedy, ...]:
    """Return what helps the key, most useful first; empty when it fits with its spread.

    A higher ISO is never offered: while ambient sets the aperture it changes no power.
    Source: common practice.
    """
    if key is None:
        return ()
    if key.reading_f_number <= 0.0:
        return _already_lit(inputs, settled)
    power = needed_power(key.given, key.reading_f_number, settled.iso)
    spread = guide_number_spread_stops(key.given)
    if math.log2(power) + spread > 0.0:
        return _too_weak(inputs, settled, key, power, shade_f_number, stops_per_10_min)
    if power < key.given.least_power:
        return _too_strong(settled, key, power)
    return ()


def _already_lit(inputs: SetInputs, settled: Settled) -> tuple[Remedy, ...]:
    over = 2.0 * math.log2(settled.face_f_number / settled.working_f_number)
    if inputs.job == "fill":
        return (Remedy("the shadow side already stands where it is wanted: no fill", None, ""),)
    return (
        Remedy("shade the face, at least by", max(over, 0.0) + 1.0, "stops"),
        Remedy("or make it a fill set: base on the sunny side, stops under 0", None, ""),
        Remedy("or work further under, by", max(over, 0.0) + 1.0, "stops"),
    )


def _too_weak(
    inputs: SetInputs,
    settled: Settled,
    key: Lamp,
    power: float,
    shade_f_number: float | None,
    stops_per_10_min: float,
) -> tuple[Remedy, ...]:
    short = math.log2(power) + guide_number_spread_stops(key.given)
    rows = []
    # The low end of the guide number is what has to make it.
    low = 2.0 ** -guide_number_spread_stops(key.given)
    nearer_m = reach_m(key.given, key.reading_f_number, low, settled.iso)
    if nearer_m is not None:
        rows.append(Remedy("nearer: cord down to", nearer_m, "m"))
    rows.append(Remedy("a deeper or undiffused modifier, worth", short, "stops"))
    rows.append(Remedy("a second head beside it gives", 1.0, "stop"))
    if settled.group.cost_stops > 0.0:
        rows.append(
            Remedy(
                f"faster sync without {settled.group.slowest}'s body gives",
                settled.group.cost_stops,
                "stops",
            )
        )
    less = _less_under(settled, key, power, short)
    if less is not None and less <= inputs.stops_under:
        rows.append(Remedy("work less under, by", less, "stops"))
    if stops_per_10_min < 0.0:
        rows.append(Remedy("wait while the light falls", -10.0 * short / stops_per_10_min, "min"))
    if shade_f_number is not None:
        gain = 2.0 * math.log2(settled.working_f_number / shade_f_number)
        rows.append(Remedy("backdrop and model both into shade saves", gain, "stops"))
    return tuple(rows)


def _less_under(settled: Settled, key: Lamp, power: float, short: float) -> float | None:
    """Stops to open so that the flash needed falls by ``short``, the face's own light unchanged."""
    flash_2 = key.reading_f_number**2 * key.weight * 2.0**-short
    ambient_2 = settled.working_f_number**2 - key.reading_f_number**2 * key.weight
    total_2 = flash_2 + ambient_2
    return math.log2(settled.working_f_number**2 / total_2) if total_2 > 0.0 else None


def _too_strong(settled: Settled, key: Lamp, power: float) -> tuple[Remedy, ...]:
    over = math.log2(key.given.least_power / power)
    farther_m = reach_m(key.given, key.reading_f_number, key.given.least_power, settled.iso)
    smaller_ws = key.given.energy_ws * 2.0**-over
    return (
        Remedy("farther: cord out to", farther_m, "m"),
        Remedy("a grid or a second layer of cloth, worth", over, "stops"),
        Remedy("ND or gel on the lamp, worth", over, "stops"),
        Remedy("a smaller head, about", smaller_ws, "W.s at the same setting"),
        Remedy("ND on the lens with a wider aperture, at least", over, "stops"),
    )
