"""Cautions about people and what surrounds them: weather, cold, medical, minors, electricity."""

from collections.abc import Iterator

from planning.physics import constants as c
from planning.physics.weather import heat_band, heat_index_c, uv_band, wind_chill_c
from planning.plan.inputs import ForecastInputs, SetInputs
from planning.plan.result import Caution, Light
from planning.plan.words import gettext_noop as _
from planning.plan.words import say

MAKERS = say(_("the maker's limits"))
COMMON = say(_("common practice"))
KM_H_A_M_S = 3.6


def weather(inputs: SetInputs) -> Iterator[Caution]:
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
    yield from _heat(forecast)
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


def _heat(forecast: ForecastInputs) -> Iterator[Caution]:
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


def cold(inputs: SetInputs) -> Iterator[Caution]:
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


def people(inputs: SetInputs) -> Iterator[Caution]:
    if inputs.strobe_sensitive:
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
    yield from _minors(inputs)
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


def _minors(inputs: SetInputs) -> Iterator[Caution]:
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


def electricity(inputs: SetInputs) -> Iterator[Caution]:
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


def eyes(lights: tuple[Light, ...]) -> Iterator[Caution]:
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
