"""What can hurt somebody, raised by numbers and records, as data.

A figure warns; it never permits. Each caution defers to makers' limits, local rules and
whoever is licensed to decide.
"""

from collections.abc import Iterator

from planning.physics import constants as c
from planning.plan import wellbeing
from planning.plan.inputs import SetInputs
from planning.plan.result import Caution, Light, Stand, WaterPlan
from planning.plan.wellbeing import COMMON
from planning.plan.words import gettext_noop as _
from planning.plan.words import say

VERDICTS = {  # the contract's words, marked for the translators
    "bag": _("bag"),
    "hold": _("hold"),
    "modifier off": _("modifier off"),
    "strike": _("strike"),
    "no forecast": _("no forecast"),
}
TWELFTHS = say(_("rule of twelfths between the official high and low waters; check today's table"))
SOFT_FOOTING = ("sand", "mud", "soft", "shingle")
BAG_SLACK_KG = 0.5  # nobody weighs a sandbag closer


def safety(
    inputs: SetInputs, lights: tuple[Light, ...], water: WaterPlan | None
) -> Iterator[Caution]:
    """Yield what can hurt somebody: wind, water, weather, electricity, flashes, people."""
    for light in lights:
        yield from _stand(inputs, light)
    yield from _ground(inputs, lights)
    yield from _water(inputs, water)
    yield from wellbeing.weather(inputs)
    yield from wellbeing.cold(inputs)
    yield from wellbeing.people(inputs)
    yield from wellbeing.electricity(inputs)
    yield from wellbeing.eyes(lights)


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
    if stand.verdict in ("bag", "hold") and stand.need_hung_kg > stand.bag_kg + BAG_SLACK_KG:
        yield _ballast_short(light, stand)


def _ballast_short(light: Light, stand: Stand) -> Caution:
    message = (
        _(
            "{light}: hang {need}, no bag on a foot does it; the {bag} planned hold {factor} times "
            "the gust of {gust}."
        )
        if stand.need_on_foot_kg is None
        else _(
            "{light}: hang {need} or lay {foot} on the windward foot; the {bag} planned hold "
            "{factor} times the gust of {gust}."
        )
    )
    return Caution(
        "ballast-short",
        "stop" if stand.safety_factor < 1.0 else "act",
        say(
            message,
            light=(light.name, "text"),
            need=(stand.need_hung_kg, "need_kg"),
            foot=(stand.need_on_foot_kg or 0.0, "need_kg"),
            bag=(stand.bag_kg, "kg"),
            factor=(stand.safety_factor, "tenths"),
            gust=(stand.gust_m_s, "m_s"),
        ),
        say(_("overturning moment: slope, overhang and swinging wind counted")),
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
        return
    yield from _flood(inputs, water)


def _flood(inputs: SetInputs, water: WaterPlan) -> Iterator[Caution]:
    if water.clear_by_at is not None:
        yield _tide(inputs, water)
    if water.stands_flood_at is not None and water.stands_flood_at <= inputs.end_at:
        yield Caution(
            "stands-flood",
            "stop",
            say(
                _("the water reaches the stands at {at}: set them higher or end before."),
                at=(water.stands_flood_at, "clock"),
            ),
            TWELFTHS,
        )
    pressure_hpa = inputs.forecast.pressure_hpa if inputs.forecast else None
    if pressure_hpa is not None and pressure_hpa < c.LOW_PRESSURE_HPA:
        yield Caution(
            "low-pressure",
            "act",
            say(
                _("low pressure lifts the sea by about {rise} over the table: leave earlier."),
                rise=((c.PRESSURE_MEAN_HPA - pressure_hpa) * c.PRESSURE_M_PER_HPA, "m"),
            ),
            COMMON,
        )


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
        TWELFTHS,
    )
