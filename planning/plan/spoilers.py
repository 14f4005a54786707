"""What spoils the picture or the plan: glare, two suns, a stand in the frame, power, time."""

import math
from collections.abc import Iterator

from planning.physics import constants as c
from planning.plan.cautions import COMMON, MAKERS
from planning.plan.inputs import SetInputs
from planning.plan.result import BatteryRow, Caution, Exposure, Light, SunRow, Turn


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
    yield from _sun_in_camera(inputs, sun)
    for light in lights:
        yield from _light(inputs, light)
    if exposure.own_lines:
        names = ", ".join(line.attendee for line in exposure.own_lines)
        yield Caution("bodies", "note", f"own line or loan body: {names} (see back).", "records")
    for row in battery:
        if row.batteries is not None and row.batteries > 1:
            yield Caution(
                "battery-swap",
                "act",
                f"{row.strobe}: {row.batteries} packs for this set, swap after about "
                f"{row.swap_after_flashes:.0f} flashes.",
                "energy per flash, idle draw, health and cold at their low end",
            )
    if rows and over_min > 0.5:
        yield Caution(
            "over-run",
            "act",
            f"turns, critique and strike run {over_min:.0f} min past the end: shorter turns or an "
            "earlier start.",
            "sum of the set's own minutes",
        )
    if exposure.re_meter_min is not None and exposure.re_meter_min < inputs.turn_min * 3.0:
        yield Caution(
            "re-meter",
            "act",
            f"light changes a third of a stop in {exposure.re_meter_min:.0f} min: meter the base "
            "again that often.",
            "the daylight estimate over this set",
        )
    if inputs.location.under_trees:
        yield Caution(
            "patchy", "note", "light under leaves is patchy: meter the very spot.", COMMON
        )


def _sun_in_camera(inputs: SetInputs, sun: tuple[SunRow, ...]) -> Iterator[Caution]:
    for row in sun:
        if (
            abs(row.from_camera_deg) < c.LENS_FLARE_DEG
            and 0.0 < row.elevation_deg < c.HIGH_SUN_DEG
            and row.above_horizon_profile
        ):
            yield Caution(
                "sun-in-camera",
                "act",
                f"sun {abs(row.from_camera_deg):.0f} degrees off the lens axis at "
                f"{row.at:%H:%M}: never through an optical finder; shade the lens, clean glass.",
                "sun's position; eye safety",
            )
            return


def _light(inputs: SetInputs, light: Light) -> Iterator[Caution]:
    if light.in_frame:
        yield Caution("in-frame", "note", f"{light.name}: its stand shows in the frame.", "plan")
    if light.verdict in ("too weak", "may be too weak", "too strong"):
        yield Caution(
            light.verdict.replace(" ", "-"),
            "act",
            f"{light.name}: {light.verdict}; what helps stands under remedies.",
            "guide number and its spread",
        )
    if light.role in ("key", "fill") and light.sun_side == "opposite":
        yield Caution(
            "two-suns",
            "act",
            f"{light.name} stands across from the sun: two sets of shadows where sunlight shows "
            "on the ground; move it to the sun's side, or soften it.",
            COMMON,
        )
    if light.sun_side == "changes" and light.sun_side_changes_at:
        yield Caution(
            "sun-side-changes",
            "act",
            f"{light.name}: the sun's side changes at {light.sun_side_changes_at:%H:%M}.",
            "sun's position",
        )
    given = next(one for one in inputs.lights if one.name == light.name)
    if given.recycle_s and light.set_power:
        full_s = given.recycle_s * light.set_power
        if full_s > 2.0:
            yield Caution(
                "recycle",
                "note",
                f"{light.name}: about {full_s:.0f} s between flashes at this power: wait for "
                "ready.",
                "recycle time at full, in proportion",
            )
    if given.overheat_flashes and light.set_power:
        limit = given.overheat_flashes / light.set_power
        frames = inputs.frames_per_attendee * 10.0 / (inputs.turn_min + inputs.changeover_min)
        if frames > limit:
            yield Caution(
                "overheat",
                "act",
                f"{light.name}: {frames:.0f} flashes in ten minutes against the maker's "
                f"{math.floor(limit)}: slower, or rest the head.",
                MAKERS,
            )
