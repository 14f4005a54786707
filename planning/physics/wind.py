"""Wind on a modifier, and what keeps a stand of three legs upright.

Speeds are metres a second. Gusts are used as forecast, never reduced for height; the log
law is for mean wind. Mass is stand, head and modifier together.
"""

import math
from bisect import bisect_right
from dataclasses import dataclass

from planning.physics.constants import (
    AIR_DENSITY_KG_M3,
    BEAUFORT_FROM_M_S,
    GRAVITY_M_S2,
    GUST_OFF_AXIS_DEG,
    MOMENT_SAFETY_FACTOR,
)
from planning.physics.errors import OutOfRange
from planning.physics.ranges import (
    require_between,
    require_finite,
    require_not_negative,
    require_positive,
)

EDGE_ARM_SHARE = 0.5  # of the leg radius, pole to the line through two feet of three: cos 60
FOOT_ARM_SHARE = 1.5  # of the leg radius, a foot to the edge opposite it: 1 + cos 60


def wind_at_height_m_s(speed_10m_m_s: float, height_m: float, roughness_length_m: float) -> float:
    """Return the mean wind at a height from the forecast's, which stands for 10 m.

    Raises OutOfRange for a negative speed, a roughness length outside 0 to 10 m or a height
    not above it.

    Source: logarithmic wind profile, WMO-No. 8 part I chapter 5, neutral air.
    """
    require_not_negative(speed_10m_m_s=speed_10m_m_s)
    require_positive(height_m=height_m, roughness_length_m=roughness_length_m)
    if roughness_length_m >= 10:
        raise OutOfRange(f"roughness_length_m must be below 10, not {roughness_length_m}")
    if height_m <= roughness_length_m:
        raise OutOfRange(
            f"height_m must be above the roughness length {roughness_length_m}, not {height_m}"
        )
    profile = math.log(height_m / roughness_length_m) / math.log(10 / roughness_length_m)
    return speed_10m_m_s * profile


def gust_from_mean_m_s(mean_m_s: float, gust_factor: float) -> float:
    """Return the gust to plan for where only the mean wind is forecast.

    Raises OutOfRange for a negative mean or a factor outside 1 to 4.
    """
    require_not_negative(mean_m_s=mean_m_s)
    require_between(1, 4, gust_factor=gust_factor)
    return mean_m_s * gust_factor


def drag_n(
    speed_m_s: float,
    area_m2: float,
    drag_coefficient: float,
    air_density_kg_m3: float = AIR_DENSITY_KG_M3,
) -> float:
    """Return the force of the wind in newtons on a face turned square into it.

    Raises OutOfRange for a negative speed, or an area, coefficient or density not above 0.

    Source: F = rho / 2 x v^2 x A x Cd.
    """
    require_not_negative(speed_m_s=speed_m_s)
    require_positive(
        area_m2=area_m2, drag_coefficient=drag_coefficient, air_density_kg_m3=air_density_kg_m3
    )
    return air_density_kg_m3 / 2 * speed_m_s**2 * area_m2 * drag_coefficient


def tipping_speed_m_s(
    area_m2: float,
    drag_coefficient: float,
    lamp_height_m: float,
    mass_kg: float,
    leg_radius_m: float,
    ballast_kg: float = 0.0,
) -> float:
    """Return the wind at which the stand tips, ballast hung at the centre, level ground.

    Without a safety factor. Raises OutOfRange for a size not above 0 or negative ballast.

    Source: moments about the line through two feet of three.
    """
    require_positive(lamp_height_m=lamp_height_m, mass_kg=mass_kg, leg_radius_m=leg_radius_m)
    require_not_negative(ballast_kg=ballast_kg)
    arm_m = leg_radius_m * EDGE_ARM_SHARE
    resisting_nm = (mass_kg + ballast_kg) * GRAVITY_M_S2 * arm_m
    at_one_m_s_n = drag_n(1.0, area_m2, drag_coefficient)
    return math.sqrt(resisting_nm / (at_one_m_s_n * lamp_height_m))


def ballast_kg(
    speed_m_s: float,
    area_m2: float,
    drag_coefficient: float,
    lamp_height_m: float,
    mass_kg: float,
    leg_radius_m: float,
    safety_factor: float = MOMENT_SAFETY_FACTOR,
) -> float:
    """Return the ballast in kilograms to hang at the centre of the stand, never below 0.

    ``safety_factor`` is on the moment. Level ground. Raises OutOfRange for a negative speed,
    a size not above 0, or a factor below 1.
    """
    require_positive(lamp_height_m=lamp_height_m, mass_kg=mass_kg, leg_radius_m=leg_radius_m)
    require_between(1, 10, safety_factor=safety_factor)
    overturning_nm = drag_n(speed_m_s, area_m2, drag_coefficient) * lamp_height_m
    held_kg = safety_factor * overturning_nm / (GRAVITY_M_S2 * leg_radius_m * EDGE_ARM_SHARE)
    return max(0.0, held_kg - mass_kg)


def ballast_on_foot_kg(
    speed_m_s: float,
    area_m2: float,
    drag_coefficient: float,
    lamp_height_m: float,
    mass_kg: float,
    leg_radius_m: float,
    safety_factor: float = MOMENT_SAFETY_FACTOR,
) -> float:
    """Return the ballast in kilograms to lay on the windward foot instead, never below 0.

    A third of what hangs at the centre, for wind straight from that foot; ``stability`` says
    whether the stand also holds when it swings. Raises OutOfRange as ``ballast_kg`` does.
    """
    hung_kg = ballast_kg(
        speed_m_s,
        area_m2,
        drag_coefficient,
        lamp_height_m,
        mass_kg,
        leg_radius_m,
        safety_factor,
    )
    return hung_kg * EDGE_ARM_SHARE / FOOT_ARM_SHARE


@dataclass(frozen=True)
class StandLoad:
    """A stand with one foot into the wind, what it carries and the ground under it.

    Overhang and slope point the way the wind blows, the worst, unless told otherwise.
    """

    mass_kg: float  # stand, head and modifier
    leg_radius_m: float
    hung_kg: float = 0.0  # at the centre
    on_foot_kg: float = 0.0  # laid on the windward foot
    overhang_mass_kg: float = 0.0  # part of mass_kg that sits ahead of the pole
    overhang_m: float = 0.0
    overhang_off_wind_deg: float = 0.0
    slope_deg: float = 0.0
    mass_height_m: float | None = None  # centre of mass; None: as high as the lamp
    downhill_off_wind_deg: float = 0.0


@dataclass(frozen=True)
class Stability:
    """How a loaded stand holds about its weakest edge."""

    safety_factor: float  # resisting over overturning moment; inf in still air, below 0 it falls
    edge_deg: float  # outward normal of that edge, from the way the wind blows: 0, -120 or 120
    resisting_nm: float
    overturning_nm: float


def stability(
    force_n: float,
    lamp_height_m: float,
    load: StandLoad,
    off_axis_deg: float = GUST_OFF_AXIS_DEG,
) -> Stability:
    """Return how the stand holds about the weakest of its three edges.

    The wind may swing ``off_axis_deg`` either way. Raises OutOfRange for a size not above 0,
    a negative load or force, a slope beyond 30 or a swing beyond 90 degrees.

    Source: moments about the line through two feet of three.
    """
    edges = _edges(force_n, lamp_height_m, load, off_axis_deg)
    return min(edges, key=lambda edge: edge.safety_factor)


def more_ballast_kg(
    force_n: float,
    lamp_height_m: float,
    load: StandLoad,
    safety_factor: float = MOMENT_SAFETY_FACTOR,
    off_axis_deg: float = GUST_OFF_AXIS_DEG,
) -> float:
    """Return what still has to hang at the centre for every edge to hold, never below 0.

    Overhang, slope and swinging wind counted, on top of what ``load`` carries already.
    Raises OutOfRange as ``stability`` does, or for a factor below 1.
    """
    require_between(1, 10, safety_factor=safety_factor)
    lacking_nm = max(
        safety_factor * edge.overturning_nm - edge.resisting_nm
        for edge in _edges(force_n, lamp_height_m, load, off_axis_deg)
    )
    return max(0.0, lacking_nm / (GRAVITY_M_S2 * load.leg_radius_m * EDGE_ARM_SHARE))


def _edges(
    force_n: float, lamp_height_m: float, load: StandLoad, off_axis_deg: float
) -> list[Stability]:
    require_positive(
        lamp_height_m=lamp_height_m, mass_kg=load.mass_kg, leg_radius_m=load.leg_radius_m
    )
    require_not_negative(force_n=force_n, hung_kg=load.hung_kg, on_foot_kg=load.on_foot_kg)
    require_not_negative(overhang_mass_kg=load.overhang_mass_kg, overhang_m=load.overhang_m)
    require_between(0, 30, slope_deg=load.slope_deg)
    if load.mass_height_m is not None:
        require_not_negative(mass_height_m=load.mass_height_m)
    require_finite(
        overhang_off_wind_deg=load.overhang_off_wind_deg,
        downhill_off_wind_deg=load.downhill_off_wind_deg,
    )
    require_between(0, 90, off_axis_deg=off_axis_deg)
    edges = []
    for edge_deg in (0.0, -120.0, 120.0):
        swung_deg = max(0.0, abs(edge_deg) - off_axis_deg)
        overturning_nm = force_n * lamp_height_m * max(0.0, _cos(swung_deg))
        resisting_nm = _resisting_nm(load, lamp_height_m, edge_deg)
        safety = _ratio(resisting_nm, overturning_nm)
        edges.append(Stability(safety, edge_deg, resisting_nm, overturning_nm))
    return edges


def _resisting_nm(load: StandLoad, lamp_height_m: float, edge_deg: float) -> float:
    height_m = lamp_height_m if load.mass_height_m is None else load.mass_height_m
    lean_m = height_m * math.tan(math.radians(load.slope_deg))
    held_kg_m = (load.mass_kg + load.hung_kg) * load.leg_radius_m * EDGE_ARM_SHARE
    held_kg_m -= load.mass_kg * lean_m * _cos(edge_deg - load.downhill_off_wind_deg)
    ahead_m = load.overhang_m * _cos(edge_deg - load.overhang_off_wind_deg)
    held_kg_m -= load.overhang_mass_kg * ahead_m
    if edge_deg == 0.0:  # the bagged foot stands on the other two edges: no arm there
        held_kg_m += load.on_foot_kg * load.leg_radius_m * FOOT_ARM_SHARE
    return held_kg_m * GRAVITY_M_S2


def beaufort(speed_m_s: float) -> int:
    """Return the Beaufort number, 0 to 12, of a mean wind at 10 m.

    Each number begins at the lower limit of its row. Raises OutOfRange for a negative speed.

    Source: WMO Manual on Codes (WMO-No. 306), code table 1100.
    """
    require_not_negative(speed_m_s=speed_m_s)
    return bisect_right(BEAUFORT_FROM_M_S, speed_m_s)


def _cos(angle_deg: float) -> float:
    return math.cos(math.radians(angle_deg))


def _ratio(resisting_nm: float, overturning_nm: float) -> float:
    if overturning_nm > 0:
        return resisting_nm / overturning_nm
    return math.inf if resisting_nm > 0 else -math.inf
