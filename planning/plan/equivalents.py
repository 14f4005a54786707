"""One recipe on another camera, and with another flash: what an attendee sets at home."""

import math
from dataclasses import dataclass

from planning.lesson.compatibility import effective_sync_s
from planning.physics.constants import HOT_SHOE_GUIDE_NUMBER_M, HOT_SHOE_UMBRELLA_STOPS
from planning.physics.exposure import exact_shutter_s, f_mark, nearest_f_number, nearest_iso
from planning.physics.flash import distance_for, flash_f_number, power_for
from planning.physics.optics import circle_of_confusion_mm
from planning.plan.inputs import CameraInputs
from planning.plan.result import Light

SAME = 1.0001  # two settings this near are one
SIMPLE_PENALTY_STOPS = 1 / 3  # of a fire-only trigger; common practice, measured in the trade


@dataclass(frozen=True)
class Recipe:
    """What was set on the set's camera, each an exact member of its series."""

    f_number: float
    shutter_s: float
    iso: float
    focal_mm: float
    sensor_width_mm: float
    sensor_height_mm: float
    key_alone_f_number: float | None = None  # the key by itself, dome to the lamp
    key_distance_m: float | None = None


@dataclass(frozen=True)
class OwnSettings:
    """The same picture from the same place with somebody's own body."""

    f_number: float
    shutter_s: float
    iso: float
    focal_mm: float  # takes in the same width
    same_depth_f_number: float  # holds as much sharp; the light is another matter
    backdrop_stops: float  # how much lighter the backdrop comes out; the flash stays
    reason: str  # same, iso floor, slower sync, both

    @property
    def differs(self) -> bool:
        return self.reason != "same"


@dataclass(frozen=True)
class SmallerFlash:
    """What another flash does in the key's place."""

    power: float  # needed at the key's distance; above 1 it is out of reach
    short_stops: float  # how far out of reach, 0 when it is enough
    full_power_m: float  # where it gives the key's reading at full power; 0: nowhere


def reads_alone(light: Light, power: float, iso: float) -> float | None:
    """Return what a lamp of a plan reads alone in its place at another power and ISO.

    None for a lamp that is off.

    Source: ISO 1230:1992, guide number is distance times f-number.
    """
    if not power:
        return None
    return flash_f_number(
        light.guide_number_m,
        light.distance_m,
        iso,
        power,
        light.source_diameter_m,
        light.source_offset_m,
    )


def reading_mark(f_number: float | None) -> str:
    """Return the mark a meter shows for it; empty where it shows none."""
    return f_mark(nearest_f_number(f_number)) if f_number and f_number >= 1.0 else ""


def own_settings(
    recipe: Recipe, camera: CameraInputs, penalty_stops: float = SIMPLE_PENALTY_STOPS
) -> OwnSettings:
    """Return a recipe on another body with a trigger that costs ``penalty_stops`` of sync.

    A higher lowest ISO closes the aperture and leaves the flash alone; a slower sync leaves
    aperture and flash and lets the backdrop up. Raises OutOfRange for a size not above 0.

    Source: exposure by ISO 2720; sync and ISO floors as the plan's own lines take them.
    """
    sync_s = effective_sync_s(camera.sync_s, penalty_stops, camera.measured_sync_s)
    shutter_s = exact_shutter_s(max(recipe.shutter_s, sync_s))
    iso = max(recipe.iso, nearest_iso(camera.lowest_iso))
    slower, higher = shutter_s > recipe.shutter_s * SAME, iso > recipe.iso * SAME
    wide = camera.sensor_width_mm / recipe.sensor_width_mm
    blur = circle_of_confusion_mm(camera.sensor_width_mm, camera.sensor_height_mm)
    theirs = circle_of_confusion_mm(recipe.sensor_width_mm, recipe.sensor_height_mm)
    reasons = {(False, False): "same", (True, False): "slower sync", (False, True): "iso floor"}
    return OwnSettings(
        f_number=nearest_f_number(recipe.f_number * math.sqrt(iso / recipe.iso)),
        shutter_s=shutter_s,
        iso=iso,
        focal_mm=recipe.focal_mm * wide,
        same_depth_f_number=nearest_f_number(recipe.f_number * blur / theirs),
        backdrop_stops=math.log2(shutter_s / recipe.shutter_s) if slower else 0.0,
        reason=reasons.get((slower, higher), "both"),
    )


def smaller_flash(recipe: Recipe, guide_number_m: float) -> SmallerFlash | None:
    """Return what a flash of that guide number does for the key, bare or with its modifier on.

    None where the recipe has no key. More ISO does not help it: the aperture follows the
    daylight. Raises OutOfRange for a guide number not above 0.

    Source: ISO 1230:1992, guide number is distance times f-number.
    """
    if not recipe.key_alone_f_number or not recipe.key_distance_m:
        return None
    power = power_for(recipe.key_alone_f_number, guide_number_m, recipe.key_distance_m, recipe.iso)
    return SmallerFlash(
        power=power,
        short_stops=max(0.0, math.log2(power)),
        full_power_m=distance_for(recipe.key_alone_f_number, guide_number_m, iso=recipe.iso),
    )


def hot_shoe(recipe: Recipe) -> tuple[SmallerFlash, SmallerFlash] | None:
    """Return what a usual hot-shoe flash does in the key's place: bare, and through an umbrella.

    Source: beside its guide number in ``physics.constants``.
    """
    through_m = HOT_SHOE_GUIDE_NUMBER_M * 2 ** (HOT_SHOE_UMBRELLA_STOPS / 2)
    bare, soft = (smaller_flash(recipe, gn) for gn in (HOT_SHOE_GUIDE_NUMBER_M, through_m))
    return (bare, soft) if bare and soft else None
