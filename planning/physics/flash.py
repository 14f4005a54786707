"""Flash: guide numbers, power, distance, and how flash and ambient add.

Guide numbers are far-field, with the modifier on, in metres at ISO 100. A diffuse face of
diameter D falls off as 1/(d^2 + (D/2)^2); a beam from a deep reflector as 1/(d + offset)^2,
from a virtual lamp behind the front. A source is one or the other. Distances run from the
front of the modifier along the slant to the face.
"""

import math

from planning.physics import constants
from planning.physics.errors import OutOfRange
from planning.physics.exposure import f_mark
from planning.physics.ranges import (
    require_between,
    require_finite,
    require_not_negative,
    require_positive,
    require_share,
)

guide_number_spread_stops = constants.ESTIMATED_GUIDE_NUMBER_SPREAD_STOPS


def guide_number_m(
    f_number: float,
    distance_m: float,
    iso: float = 100.0,
    power: float = 1.0,
    source_diameter_m: float = 0.0,
    source_offset_m: float = 0.0,
) -> float:
    """Return the far-field guide number at full power and ISO 100 behind one reading.

    ``f_number`` is the meter's, flash alone, dome toward the lamp. Raises OutOfRange for a
    size not above 0, a power outside 0 to 1, or both a diameter and an offset.

    Source: ISO 1230:1992 for GN = N d; the near field by the uniform disc on its axis.
    """
    require_positive(f_number=f_number, iso=iso)
    require_share(power=power)
    reach_m = _reach_m(distance_m, source_diameter_m, source_offset_m)
    return f_number * reach_m / math.sqrt(power * iso / 100)


def flash_f_number(
    guide_number_m: float,
    distance_m: float,
    iso: float = 100.0,
    power: float = 1.0,
    source_diameter_m: float = 0.0,
    source_offset_m: float = 0.0,
) -> float:
    """Return the f-number a meter reads from the flash alone, not snapped.

    Raises OutOfRange as ``guide_number_m`` does.
    """
    require_positive(guide_number_m=guide_number_m, iso=iso)
    require_share(power=power)
    reach_m = _reach_m(distance_m, source_diameter_m, source_offset_m)
    return guide_number_m * math.sqrt(power * iso / 100) / reach_m


def power_for(
    f_number: float,
    guide_number_m: float,
    distance_m: float,
    iso: float = 100.0,
    source_diameter_m: float = 0.0,
    source_offset_m: float = 0.0,
) -> float:
    """Return the share of full power that reads ``f_number``; above 1 it is out of reach.

    Raises OutOfRange for a size not above 0, or both a diameter and an offset.
    """
    require_positive(f_number=f_number, guide_number_m=guide_number_m, iso=iso)
    reach_m = _reach_m(distance_m, source_diameter_m, source_offset_m)
    return (f_number * reach_m / guide_number_m) ** 2 * 100 / iso


def distance_for(
    f_number: float,
    guide_number_m: float,
    power: float = 1.0,
    iso: float = 100.0,
    source_diameter_m: float = 0.0,
    source_offset_m: float = 0.0,
) -> float:
    """Return the distance in metres at which the flash alone reads ``f_number``.

    Raises OutOfRange for a size not above 0, a power outside 0 to 1, both a diameter and an
    offset, or an f-number the lamp does not reach even touching the face.
    """
    require_positive(f_number=f_number, guide_number_m=guide_number_m, iso=iso)
    require_share(power=power)
    _require_one_shape(source_diameter_m, source_offset_m)
    full_m = guide_number_m * math.sqrt(power * iso / 100)
    reach_m, radius_m = full_m / f_number, source_diameter_m / 2
    nearest_m = max(radius_m, source_offset_m)
    if reach_m <= nearest_m:
        raise OutOfRange(
            f"f_number must stay below f/{full_m / nearest_m:.3g}, what this lamp gives touching"
            f" the face, not {f_number:.3g}"
        )
    if source_offset_m:
        return reach_m - source_offset_m
    return math.sqrt(reach_m**2 - radius_m**2)


def estimated_guide_number_m(energy_ws: float, modifier_stops: float = 0.0) -> float:
    """Return a guessed guide number from watt-seconds; a modifier's loss is negative.

    Good to ``guide_number_spread_stops`` either way: watt-seconds say nothing of tube and
    reflector. Raises OutOfRange for an energy not above 0 or modifier stops not finite.

    Source: makers' sheets, 600 W.s about GN 80 m in a standard reflector; common practice.
    """
    require_positive(energy_ws=energy_ws)
    require_finite(modifier_stops=modifier_stops)
    scale = math.sqrt(energy_ws / constants.ANCHOR_ENERGY_WS)
    return constants.ANCHOR_GUIDE_NUMBER_M * scale * 2 ** (modifier_stops / 2)


def flash_lit_share(shutter_s: float, curtain_s: float) -> float:
    """Return the share of the frame a short flash reaches, 1 at or slower than sync.

    Geometry of a curtain at even speed, no published table. Raises OutOfRange for a time
    not above 0.
    """
    require_positive(shutter_s=shutter_s, curtain_s=curtain_s)
    return min(1.0, shutter_s / curtain_s)


def high_speed_loss_stops(shutter_s: float, curtain_s: float, overhead_stops: float = 0.0) -> float:
    """Return the stops high-speed sync costs against one flash of the same energy.

    The light must last curtain plus shutter time and each point sees the shutter time of it;
    the head's own overhead comes on top. Geometry, no published table. Raises OutOfRange for
    a time not above 0 or a negative overhead.
    """
    require_positive(shutter_s=shutter_s, curtain_s=curtain_s)
    require_not_negative(overhead_stops=overhead_stops)
    return math.log2((curtain_s + shutter_s) / shutter_s) + overhead_stops


def flash_tail_loss_stops(shutter_s: float, t01_s: float) -> float:
    """Return what the shutter cuts off a flash's tail, in stops, 0 or more.

    ``shutter_s`` is open from the flash's start; ``t01_s`` is the time above a tenth of the
    peak. Raises OutOfRange for a time not above 0.

    Source: exponential tail, ISO 2827:1988 definitions: 1 - exp(-T / tau), tau = t0.1 / ln 10.
    """
    require_positive(shutter_s=shutter_s, t01_s=t01_s)
    return -math.log2(1.0 - 10.0 ** (-shutter_s / t01_s))


def flash_alone_f_number(all_in_f_number: float, ambient_f_number: float) -> float:
    """Return the f-number the flash alone must read so that all together reads ``all_in``.

    Light is proportional to the f-number squared. An ambient of 0 is darkness. Raises
    OutOfRange when the face already reads the wanted aperture without flash.
    """
    require_positive(all_in_f_number=all_in_f_number)
    require_not_negative(ambient_f_number=ambient_f_number)
    if ambient_f_number >= all_in_f_number:
        raise OutOfRange(
            f"ambient_f_number must stay below {f_mark(all_in_f_number)}:"
            f" the face already reads {f_mark(ambient_f_number)} without flash"
        )
    return math.sqrt(all_in_f_number**2 - ambient_f_number**2)


def fall_off_stops(
    distance_from_m: float,
    distance_to_m: float,
    source_diameter_m: float = 0.0,
    source_offset_m: float = 0.0,
) -> float:
    """Return the change in stops from one distance to another, negative going away.

    Raises OutOfRange for a distance not above 0, or both a diameter and an offset.
    """
    from_m = _reach_m(distance_from_m, source_diameter_m, source_offset_m)
    to_m = _reach_m(distance_to_m, source_diameter_m, source_offset_m)
    return 2 * math.log2(from_m / to_m)


def spill_stops(distance_m: float, gap_m: float, source_diameter_m: float = 0.0) -> float:
    """Return the flash on the backdrop in stops against the face, 0 or negative.

    ``gap_m`` lies between face and backdrop, on the line of the light. Raises OutOfRange for
    a distance not above 0 or a negative gap.
    """
    require_not_negative(gap_m=gap_m)
    return fall_off_stops(distance_m, distance_m + gap_m, source_diameter_m)


def gap_for_spill_m(distance_m: float, stops_down: float, source_diameter_m: float = 0.0) -> float:
    """Return the least gap behind the face that puts the spill ``stops_down`` under it.

    Raises OutOfRange for a distance not above 0 or negative ``stops_down``.
    """
    require_not_negative(stops_down=stops_down)
    reach_m = _reach_m(distance_m, source_diameter_m, 0.0)
    return math.sqrt(reach_m**2 * 2**stops_down - (source_diameter_m / 2) ** 2) - distance_m


def dome_weight(angle_deg: float) -> float:
    """Return the share a dome turned ``angle_deg`` away from a lamp reads of it, 1 to 0.

    Raises OutOfRange outside -360 to 360 degrees.

    Source: half a sphere seen from the side, (1 + cos a) / 2.
    """
    require_between(-360, 360, angle_deg=angle_deg)
    return (1 + math.cos(math.radians(angle_deg))) / 2


def beam_cover_m(distance_m: float, beam_deg: float) -> float:
    """Return the width in metres a beam of full angle ``beam_deg`` covers at a distance.

    Raises OutOfRange for a distance not above 0 or a beam not between 0 and 180 degrees.
    """
    require_positive(distance_m=distance_m)
    if not 0 < beam_deg < 180:
        raise OutOfRange(f"beam_deg must lie between 0 and 180, not {beam_deg}")
    return 2 * distance_m * math.tan(math.radians(beam_deg) / 2)


def power_setting(power: float, step_stops: float = 1 / 3, least_power: float = 1 / 256) -> float:
    """Return the setting of the head nearest to ``power``, as a share; a tie gives more light.

    Above full it is full, below the least it is the least: compare with the need. Raises
    OutOfRange for a power not above 0, a least power outside 0 to 1, or a step other than 1, 1/2,
    1/3 or 1/10.
    """
    require_positive(power=power)
    require_share(least_power=least_power)
    steps = _steps_per_stop(step_stops)
    return max(least_power, 2 ** (-max(0, _steps_down(power, steps)) / steps))


def power_mark(power: float, step_stops: float = 1 / 3, scale: str = "fraction") -> str:
    """Return the nearest power setting as heads show it: "1/1", "1/4", "1/4 +0.3".

    ``scale`` "ten" is for heads that count down from 10.0 by one a stop: "8.3". Raises
    OutOfRange for a power outside 0 to 1, a step other than 1, 1/2, 1/3 or 1/10, or another
    scale.
    """
    require_share(power=power)
    steps = _steps_per_stop(step_stops)
    down = _steps_down(power, steps)
    if scale == "ten":
        return f"{10 - down / steps:.1f}"
    if scale != "fraction":
        raise OutOfRange(f'scale must be "fraction" or "ten", not {scale!r}')
    stops_down = -(-down // steps)
    extra = stops_down - down / steps
    return f"1/{2**stops_down}" + (f" +{extra:.1f}" if extra else "")


def _reach_m(distance_m: float, source_diameter_m: float, source_offset_m: float) -> float:
    require_positive(distance_m=distance_m)
    _require_one_shape(source_diameter_m, source_offset_m)
    return math.hypot(distance_m + source_offset_m, source_diameter_m / 2)


def _require_one_shape(source_diameter_m: float, source_offset_m: float) -> None:
    require_not_negative(source_diameter_m=source_diameter_m, source_offset_m=source_offset_m)
    if source_diameter_m and source_offset_m:
        raise OutOfRange(
            "source_offset_m must be 0 for a diffuse face with a source_diameter_m:"
            " a source is a face or a beam, not both"
        )


def _steps_per_stop(step_stops: float) -> int:
    # A third is often recorded as 0.3 or 0.33: near enough is the step meant.
    for steps in (1, 2, 3, 10):
        if abs(step_stops - 1 / steps) < 0.04:
            return steps
    raise OutOfRange(f"step_stops must be 1, 1/2, 1/3 or 1/10, not {step_stops}")


def _steps_down(power: float, steps: int) -> int:
    return math.ceil(-math.log2(power) * steps - 0.5 - 1e-6)
