"""What a battery gives: flashes a charge, what a day takes, and what the cold leaves."""

from bisect import bisect_right

from planning.physics.constants import CHARGER_EFFICIENCY, COLD_SHARE_BANDS
from planning.physics.errors import OutOfRange
from planning.physics.ranges import (
    require_finite,
    require_not_negative,
    require_positive,
    require_share,
)


def flashes_per_charge(
    capacity_wh: float, energy_ws: float, efficiency: float = CHARGER_EFFICIENCY
) -> float:
    """Return the flashes of ``energy_ws`` one charge gives, not rounded, idle draw left out.

    Twice as many for each stop less. Raises OutOfRange for a size not above 0 or an
    efficiency outside 0 to 1.
    """
    require_positive(capacity_wh=capacity_wh, energy_ws=energy_ws)
    require_share(efficiency=efficiency)
    return capacity_wh * 3600 * efficiency / energy_ws


def charge_share(
    flashes: float, power: float, flashes_at_full: float, overhead_share: float = 0.0
) -> float:
    """Return the share of one charge that ``flashes`` at ``power`` take; above 1 it runs out.

    ``overhead_share`` is meter and test pops on top, 0.1 for a tenth more. Raises OutOfRange
    for negative flashes or overhead, a power outside 0 to 1, or no flashes at full.
    """
    require_not_negative(flashes=flashes, overhead_share=overhead_share)
    require_share(power=power)
    require_positive(flashes_at_full=flashes_at_full)
    return flashes * power * (1 + overhead_share) / flashes_at_full


def energy_wh(
    flashes: float,
    power: float,
    energy_ws: float,
    hours: float = 0.0,
    *,
    efficiency: float = CHARGER_EFFICIENCY,
    idle_w: float = 0.0,
    modelling_w: float = 0.0,
    modelling_hours: float | None = None,
) -> float:
    """Return the watt-hours drawn from the battery by flashes, idling and modelling light.

    ``modelling_hours`` is ``hours`` when None. Raises OutOfRange for a negative count, draw
    or time, an energy not above 0, or a power or efficiency outside 0 to 1.
    """
    lit_hours = hours if modelling_hours is None else modelling_hours
    require_not_negative(flashes=flashes, idle_w=idle_w, modelling_w=modelling_w)
    require_not_negative(hours=hours, modelling_hours=lit_hours)
    require_positive(energy_ws=energy_ws)
    require_share(power=power, efficiency=efficiency)
    flashed_wh = flashes * power * energy_ws / 3600 / efficiency
    return flashed_wh + idle_w * hours + modelling_w * lit_hours


def cold_share(temperature_c: float) -> tuple[float, float]:
    """Return the low and high share of its capacity a lithium battery gives in the cold.

    Both 1 from 20 C up, between the published points by straight line. Raises OutOfRange
    below -20 C, where no figure is published.

    Source: lithium-ion cell makers' sheets, which differ with the rate drawn; from memory.
    """
    require_finite(temperature_c=temperature_c)
    coldest_c, warmest_c = COLD_SHARE_BANDS[0][0], COLD_SHARE_BANDS[-1][0]
    if temperature_c < coldest_c:
        raise OutOfRange(
            f"temperature_c must be {coldest_c:g} or more, not {temperature_c:g}: no figure is"
            " published for a battery that cold, so carry it warm"
        )
    if temperature_c >= warmest_c:
        return COLD_SHARE_BANDS[-1][1:]
    upper = bisect_right([row[0] for row in COLD_SHARE_BANDS], temperature_c)
    (cold_c, cold_low, cold_high), (warm_c, warm_low, warm_high) = COLD_SHARE_BANDS[
        upper - 1 : upper + 1
    ]
    part = (temperature_c - cold_c) / (warm_c - cold_c)
    return cold_low + part * (warm_low - cold_low), cold_high + part * (warm_high - cold_high)
