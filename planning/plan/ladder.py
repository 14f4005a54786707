"""From the start the shutter alone trims the backdrop: what each step does, and where it ends."""

import math
from dataclasses import dataclass

from planning.physics import constants as c
from planning.physics.exposure import ev100, f_mark, nearest_f_number, shutter_mark, sum_stops
from planning.physics.flash import power_mark, power_setting, spill_stops
from planning.physics.reading import spot_over_incident_stops
from planning.physics.tone import tone_stops
from planning.plan.exposure import SERIES_TOLERANCE, Settled, placement_stops
from planning.plan.inputs import SetInputs
from planning.plan.lights import Lamp, key_lamp, needed_power, reach_m
from planning.plan.result import CorrectionRow, LadderStep
from planning.plan.words import NOTHING, Words, say
from planning.plan.words import gettext_noop as _

NO_LIGHT = 1e-9  # shares below this are rounding, not light
DARK = -math.inf  # stops of no light at all


@dataclass(frozen=True)
class Mix:
    """What falls where at the first step, in stops from what the camera is set for."""

    backdrop_ambient: float
    face_ambient: float
    shade_ambient: float
    face_flash: float
    shade_flash: float
    spill: float  # on the backdrop, from its own normal
    backdrop_flash: float  # spill and background lamps together

    def backdrop(self, step: int) -> float:
        return _add(self.backdrop_ambient + step, self.backdrop_flash)

    def face(self, step: int) -> float:
        return _add(self.face_ambient + step, self.face_flash)

    def shade(self, step: int) -> float:
        return _add(self.shade_ambient + step, self.shade_flash)


def _add(*stops: float) -> float:
    lit = [stop for stop in stops if stop > DARK]
    return sum_stops(*lit) if lit else DARK


def mix(inputs: SetInputs, settled: Settled, lamps: tuple[Lamp, ...]) -> Mix:
    """Return how ambient and flash add up on backdrop, face and shadow side at the start."""
    camera_ev = settled.camera_ev100
    spill = _spill(inputs, settled, lamps)
    background = [
        _over(lamp.reading_f_number, settled) + _tone_link(inputs)
        for lamp in lamps
        if lamp.given.role == "background"
    ]
    fills = [lamp for lamp in lamps if lamp.frontal and _fills(inputs, lamp)]
    return Mix(
        backdrop_ambient=_backdrop_ev100(inputs, settled) - camera_ev,
        face_ambient=settled.levels.subject_ev100 - camera_ev,
        shade_ambient=settled.levels.shade_ev100 - camera_ev,
        face_flash=_weighted(settled, [lamp for lamp in lamps if lamp.frontal]),
        shade_flash=_weighted(settled, fills),
        spill=spill,
        backdrop_flash=_add(spill, *background),
    )


def _backdrop_ev100(inputs: SetInputs, settled: Settled) -> float:
    """Where the backdrop stands against its wanted tone; in fill sets the base is the face."""
    if inputs.job != "fill":
        return settled.base_ev100
    levels = settled.levels
    if inputs.base_kind == "sky":
        return levels.sky_ev100 - placement_stops(inputs)
    return levels.incident_ev100 + _tone_link(inputs)


def _fills(inputs: SetInputs, lamp: Lamp) -> bool:
    return inputs.job == "fill" or lamp.given.role == "fill"


def _over(f_number: float, settled: Settled) -> float:
    """A lamp's reading against the working aperture, in stops."""
    return 2.0 * math.log2(f_number / settled.working_f_number) if f_number > 0 else DARK


def _weighted(settled: Settled, lamps: list[Lamp]) -> float:
    return _add(
        *(
            _over(lamp.reading_f_number, settled) + math.log2(lamp.weight)
            for lamp in lamps
            if lamp.reading_f_number > 0 and lamp.weight > 0
        )
    )


def _tone_link(inputs: SetInputs) -> float:
    """From light falling on the backdrop to its tone against the wanted one, in stops."""
    if inputs.base_kind == "spot":
        return spot_over_incident_stops(inputs.backdrop_reflectance) - placement_stops(inputs)
    return 0.0


def _spill(inputs: SetInputs, settled: Settled, lamps: tuple[Lamp, ...]) -> float:
    if inputs.gap_behind_m is None or inputs.base_kind == "sky":
        return DARK
    return _add(
        *(
            _over(lamp.reading_f_number, settled)
            + spill_stops(
                lamp.given.distance_m + lamp.given.source_offset_m,
                inputs.gap_behind_m,
                lamp.given.source_diameter_m,
            )
            + _tone_link(inputs)
            for lamp in lamps
            if lamp.frontal and lamp.reading_f_number > 0
        )
    )


def ladder(
    inputs: SetInputs, settled: Settled, light: Mix, key_power: float
) -> tuple[tuple[LadderStep, ...], Words]:
    """Return the steps, each halving the shutter's speed, and why the ladder ends.

    It ends where white cloth in the lit face's light blows, where hands or the model give
    out, or where the wanted ratio is lost; three steps are always shown, the step that ends
    it with its reason.
    """
    rows: list[LadderStep] = []
    end = NOTHING
    for step in range(c.LADDER_MOST_STEPS + 1):
        shutter_s = settled.start_s * 2.0**step
        row = _step(inputs, light, step, shutter_s, key_power)
        if end and step > c.LADDER_UPWARD_STEPS:
            break
        rows.append(row)
        if row.stops_here and not end:
            end = say(
                _("{mark}: {reason}"), mark=(row.mark, "text"), reason=(row.stops_here, "words")
            )
    return tuple(rows), end


def _step(
    inputs: SetInputs, light: Mix, step: int, shutter_s: float, key_power: float
) -> LadderStep:
    face, shade = light.face(step), light.shade(step)
    hand_held = shutter_s <= inputs.slowest_hand_held_s * (1 + SERIES_TOLERANCE)
    ratio = 2.0 ** (face - shade) if shade > DARK else None
    reason = NOTHING
    if face + tone_stops(c.WHITE_CLOTH_REFLECTANCE, ambient_stops=0.0) > c.BLOWN_STOPS:
        reason = say(_("white cloth blows"))
    elif not hand_held:
        reason = say(_("hands or the model blur"))
    elif inputs.least_ratio and ratio is not None and ratio < inputs.least_ratio:
        reason = say(_("ratio under {ratio}:1"), ratio=(inputs.least_ratio, "tenths"))
    return LadderStep(
        shutter_s=shutter_s,
        mark=shutter_mark(shutter_s),
        ambient_background_stops=light.backdrop_ambient + step,
        spill_stops=light.spill if light.spill > DARK else None,
        background_stops=light.backdrop(step),
        face_stops=face,
        shadow_stops=shade if shade > DARK else None,
        ratio=ratio,
        hand_held=hand_held,
        hold_power=_hold_power(light, step, key_power),
        stops_here=reason,
    )


def _hold_power(light: Mix, step: int, key_power: float) -> float | None:
    """The key power that keeps the face where it was at the first step, while one exists."""
    flash = 2.0**light.face_flash if light.face_flash > DARK else 0.0
    held = 2.0 ** light.face(0) - 2.0 ** (light.face_ambient + step)
    return key_power * held / flash if flash > 0.0 and held > NO_LIGHT else None


def correction(settled: Settled, lamps: tuple[Lamp, ...]) -> tuple[CorrectionRow, ...]:
    """Return the strip: for each base met, a stop either way, the camera and the head.

    The face's own light moves with the base, so the head moves by as many stops; where it
    runs out of power the cord does the rest.
    """
    key = key_lamp(lamps)
    rows = []
    for thirds in range(-3, 4):
        base = settled.base_f_number * 2.0 ** (thirds / 6.0)
        working = settled.working_f_number * 2.0 ** (thirds / 6.0)
        mark, distance_m = _head(settled, key, thirds / 3.0)
        rows.append(
            CorrectionRow(
                base_mark=f_mark(nearest_f_number(base)),
                working_mark=f_mark(nearest_f_number(working)),
                power_mark=mark,
                distance_m=distance_m,
                planned=thirds == 0,
            )
        )
    return tuple(rows)


def _head(settled: Settled, key: Lamp | None, more_stops: float) -> tuple[str, float | None]:
    """The key's mark and distance when everything stands ``more_stops`` brighter."""
    if key is None or key.reading_f_number <= 0.0:
        return "off", key.given.distance_m if key else None
    light = key.given
    reading = key.reading_f_number * 2.0 ** (more_stops / 2.0)
    power = needed_power(light, reading, settled.iso)
    distance_m: float | None = light.distance_m
    if not light.least_power <= power <= 1.0:
        power = min(max(power, light.least_power), 1.0)
        distance_m = reach_m(light, reading, power, settled.iso)
    setting = power_setting(power, light.power_step_stops, light.least_power)
    return power_mark(setting, light.power_step_stops, light.power_scale), distance_m


def surfaces(inputs: SetInputs, light: Mix, step: int) -> list[tuple[str, float]]:
    """Return (surface, stops from mid-grey) at one ladder step."""

    def lit(reflectance: float) -> float:
        return tone_stops(
            reflectance,
            ambient_stops=light.face_ambient + step,
            flash_stops=light.face_flash if light.face_flash > DARK else None,
        )

    def shaded(reflectance: float) -> float:
        return tone_stops(
            reflectance,
            ambient_stops=light.shade_ambient + step,
            flash_stops=light.shade_flash if light.shade_flash > DARK else None,
        )

    wardrobe = inputs.wardrobe or "wardrobe"
    return [
        ("skin lit", lit(inputs.skin_reflectance)),
        ("skin shaded", shaded(inputs.skin_reflectance)),
        (f"{wardrobe} lit", lit(inputs.wardrobe_reflectance)),
        (f"{wardrobe} shaded", shaded(inputs.wardrobe_reflectance)),
        ("white cloth lit", lit(c.WHITE_CLOTH_REFLECTANCE)),
        ("black cloth lit", lit(c.BLACK_CLOTH_REFLECTANCE)),
        ("black cloth shaded", shaded(c.BLACK_CLOTH_REFLECTANCE)),
    ]


def backdrop_tones(inputs: SetInputs, settled: Settled, light: Mix, step: int):
    """Return (surface, stops) of sky and backdrop, from mid-grey in the picture."""
    sky = settled.levels.sky_ev100 - ev100(
        settled.working_f_number, settled.start_s * 2.0**step, settled.iso
    )
    backdrop = light.backdrop(step)
    if inputs.base_kind == "sky":
        return [("sky", sky)]
    if inputs.base_kind == "spot":
        return [("sky", sky), ("backdrop", backdrop + placement_stops(inputs))]
    return [
        ("sky", sky),
        ("backdrop", backdrop + math.log2(inputs.backdrop_reflectance / c.GREY_REFLECTANCE)),
    ]
