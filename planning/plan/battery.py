"""How many flashes each head is asked for, and how many packs that takes."""

import math

from planning.physics import constants as c
from planning.physics.battery import charge_share, cold_share, energy_wh, flashes_per_charge
from planning.plan.inputs import BatteryInputs, LightInputs, SetInputs
from planning.plan.result import BatteryRow, Light
from planning.plan.words import NOTHING, Words, own_measurement, say
from planning.plan.words import gettext_noop as _


def planned_flashes(inputs: SetInputs) -> float:
    """Frames of the demo and of everybody's turns, with meter and test pops on top."""
    frames = inputs.demo_frames + len(inputs.attendees) * inputs.frames_per_attendee
    return frames * (1.0 + inputs.house.test_flash_share)


def cold_low_share(inputs: SetInputs) -> float:
    """The low end of what the cold leaves of a lithium pack; 1 without a forecast."""
    if inputs.forecast is None or inputs.forecast.temperature_c is None:
        return 1.0
    return cold_share(max(inputs.forecast.temperature_c, c.COLD_SHARE_BANDS[0][0]))[0]


def usable_wh(inputs: SetInputs, pack: BatteryInputs) -> float:
    return pack.capacity_wh * pack.health_share * cold_low_share(inputs)


def flashes_at_full(inputs: SetInputs, light: LightInputs) -> float | None:
    """Full-power flashes of one pack in this weather: counted by the house, else by watt-hours.

    What was learned from the packs' own drawdowns holds their age already.
    """
    if light.battery is None:
        return None
    if light.flashes_at_full:
        health_share = 1.0 if light.flashes_readings else light.battery.health_share
        return light.flashes_at_full * health_share * cold_low_share(inputs)
    return flashes_per_charge(usable_wh(inputs, light.battery), light.energy_ws)


def flashes_per_battery(inputs: SetInputs, light: LightInputs, power: float) -> float | None:
    """Flashes of one pack at a power; capped, because stand-by empties it in the end."""
    full = flashes_at_full(inputs, light)
    if full is None or power <= 0.0:
        return None
    return full * min(1.0 / min(power, 1.0), c.FLASHES_PER_CHARGE_CAP)


def battery_row(inputs: SetInputs, light: LightInputs, planned: Light) -> BatteryRow:
    """Return what the set asks of one head's packs, low end of health and cold."""
    hours = (inputs.end_at - inputs.start_at).total_seconds() / 3600.0
    power = min(max(planned.power, light.least_power), 1.0)
    flashes = planned_flashes(inputs) if planned.power else 0.0
    idle_wh = (light.idle_w + light.modelling_w) * hours
    watt_hours = energy_wh(
        flashes, power, light.energy_ws, hours, idle_w=light.idle_w, modelling_w=light.modelling_w
    )
    share = None
    if light.battery is not None:
        usable = usable_wh(inputs, light.battery)
        share = watt_hours / usable
        if light.flashes_at_full and flashes:
            share = charge_share(flashes, power, flashes_at_full(inputs, light)) + idle_wh / usable
    return BatteryRow(
        strobe=light.strobe,
        flashes=flashes,
        full_power_flashes=flashes * power,
        watt_hours=watt_hours,
        charge_share=share,
        batteries=max(math.ceil(share - 1e-9), 1) if share is not None else None,
        along=light.battery.charged_count if light.battery else None,
        swap_after_flashes=flashes / share if share is not None and share > 1.0 else None,
        source="own" if light.flashes_at_full else "estimate",
        battery=light.battery.name if light.battery else "",
        flashes_at_full=flashes_at_full(inputs, light),
        flashes_within_stops=light.flashes_within_stops,
        flashes_told=_told(light),
    )


def _told(light: LightInputs) -> Words:
    """Where the flashes of one charge come from, as a page says it."""
    if light.battery is None:
        return NOTHING
    if light.flashes_readings:
        return own_measurement(light.flashes_readings, (light.flashes_within_stops, "tenths"))
    if light.flashes_at_full:
        return say(_("counted by the house"))
    return say(_("reckoned from the watt-hours"))
