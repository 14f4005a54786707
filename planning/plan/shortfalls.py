"""What falls short: power, packs, hands, the model's minutes and the clock."""

import math
from collections.abc import Iterator

from planning.physics import constants as c
from planning.physics.flash import flash_tail_loss_stops
from planning.plan.inputs import LightInputs, SetInputs
from planning.plan.result import BatteryRow, Caution, Exposure, Light, Turn
from planning.plan.wellbeing import COMMON, MAKERS
from planning.plan.words import gettext_noop as _
from planning.plan.words import say

LONG_RECYCLE_S = 2.0
RE_METER_TURNS = 3.0  # light that moves within three turns is metered more often: common practice
POWER_WORDS = {
    "too weak": _("{light}: too weak; what helps stands under remedies."),
    "may be too weak": _("{light}: may be too weak; what helps stands under remedies."),
    "too strong": _("{light}: too strong; what helps stands under remedies."),
}


def power(
    inputs: SetInputs, exposure: Exposure, light: Light, given: LightInputs
) -> Iterator[Caution]:
    named = {"light": (light.name, "text")}
    if light.verdict in POWER_WORDS:
        yield Caution(
            light.verdict.replace(" ", "-"),
            "act",
            say(POWER_WORDS[light.verdict], **named),
            say(_("guide number and its spread")),
        )
    if not light.set_power:
        return
    if given.flash_duration_s:
        lost = flash_tail_loss_stops(exposure.start_s, given.flash_duration_s)
        if lost > c.SAME_STOPS:
            yield Caution(
                "flash-tail",
                "note",
                say(
                    _("{light}: near full its flash outlasts the shutter and loses {lost}."),
                    lost=(lost, "stops"),
                    **named,
                ),
                say(_("exponential tail of the flash, t0.1 at full power")),
            )
    yield from _pace(inputs, light, given)


def _pace(inputs: SetInputs, light: Light, given: LightInputs) -> Iterator[Caution]:
    """How fast the head can follow, and how hot it gets."""
    named = {"light": (light.name, "text")}
    recycle_s = (given.recycle_s or 0.0) * light.set_power
    if recycle_s > LONG_RECYCLE_S:
        yield Caution(
            "recycle",
            "note",
            say(
                _("{light}: about {recycle} between flashes at this power: wait for ready."),
                recycle=(recycle_s, "s"),
                **named,
            ),
            say(_("recycle time at full, in proportion")),
        )
    frames = inputs.frames_per_attendee * 10.0 / (inputs.turn_min + inputs.changeover_min)
    if given.overheat_flashes and frames > given.overheat_flashes / light.set_power:
        yield Caution(
            "overheat",
            "act",
            say(
                _(
                    "{light}: {frames} flashes in ten minutes against the maker's {limit}: slower, "
                    "or rest the head."
                ),
                frames=(frames, "whole"),
                limit=(math.floor(given.overheat_flashes / light.set_power), "whole"),
                **named,
            ),
            MAKERS,
        )


def packs(battery: tuple[BatteryRow, ...]) -> Iterator[Caution]:
    for row in battery:
        if row.batteries is not None and row.along is not None and row.batteries > row.along:
            yield Caution(
                "packs-short",
                "act",
                say(
                    _("{strobe}: {packs} packs wanted, {along} along: bring more, or use less."),
                    strobe=(row.strobe, "text"),
                    packs=(row.batteries, "whole"),
                    along=(row.along, "whole"),
                ),
                say(_("energy per flash and idle draw, health and cold at their low end")),
            )
        if row.swap_after_flashes is None:
            continue
        yield Caution(
            "battery-swap",
            "act",
            say(
                _("{strobe}: {packs} packs for this set, swap after about {flashes} flashes."),
                strobe=(row.strobe, "text"),
                packs=(row.batteries, "whole"),
                flashes=(row.swap_after_flashes, "whole"),
            ),
            say(_("energy per flash and idle draw, health and cold at their low end")),
        )


def hands(inputs: SetInputs, lights: tuple[Light, ...]) -> Iterator[Caution]:
    held = sum(1 for light in lights if light.stand is None or light.stand.verdict == "hold")
    # One attendee holds while another shoots; the rest are helpers.
    hands = inputs.helpers + min(1, max(len(inputs.attendees) - 1, 0))
    if held > hands:
        yield Caution(
            "hands",
            "act",
            say(
                _("{held} lamps need somebody's hands and {hands} are free: another helper."),
                held=(held, "whole"),
                hands=(hands, "whole"),
            ),
            COMMON,
        )


def time(
    inputs: SetInputs, exposure: Exposure, rows: tuple[Turn, ...], over_min: float
) -> Iterator[Caution]:
    if rows and over_min > 0.5:
        yield Caution(
            "over-run",
            "act",
            say(
                _(
                    "turns, talk and strike run {over} past the end: shorter turns or an earlier "
                    "start."
                ),
                over=(over_min, "min"),
            ),
            say(_("sum of the set's own minutes")),
        )
    model_min = inputs.demo_min + len(rows) * inputs.turn_min
    if inputs.model_minutes_limit is not None and model_min > inputs.model_minutes_limit:
        yield Caution(
            "model-limit",
            "act",
            say(
                _("the model stands {minutes} before the camera and agreed to {limit}: a break."),
                minutes=(model_min, "min"),
                limit=(inputs.model_minutes_limit, "min"),
            ),
            say(_("what was agreed with the model")),
        )
    every_min = exposure.re_meter_min
    if every_min is not None and every_min < RE_METER_TURNS * inputs.turn_min:
        yield Caution(
            "re-meter",
            "act",
            say(
                _("light changes a third of a stop in {every}: meter the base again that often."),
                every=(max(every_min, 1.0), "min"),
            ),
            say(_("the daylight estimate over this set")),
        )
