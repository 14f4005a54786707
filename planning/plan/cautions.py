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
from planning.plan.words import gettext_noop as _
from planning.plan.words import say

VERDICTS = {  # the contract's words, marked for the translators
    "bag": _("bag"),
    "hold": _("hold"),
    "modifier off": _("modifier off"),
    "strike": _("strike"),
    "no forecast": _("no forecast"),
}
SOFT_FOOTING = ("sand", "mud", "soft", "shingle")
KM_H_A_M_S = 3.6
BAG_SLACK_KG = 0.5  # nobody weighs a sandbag closer
MAKERS = say(_("the maker's limits"))
COMMON = say(_("common practice"))


def safety(
    inputs: SetInputs, lights: tuple[Light, ...], water: WaterPlan | None
) -> Iterator[Caution]:
    """Yield what can hurt somebody: wind, water, weather, electricity, flashes, people."""
    for light in lights:
        yield from _stand(inputs, light)
    yield from _ground(inputs, lights)
    yield from _water(inputs, water)
    yield from _weather(inputs)
    yield from _cold(inputs)
    yield from _people(inputs)
    yield from _electricity(inputs)
    yield from _eyes(lights)


def _stand(inputs: SetInputs, light: Light) -> Iterator[Caution]:
    stand = light.stand
    if stand is None:
        return
    named = {"light": (light.name, "text"), "reason": (stand.reason, "words")}
    if stand.verdict == "no forecast" or stand.gust_m_s is None:
        message = say(_("{light}: {reason}."), **named)
        level = "act" if stand.verdict == "no forecast" else "stop"
        yield Caution(f"wind-{stand.verdict.replace(' ', '-')}", level, message, COMMON)
        return
    if stand.verdict != "bag":
        yield Caution(
            f"wind-{stand.verdict.replace(' ', '-')}",
            "act" if stand.verdict == "hold" else "stop",
            say(
                _(
                    "{light}: {verdict} ({reason}), gust {gust}, {force} on it; local rules, the "
                    "makers' limits and whoever is in charge decide."
                ),
                verdict=(say(VERDICTS[stand.verdict]), "words"),
                gust=(stand.gust_m_s, "m_s"),
                force=(stand.force_n, "n"),
                **named,
            ),
            say(_("drag and overturning moment against the house's limits")),
        )
    if stand.verdict in ("bag", "hold") and stand.ballast_kg > stand.bag_kg + BAG_SLACK_KG:
        yield Caution(
            "ballast-short",
            "stop" if stand.tipping_speed_m_s < stand.gust_m_s else "act",
            say(
                _(
                    "{light}: hang {need} or lay {foot} on the windward foot; with the {bag} "
                    "planned it tips at {tips}, and gusts reach {gust}."
                ),
                light=(light.name, "text"),
                need=(stand.ballast_kg, "kg"),
                foot=(stand.ballast_on_foot_kg, "kg"),
                bag=(stand.bag_kg, "kg"),
                tips=(stand.tipping_speed_m_s, "m_s"),
                gust=(stand.gust_m_s, "m_s"),
            ),
            say(_("overturning moment with the house's safety factor")),
        )


def _ground(inputs: SetInputs, lights: tuple[Light, ...]) -> Iterator[Caution]:
    stands = [light.stand for light in lights if light.stand]
    if stands and inputs.location.footing.casefold() in SOFT_FOOTING:
        yield Caution(
            "footing",
            "act",
            say(
                _(
                    "{footing}: feet sink and the legs' reach shrinks: boards under the feet; "
                    "the ballast figures are for firm ground."
                ),
                footing=(inputs.location.footing, "text"),
            ),
            COMMON,
        )
    gust = next((stand.gust_m_s for stand in stands), None)
    if inputs.location.under_trees and gust is not None and gust >= c.TREE_GUST_M_S:
        yield Caution(
            "trees",
            "stop",
            say(
                _("gusts of {gust} under trees: branches fall; leave the wood."), gust=(gust, "m_s")
            ),
            say(_("woodland groups' practice, Beaufort 5 to 6")),
        )


def _water(inputs: SetInputs, water: WaterPlan | None) -> Iterator[Caution]:
    if inputs.location.water == "none":
        return
    yield Caution(
        "water",
        "act",
        say(
            _(
                "water: stands farther from the edge than they are tall, or a hand on each; heads "
                "hold lethal voltage, nobody grabs a wet one; wading below the knee, never alone."
            )
        ),
        say(_("common practice; the maker's limits")),
    )
    if inputs.location.water != "tidal":
        return
    if water is None:
        yield Caution(
            "tide-unknown",
            "stop",
            say(
                _(
                    "tidal water without a table for this set, or without the path's low point: "
                    "do not go out until both are recorded."
                )
            ),
            COMMON,
        )
    elif water.clear_by_at is not None:
        yield _tide(inputs, water)


def _tide(inputs: SetInputs, water: WaterPlan) -> Caution:
    late = inputs.end_at > water.strike_from_at
    message = (
        _(
            "off the shore by {clear_by}, start striking {strike}: the set runs past that. Water "
            "fills the low channels behind you first; low pressure and swell come on top."
        )
        if late
        else _(
            "off the shore by {clear_by}, start striking {strike}. Water fills the low channels "
            "behind you first; low pressure and swell come on top."
        )
    )
    return Caution(
        "tide",
        "stop" if late else "act",
        say(
            message,
            clear_by=(water.clear_by_at, "clock"),
            strike=(water.strike_from_at, "clock"),
        ),
        say(_("rule of twelfths between the official high and low waters; check today's table")),
    )


def _weather(inputs: SetInputs) -> Iterator[Caution]:
    forecast = inputs.forecast
    if forecast is None:
        yield Caution("forecast-none", "act", say(_("no forecast recorded for this set.")), COMMON)
        return
    if forecast.thunder:
        yield Caution(
            "thunder",
            "stop",
            say(
                _(
                    "thunder: stands down, everybody into a building or a closed car; {wait} from "
                    "the last thunder before anybody goes out again."
                ),
                wait=(c.LIGHTNING_WAIT_MIN, "min"),
            ),
            say(_("lightning guidance of national weather services: any thunder stops")),
        )
    if forecast.temperature_c is not None and forecast.humidity_percent is not None:
        felt_c = heat_index_c(forecast.temperature_c, forecast.humidity_percent)
        if heat_band(felt_c):
            yield Caution(
                "heat",
                "act",
                say(
                    _(
                        "feels like {felt} in the shade ({band}), more in the sun: shade, water, "
                        "shorter turns."
                    ),
                    felt=(felt_c, "c"),
                    band=(say(heat_band(felt_c)), "words"),
                ),
                say(_("heat index, National Weather Service SR 90-23")),
            )
    uv = forecast.uv_index
    if uv is not None and uv >= c.UV_PROTECTION_FROM - 0.5:
        yield Caution(
            "uv",
            "note",
            say(
                _("UV index {index} ({band}): hats, cream, shade."),
                index=(uv, "whole"),
                band=(say(uv_band(uv)), "words"),
            ),
            say(_("WHO global solar UV index guide 2002")),
        )


def _cold(inputs: SetInputs) -> Iterator[Caution]:
    forecast = inputs.forecast
    if forecast is None or forecast.temperature_c is None:
        return
    if forecast.temperature_c > c.COLD_MODEL_C:
        return
    felt_c = wind_chill_c(forecast.temperature_c, (forecast.wind_m_s or 0.0) * KM_H_A_M_S)
    yield Caution(
        "cold",
        "act",
        say(
            _(
                "feels like {felt} in the wind: the model gets a coat between frames and 10 to 15 "
                "minutes at a time; spare packs in an inside pocket, charged warm."
            ),
            felt=(felt_c, "c"),
        ),
        say(_("wind chill index, National Weather Service and Environment Canada 2001")),
    )


def _people(inputs: SetInputs) -> Iterator[Caution]:
    if any(person.photosensitive for person in inputs.attendees):
        yield Caution(
            "photosensitive",
            "stop",
            say(
                _(
                    "somebody here is sensitive to flashes: one live trigger, no bursts, no "
                    "stroboscopic mode, under three flashes in any second from all heads "
                    "together; warn before flashing."
                )
            ),
            say(_("WCAG 2.2 and broadcast guidance; ask the person, medical advice decides")),
        )
    minors = [person for person in inputs.attendees if person.under_age]
    if minors:
        missing = any(not person.guardian for person in minors)
        message = (
            _(
                "somebody under age and no guardian recorded: a named guardian present throughout "
                "and two adults at any time."
            )
            if missing
            else _(
                "somebody under age: the named guardian present throughout and two adults at any "
                "time."
            )
        )
        yield Caution(
            "minors",
            "stop" if missing else "act",
            say(message),
            say(_("clubs' safeguarding practice; local law decides")),
        )
    heads = len(inputs.attendees) + inputs.other_heads
    limit = inputs.location.head_limit
    if limit is not None and heads > limit:
        yield Caution(
            "head-limit",
            "stop",
            say(
                _("{heads} people with model and helpers, and the permit allows {limit}."),
                heads=(heads, "whole"),
                limit=(limit, "whole"),
            ),
            say(_("the permit of this place")),
        )


def _electricity(inputs: SetInputs) -> Iterator[Caution]:
    packs = {light.battery.name: light.battery for light in inputs.lights if light.battery}
    for pack in packs.values():
        if pack.capacity_wh > c.CELL_APPROVAL_WH:
            code, rule = "cells-160", _("{pack}, {energy}: not as passenger baggage by air; {care}")
        elif pack.capacity_wh > c.CELL_CABIN_WH:
            code, rule = "cells-100", _("{pack}, {energy}: by air with the airline's word; {care}")
        else:
            continue
        care = say(_("never charged unattended or below freezing, none swollen, wet or dropped."))
        yield Caution(
            code,
            "note",
            say(
                rule,
                pack=(pack.name, "text"),
                energy=(pack.capacity_wh, "wh"),
                care=(care, "words"),
            ),
            say(_("air-transport rules for lithium batteries as of 2026; the airline decides")),
        )
    if any(light.mains for light in inputs.lights) and inputs.location.water != "none":
        yield Caution(
            "mains-water",
            "stop",
            say(
                _(
                    "mains or inverter light near water: do not; battery heads only. Elsewhere a "
                    "residual-current device of 30 mA or less, and a licensed electrician decides."
                )
            ),
            say(_("wiring rules for outdoor equipment; local code")),
        )


def _eyes(lights: tuple[Light, ...]) -> Iterator[Caution]:
    for light in lights:
        if light.distance_m < c.FLASH_NEAR_FACE_M and light.set_power > c.FLASH_NEAR_FACE_POWER:
            yield Caution(
                "flash-near-face",
                "act",
                say(
                    _(
                        "{light}: near full power {distance} from a face: farther or less; warn, "
                        "let the model blink on the count."
                    ),
                    light=(light.name, "text"),
                    distance=(light.distance_m, "m"),
                ),
                COMMON,
            )
