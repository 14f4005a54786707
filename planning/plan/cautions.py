"""What can hurt somebody, raised by numbers and records, as data.

A figure warns; it never permits. Each caution defers to makers' limits, local rules and
whoever is licensed to decide.
"""

from collections.abc import Iterator

from planning.physics import constants as c
from planning.physics.weather import (
    heat_band,
    heat_index_c,
    uv_band,
    wind_chill_c,
)
from planning.plan.inputs import SetInputs
from planning.plan.result import Caution, Light, WaterPlan

MAKERS = "the maker's limits"
COMMON = "common practice"


def safety(
    inputs: SetInputs, lights: tuple[Light, ...], water: WaterPlan | None
) -> Iterator[Caution]:
    """Yield what can hurt somebody: wind, water, weather, electricity, flashes, people."""
    yield from _wind(inputs, lights)
    yield from _water(inputs, water)
    yield from _weather(inputs)
    yield from _people(inputs)
    yield from _electricity(inputs)
    yield from _eyes(inputs, lights)


def _wind(inputs: SetInputs, lights: tuple[Light, ...]) -> Iterator[Caution]:
    deciding = "local rules, the makers' limits and whoever is in charge decide"
    for light in lights:
        stand = light.stand
        if stand is None:
            continue
        if stand.verdict in ("strike", "modifier off", "hold"):
            gust = f"gust {stand.gust_m_s:.1f} m/s" if stand.gust_m_s is not None else "no gust"
            force = f", {stand.force_n:.0f} N on it" if stand.force_n is not None else ""
            yield Caution(
                f"wind-{stand.verdict.replace(' ', '-')}",
                "act" if stand.verdict == "hold" else "stop",
                f"{light.name}: {stand.verdict} ({stand.reason}): {gust}{force}; {deciding}.",
                "drag and overturning moment; limits of the house",
            )
        elif stand.verdict == "no forecast":
            yield Caution("wind-no-forecast", "act", f"{light.name}: {stand.reason}.", COMMON)
    if inputs.location.footing.casefold() in ("sand", "mud", "soft") and any(
        light.stand for light in lights
    ):
        yield Caution(
            "footing",
            "act",
            f"{inputs.location.footing}: feet sink and the legs' reach shrinks; boards under the "
            "feet, and the ballast figures are for firm ground.",
            COMMON,
        )
    gust = next((light.stand.gust_m_s for light in lights if light.stand), None)
    if inputs.location.under_trees and gust is not None and gust >= c.TREE_GUST_M_S:
        yield Caution(
            "trees",
            "stop",
            f"gusts of {gust:.1f} m/s under trees: branches fall; leave the wood.",
            "woodland groups' practice, Beaufort 5 to 6",
        )


def _water(inputs: SetInputs, water: WaterPlan | None) -> Iterator[Caution]:
    if inputs.location.water == "none":
        return
    yield Caution(
        "water",
        "act",
        "water: stands farther from the edge than they are tall or with a hand on each; heads "
        "hold lethal voltage, nobody grabs a wet one; wading below the knee, never alone.",
        COMMON + "; " + MAKERS,
    )
    if inputs.location.water != "tidal":
        return
    if water is None:
        yield Caution(
            "tide-unknown",
            "stop",
            "tidal water without a table for this set or without the path's low point: do not go "
            "out until both are recorded.",
            COMMON,
        )
        return
    if water.clear_by_at is None:
        return
    late = inputs.end_at > water.strike_from_at
    yield Caution(
        "tide",
        "stop" if late else "act",
        f"off the shore by {water.clear_by_at:%H:%M}, start striking {water.strike_from_at:%H:%M}"
        + (": the set runs past that." if late else ".")
        + " Water fills the low channels behind you first; low pressure and swell come on top.",
        "rule of twelfths between the official high and low waters; check the table of the day",
    )


def _weather(inputs: SetInputs) -> Iterator[Caution]:
    forecast = inputs.forecast
    if forecast is None:
        yield Caution("forecast-none", "act", "no forecast recorded for this set.", COMMON)
        return
    if forecast.thunder:
        yield Caution(
            "thunder",
            "stop",
            "thunder: stands down, everybody into a building or a closed car; "
            f"{c.LIGHTNING_WAIT_MIN:.0f} minutes from the last thunder before anybody goes out "
            "again.",
            "lightning guidance of the national weather services: any thunder stops",
        )
    temperature_c = forecast.temperature_c
    if temperature_c is not None and forecast.humidity_percent is not None:
        felt_c = heat_index_c(temperature_c, forecast.humidity_percent)
        band = heat_band(felt_c)
        if band:
            yield Caution(
                "heat",
                "act",
                f"feels like {felt_c:.0f} C in the shade ({band}), more in the sun: shade, water, "
                "shorter turns.",
                "heat index, National Weather Service SR 90-23",
            )
    if temperature_c is not None and temperature_c <= c.COLD_MODEL_C:
        felt_c = wind_chill_c(temperature_c, (forecast.wind_m_s or 0.0) * 3.6)
        yield Caution(
            "cold",
            "act",
            f"feels like {felt_c:.0f} C in the wind: the model gets a coat "
            "between frames and 10 to 15 minutes at a time; spare packs in an inside pocket, "
            "charged warm.",
            "wind chill index, National Weather Service and Environment Canada 2001",
        )
    if forecast.uv_index is not None and forecast.uv_index >= c.UV_PROTECTION_FROM - 0.5:
        yield Caution(
            "uv",
            "note",
            f"UV index {forecast.uv_index:.0f} ({uv_band(forecast.uv_index)}): hats, cream, shade.",
            "WHO global solar UV index guide 2002",
        )


def _people(inputs: SetInputs) -> Iterator[Caution]:
    if any(person.photosensitive for person in inputs.attendees):
        yield Caution(
            "photosensitive",
            "stop",
            "somebody here is sensitive to flashes: one live trigger, no bursts, no stroboscopic "
            "mode, under three flashes in any second from all heads together; warn before "
            "flashing.",
            "WCAG 2.2 and broadcast guidance on flashes; ask the person, medical advice decides",
        )
    minors = [person for person in inputs.attendees if person.under_age]
    if minors:
        missing = any(not person.guardian for person in minors)
        yield Caution(
            "minors",
            "stop" if missing else "act",
            "somebody under age: a named guardian present throughout and two adults at any time"
            + ("; no guardian is recorded." if missing else "."),
            "clubs' safeguarding practice; local law decides",
        )
    heads = len(inputs.attendees) + inputs.other_heads
    limit = inputs.location.head_limit
    if limit is not None and heads > limit:
        yield Caution(
            "head-limit",
            "stop",
            f"{heads} people with model and helpers, and the permit allows {limit}.",
            "the permit of this place",
        )


def _electricity(inputs: SetInputs) -> Iterator[Caution]:
    cells = {light.battery.name: light.battery for light in inputs.lights if light.battery}
    for pack in cells.values():
        if pack.capacity_wh > c.CELL_APPROVAL_WH:
            rule = f"over {c.CELL_APPROVAL_WH:.0f} Wh: not as passenger baggage"
        elif pack.capacity_wh > c.CELL_CABIN_WH:
            rule = f"over {c.CELL_CABIN_WH:.0f} Wh: cabin only, with the airline's approval"
        else:
            continue
        yield Caution(
            f"cells-{160 if pack.capacity_wh > c.CELL_APPROVAL_WH else 100}",
            "note",
            f"{pack.name}, {pack.capacity_wh:.0f} Wh, {rule}; never charged unattended or below "
            "freezing, none swollen, wet or dropped.",
            "air-transport rules for lithium batteries as of 2026; the airline decides",
        )
    if any(light.mains for light in inputs.lights) and inputs.location.water != "none":
        yield Caution(
            "mains-water",
            "stop",
            "mains or inverter light near water: do not; battery heads only. Elsewhere a "
            "residual-current device of 30 mA or less, and a licensed electrician decides.",
            "wiring rules for outdoor equipment; local code",
        )


def _eyes(inputs: SetInputs, lights: tuple[Light, ...]) -> Iterator[Caution]:
    for light in lights:
        if light.distance_m < c.FLASH_NEAR_FACE_M and light.set_power > 0.5:
            yield Caution(
                "flash-near-face",
                "act",
                f"{light.name}: near full power {light.distance_m:.1f} m from a face: farther or "
                "less; warn, let the model blink on the count.",
                COMMON,
            )
