"""What spoils the picture or the plan: glare, two suns, a stand in the frame, power, time."""

from collections.abc import Iterator

from planning.physics import constants as c
from planning.plan import shortfalls
from planning.plan.inputs import SetInputs
from planning.plan.result import BatteryRow, Caution, Exposure, Light, SunRow, Turn
from planning.plan.wellbeing import COMMON
from planning.plan.words import gettext_noop as _
from planning.plan.words import say

DAYS_A_YEAR = 365.25


def picture(
    inputs: SetInputs,
    sun: tuple[SunRow, ...],
    exposure: Exposure,
    lights: tuple[Light, ...],
    battery: tuple[BatteryRow, ...],
    rows: tuple[Turn, ...],
) -> Iterator[Caution]:
    """Yield the cautions about picture, power and time."""
    yield from _sun_in_camera(sun)
    yield from _sun_high(sun, lights)
    yield from _low_light(inputs, exposure, lights)
    for light, given in zip(lights, inputs.lights, strict=True):
        yield from _place(light)
        yield from shortfalls.power(inputs, exposure, light, given)
    yield from _camera(exposure)
    if inputs.attendees and not inputs.triggers:
        yield Caution(
            "no-triggers",
            "stop",
            say(_("no trigger comes along: put triggers on the workshop's kit list.")),
            say(_("the workshop's kit list")),
        )
    yield from shortfalls.packs(battery)
    yield from shortfalls.hands(inputs, lights, rows)
    yield from _compass(inputs)
    yield from shortfalls.time(inputs, exposure, rows)
    yield from shortfalls.fair_share(inputs, rows)
    yield from shortfalls.points(inputs)
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


def _compass(inputs: SetInputs) -> Iterator[Caution]:
    taken = inputs.location.declination_on
    if taken and (inputs.start_at.date() - taken).days > c.DECLINATION_YEARS * DAYS_A_YEAR:
        yield Caution(
            "declination-old",
            "note",
            say(_("the compass declination is years old: take it from a current chart.")),
            COMMON,
        )
