"""What spoils the picture or the plan: glare, two suns, a stand in the frame, power, time."""

import math
from collections.abc import Iterator

from planning.physics import constants as c
from planning.physics.flash import flash_tail_loss_stops
from planning.plan.inputs import LightInputs, SetInputs
from planning.plan.result import BatteryRow, Caution, Exposure, Light, SunRow, Turn
from planning.plan.wellbeing import COMMON, MAKERS
from planning.plan.words import gettext_noop as _
from planning.plan.words import say

LONG_RECYCLE_S = 2.0
DAYS_A_YEAR = 365.25
RE_METER_TURNS = 3.0  # light that moves within three turns is metered more often: common practice


def picture(
    inputs: SetInputs,
    sun: tuple[SunRow, ...],
    exposure: Exposure,
    lights: tuple[Light, ...],
    battery: tuple[BatteryRow, ...],
    rows: tuple[Turn, ...],
    over_min: float,
) -> Iterator[Caution]:
    """Yield the cautions about picture, power and time."""
    yield from _sun_in_camera(sun)
    yield from _sun_high(sun, lights)
    yield from _low_light(inputs, exposure, lights)
    for light, given in zip(lights, inputs.lights, strict=True):
        yield from _place(light)
        yield from _power(inputs, exposure, light, given)
    yield from _camera(exposure)
    yield from _battery(battery)
    yield from _hands(inputs, lights)
    yield from _compass(inputs)
    yield from _time(inputs, exposure, rows, over_min)
    if inputs.location.under_trees:
        yield Caution(
            "patchy",
            "note",
            say(_("light under leaves is patchy: meter the very spot.")),
            COMMON,
        )
    if inputs.base_kind == "sky" and exposure.base_source == "estimate" and _sun_gone(sun):
        yield Caution(
            "meter-sky",
            "act",
            say(_("after sunset a sky is metered, not estimated: read it before the first frame.")),
            COMMON,
        )


def _sun_gone(sun: tuple[SunRow, ...]) -> bool:
    return any(row.geometric_elevation_deg < c.SUNRISE_ELEVATION_DEG for row in sun)


def _sun_in_camera(sun: tuple[SunRow, ...]) -> Iterator[Caution]:
    for row in sun:
        near = abs(row.from_camera_deg) < c.LENS_FLARE_DEG
        low = 0.0 < row.elevation_deg < c.HIGH_SUN_DEG
        if near and low and row.above_horizon_profile:
            yield Caution(
                "sun-in-camera",
                "act",
                say(
                    _(
                        "sun {off} off the lens axis at {at}: never through an optical finder; "
                        "shade the lens, clean glass."
                    ),
                    off=(abs(row.from_camera_deg), "deg"),
                    at=(row.at, "clock"),
                ),
                say(_("sun's position; eye safety")),
            )
            return


def _sun_high(sun: tuple[SunRow, ...], lights: tuple[Light, ...]) -> Iterator[Caution]:
    top_deg = max(row.elevation_deg for row in sun)
    if top_deg > c.HIGH_SUN_DEG and any(light.matching_height_m for light in lights):
        yield Caution(
            "sun-high",
            "note",
            say(
                _("sun {height} high: keep the lamp lower and match only the side."),
                height=(top_deg, "deg"),
            ),
            COMMON,
        )


def _low_light(
    inputs: SetInputs, exposure: Exposure, lights: tuple[Light, ...]
) -> Iterator[Caution]:
    if not exposure.schedule:
        return
    blurred = next((row for row in exposure.schedule if not row.hand_held), None)
    if blurred is not None:
        yield Caution(
            "low-light-hands",
            "act",
            say(
                _("from {at} no hand holds {mark}: tripod and a still model, or end there."),
                at=(blurred.at, "clock"),
                mark=(blurred.mark, "text"),
            ),
            COMMON,
        )
    down = exposure.schedule[-1].flash_stops
    for light, given in zip(lights, inputs.lights, strict=True):
        if light.set_power and light.power * 2.0 ** (down + c.SAME_STOPS) < given.least_power:
            yield Caution(
                "low-light-least",
                "act",
                say(
                    _("{light}: its least power is too much later on: ND or cloth on the lamp."),
                    light=(light.name, "text"),
                ),
                say(_("the head's least power")),
            )


def _place(light: Light) -> Iterator[Caution]:
    named = {"light": (light.name, "text")}
    if light.in_frame:
        yield Caution(
            "in-frame",
            "note",
            say(_("{light}: its stand shows in the frame."), **named),
            say(_("lens, distances and angle")),
        )
    if light.role in ("key", "fill") and light.sun_side == "opposite" and _shows(light):
        yield Caution(
            "two-suns",
            "act",
            say(
                _(
                    "{light} stands across from the sun: two sets of shadows where sunlight shows "
                    "on the ground; move it to the sun's side, or soften it."
                ),
                **named,
            ),
            COMMON,
        )
    if light.sun_side_changes_at:
        message = (
            _("{light}: the sun leaves the set at {at}.")
            if light.sun_side_then == "none"
            else _("{light}: the sun's side changes at {at}.")
        )
        yield Caution(
            "sun-side-changes",
            "act",
            say(message, at=(light.sun_side_changes_at, "clock"), **named),
            say(_("sun's position")),
        )


def _shows(light: Light) -> bool:
    """Whether the flash comes within two stops of the sun on the ground: then its shadow shows."""
    return light.ground_stops is not None and light.ground_stops >= -c.TWO_SUNS_STOPS


def _power(
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


POWER_WORDS = {
    "too weak": _("{light}: too weak; what helps stands under remedies."),
    "may be too weak": _("{light}: may be too weak; what helps stands under remedies."),
    "too strong": _("{light}: too strong; what helps stands under remedies."),
}


def _camera(exposure: Exposure) -> Iterator[Caution]:
    if exposure.camera_fits:
        yield Caution("camera", "act", exposure.camera_fits, say(_("the lens's own limits")))
    if exposure.own_lines:
        names = ", ".join(line.attendee for line in exposure.own_lines)
        yield Caution(
            "bodies",
            "note",
            say(_("own line or loan body: {names} (see back)."), names=(names, "text")),
            say(_("what everybody said of their cameras")),
        )


def _battery(battery: tuple[BatteryRow, ...]) -> Iterator[Caution]:
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


def _hands(inputs: SetInputs, lights: tuple[Light, ...]) -> Iterator[Caution]:
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


def _compass(inputs: SetInputs) -> Iterator[Caution]:
    taken = inputs.location.declination_on
    if taken and (inputs.start_at.date() - taken).days > c.DECLINATION_YEARS * DAYS_A_YEAR:
        yield Caution(
            "declination-old",
            "note",
            say(_("the compass declination is years old: take it from a current chart.")),
            COMMON,
        )


def _time(
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
