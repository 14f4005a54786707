"""The light already there: estimated from sun and sky, replaced by what was metered."""

import math
from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from planning.physics import constants as c
from planning.physics.daylight import Daylight, daylight, plane_parts_lx, spread_stops
from planning.physics.exposure import ev100_from_cd_m2, ev100_from_lx
from planning.physics.horizon import horizon_elevation_deg
from planning.physics.reading import spot_over_incident_stops
from planning.physics.sky import PATTERN_OF_SKY, sky_luminance_cd_m2
from planning.physics.sun import SunPosition, sun_position
from planning.plan.inputs import DaylightInputs, SetInputs
from planning.plan.refusal import no_plan
from planning.plan.result_sky import AmbientRow, SkyState
from planning.plan.words import gettext_noop as _

SKIES = ("clear", "partly", "overcast")


@dataclass(frozen=True)
class Levels:
    """What the plan reads at one instant."""

    subject_ev100: float  # incident, upright plane facing the camera
    shade_ev100: float  # the same plane without the beam
    incident_ev100: float  # at the backdrop, on its own plane
    sky_ev100: float  # reflected, of the sky patch the camera sees
    ground_sun_ev100: float | None  # the beam alone on level ground; None: no beam


@dataclass(frozen=True)
class Offsets:
    """What readings add to the estimate of each quantity, and what spread is left."""

    stops: tuple[tuple[str, float], ...] = ()  # (quantity, stops)
    sources: tuple[tuple[str, str], ...] = ()  # (quantity, metered or own)
    spreads: tuple[tuple[str, float], ...] = ()

    def added(self, quantity: str) -> float:
        return dict(self.stops).get(quantity, 0.0)

    def source(self, quantity: str) -> str:
        return dict(self.sources).get(quantity, "estimate")

    def spread(self, quantity: str) -> float:
        return dict(self.spreads)[quantity]


def sky_word(inputs: SetInputs) -> str:
    return inputs.forecast.sky if inputs.forecast else "clear"


def local(inputs: SetInputs, at: datetime) -> datetime:
    return at.astimezone(ZoneInfo(inputs.location.timezone))


def sun_at(inputs: SetInputs, at: datetime) -> SunPosition:
    return sun_position(inputs.location.place, local(inputs, at))


def clear_of_profile(inputs: SetInputs, sun: SunPosition) -> bool:
    """Whether the sun's centre stands above the location's horizon."""
    if not inputs.location.horizon:
        return sun.geometric_elevation_deg >= c.SUNRISE_ELEVATION_DEG
    profile_deg = horizon_elevation_deg(inputs.location.horizon, sun.azimuth_deg)
    return sun.elevation_deg > max(profile_deg, 0.0)


def estimate(inputs: SetInputs, at: datetime, sky: str, *, dark_too: bool = False) -> Levels:
    """Return the levels by the daylight equations, with the sky's median correction, and with
    what the house's own readings under such a sky stood beside them, where it has any.

    Raises NoPlan below 12 degrees under the horizon, where the equations end;
    ``dark_too`` goes on with what they give there, for what a reading then replaces.
    """
    sun = sun_at(inputs, at)
    elevation_deg = sun.geometric_elevation_deg
    if elevation_deg < c.DAYLIGHT_FLOOR_DEG and not dark_too:
        raise no_plan(
            "start_at" if at <= inputs.start_at else "end_at",
            _(
                "the sun stands {below} below the horizon at {time} on {day}, where no daylight "
                "can be estimated: enter a metered base reading for this set, or plan it for "
                "another time"
            ),
            below=(-elevation_deg, "deg"),
            time=(local(inputs, at), "clock"),
            day=(f"{local(inputs, at):%Y-%m-%d}", "text"),
        )
    elevation_deg = max(elevation_deg, c.DAYLIGHT_FLOOR_DEG)
    light = daylight(elevation_deg, sky, local(inputs, at).timetuple().tm_yday)
    median_stops = spread_stops(sky, elevation_deg)[1]
    found = _levels(inputs, sun, light, PATTERN_OF_SKY[sky], median_stops)
    return _with_bias(found, bias(inputs, sky))


def bias(inputs: SetInputs, sky: str) -> DaylightInputs | None:
    """What was learned of the daylight under a sky; None where it was never metered."""
    return next((one for one in inputs.daylight if one.sky == sky), None)


def _with_bias(levels: Levels, learned: DaylightInputs | None) -> Levels:
    """It was learned from incident readings: what the sky itself shows stays as it is."""
    if learned is None:
        return levels
    ground = levels.ground_sun_ev100
    return replace(
        levels,
        subject_ev100=levels.subject_ev100 + learned.moved_stops,
        shade_ev100=levels.shade_ev100 + learned.moved_stops,
        incident_ev100=levels.incident_ev100 + learned.moved_stops,
        ground_sun_ev100=None if ground is None else ground + learned.moved_stops,
    )


def _levels(
    inputs: SetInputs, sun: SunPosition, light: Daylight, pattern: int, median_stops: float
) -> Levels:
    elevation_deg = max(sun.geometric_elevation_deg, c.DAYLIGHT_FLOOR_DEG)
    beam_lx = light.direct_normal_lx if clear_of_profile(inputs, sun) else 0.0
    seen = Daylight(beam_lx, light.diffuse_horizontal_lx * (1 - inputs.location.sky_cover_share))

    def plane_lx(facing_deg: float, tilt_deg: float) -> tuple[float, float]:
        """(without the beam, with it)"""
        parts = plane_parts_lx(
            seen,
            elevation_deg,
            sun.azimuth_deg,
            facing_deg=facing_deg,
            tilt_deg=tilt_deg,
            ground_reflectance=inputs.location.ground_reflectance,
            sky_pattern=pattern,
        )
        shade_lx = parts.sky_lx + parts.ground_lx
        return shade_lx, shade_lx + parts.beam_lx

    toward_camera_deg = (inputs.camera_facing_deg + 180.0) % 360.0
    facing_deg = inputs.backdrop_facing_deg
    face = plane_lx(toward_camera_deg, 90.0)
    wall = plane_lx(
        toward_camera_deg if facing_deg is None else facing_deg, inputs.backdrop_tilt_deg
    )
    patch_cd_m2 = sky_luminance_cd_m2(
        light.diffuse_horizontal_lx,
        elevation_deg,
        sun.azimuth_deg,
        patch_elevation_deg=inputs.sky_patch_elevation_deg,
        patch_azimuth_deg=inputs.camera_facing_deg,
        pattern=pattern,
    )
    ground_lx = beam_lx * math.sin(math.radians(max(elevation_deg, 0.0)))
    return Levels(
        subject_ev100=ev100_from_lx(face[inputs.subject_in_sun]) + median_stops,
        shade_ev100=ev100_from_lx(face[False]) + median_stops,
        incident_ev100=ev100_from_lx(wall[inputs.backdrop_in_sun]) + median_stops,
        sky_ev100=ev100_from_cd_m2(patch_cd_m2) + median_stops,
        ground_sun_ev100=ev100_from_lx(ground_lx) + median_stops if ground_lx > 0 else None,
    )


def levels_at(inputs: SetInputs, at: datetime, added: Offsets) -> Levels:
    """Return the levels the plan works with at one instant: estimate plus readings."""
    metered = added.source(base_quantity(inputs)) != "estimate"
    raw = estimate(inputs, at, sky_word(inputs), dark_too=metered)
    return replace(
        raw,
        subject_ev100=raw.subject_ev100 + added.added("subject"),
        shade_ev100=raw.shade_ev100 + added.added("shade"),
        incident_ev100=raw.incident_ev100 + added.added("incident"),
        sky_ev100=raw.sky_ev100 + added.added("sky"),
    )


def dark(inputs: SetInputs, at: datetime, added: Offsets) -> bool:
    """Whether the sun stands so low that only a reading of the base would say how light it is."""
    if added.source(base_quantity(inputs)) != "estimate":
        return False
    return sun_at(inputs, at).geometric_elevation_deg < c.DAYLIGHT_FLOOR_DEG


def base_quantity(inputs: SetInputs) -> str:
    """Which quantity the base reading is taken from."""
    if inputs.job == "fill":
        return "subject"
    return "sky" if inputs.base_kind == "sky" else "incident"


def background_ev100(inputs: SetInputs, levels: Levels) -> float:
    """The backdrop as the base reading's kind sees it."""
    if inputs.base_kind == "sky":
        return levels.sky_ev100
    if inputs.base_kind == "spot":
        return levels.incident_ev100 + spot_over_incident_stops(inputs.backdrop_reflectance)
    return levels.incident_ev100


def ambient_row(inputs: SetInputs, at: datetime, added: Offsets) -> AmbientRow:
    levels = levels_at(inputs, at, added)
    first = levels_at(inputs, inputs.start_at, added)
    sky = sky_word(inputs)
    quantity = "sky" if inputs.base_kind == "sky" else "incident"
    low, high = _spread(inputs, at, added, quantity, guessed_tone=inputs.base_kind == "spot")
    subject_low, subject_high = _spread(inputs, at, added, "subject", guessed_tone=False)
    return AmbientRow(
        at=local(inputs, at),
        sky=sky,
        source=added.source(quantity),
        subject_ev100=levels.subject_ev100,
        shade_side_ev100=levels.shade_ev100,
        background_ev100=background_ev100(inputs, levels),
        sky_ev100=levels.sky_ev100,
        low_stops=low,
        high_stops=high,
        subject_source=added.source("subject"),
        subject_low_stops=subject_low,
        subject_high_stops=subject_high,
        moved_stops=background_ev100(inputs, levels) - background_ev100(inputs, first),
        states=_states(inputs, at)
        if sky == "partly" and added.source(quantity) == "estimate"
        else (),
    )


def _states(inputs: SetInputs, at: datetime) -> tuple[SkyState, ...]:
    return tuple(
        SkyState(name, levels.subject_ev100, background_ev100(inputs, levels))
        for name, levels in partly_levels(inputs, at)
    )


def partly_levels(inputs: SetInputs, at: datetime) -> tuple[tuple[str, Levels], ...]:
    """A partly cloudy sky is one of two: the clear beam over its own bright sky, or grey.

    Source: common practice; on level ground the two stand about 2.5 stops apart.
    """
    sun = sun_at(inputs, at)
    elevation_deg = max(sun.geometric_elevation_deg, c.DAYLIGHT_FLOOR_DEG)
    day = local(inputs, at).timetuple().tm_yday
    clear, partly, grey = (daylight(elevation_deg, sky, day) for sky in SKIES)
    median_stops = spread_stops("partly", elevation_deg)[1]
    lights = (
        ("sun out", Daylight(clear.direct_normal_lx, partly.diffuse_horizontal_lx), "partly"),
        ("cloud over", grey, "overcast"),
    )
    return tuple(
        (name, _levels(inputs, sun, light, PATTERN_OF_SKY[sky], median_stops))
        for name, light, sky in lights
    )


def _spread(
    inputs: SetInputs, at: datetime, added: Offsets, quantity: str, *, guessed_tone: bool
) -> tuple[float, float]:
    """Return (low, high) in stops around a level: parts that err apart, added in squares.

    Source: common practice for plane, reflectance and meter; the sky's from typical years.
    """
    if added.source(quantity) != "estimate":
        spread = added.spread(quantity)
        return -spread, spread
    low, high = _sky_spread(inputs, at, quantity)
    parts = [c.PLANE_SPREAD_STOPS, c.METER_SPREAD_STOPS]
    learned = bias(inputs, sky_word(inputs))
    if learned is not None and quantity != "sky":
        parts.append(learned.own.within_stops)
    if guessed_tone:
        parts.append(c.REFLECTANCE_SPREAD_STOPS)
    return -math.hypot(low, *parts), math.hypot(high, *parts)


def _sky_spread(inputs: SetInputs, at: datetime, quantity: str) -> tuple[float, float]:
    """How far (below, above) the sky may leave the estimate, in stops.

    Without a forecast it may be any of the three skies.
    """
    elevation_deg = max(sun_at(inputs, at).geometric_elevation_deg, c.DAYLIGHT_FLOOR_DEG)
    assumed = sky_word(inputs)

    def level(sky: str) -> float:
        return getattr(estimate(inputs, at, sky, dark_too=True), f"{quantity}_ev100")

    lows, highs = [], []
    for sky in (assumed,) if inputs.forecast else SKIES:
        low, middle, high = spread_stops(sky, elevation_deg)
        moved = level(sky) - level(assumed) if sky != assumed else 0.0
        lows.append(moved + low - middle)
        highs.append(moved + high - middle)
    return -min(lows), max(highs)
