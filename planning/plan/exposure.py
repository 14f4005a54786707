"""Base reading -> working aperture: the camera's line, and what the ladder counts from."""

import math
from dataclasses import dataclass

from planning.lesson.compatibility import GroupSync
from planning.physics.errors import OutOfRange
from planning.physics.exposure import (
    ev100,
    f_number_for,
    nearest_f_number,
    nearest_shutter_s,
    shutter_s_for,
)
from planning.plan.ambient import Levels, background_ev100
from planning.plan.inputs import SetInputs

SERIES_TOLERANCE = 1e-6  # two exact series members are equal within this


@dataclass(frozen=True)
class Settled:
    """The camera's line before any lamp is solved."""

    method: str
    group: GroupSync
    levels: Levels  # at the start of the set
    iso: float
    start_s: float
    base_ev100: float  # after placement: what the base reading is set from
    base_exact_f_number: float
    base_f_number: float
    closed_for_flash_stops: float
    fill_stops: float | None  # flash against the sunny side, fill sets only
    working_f_number: float
    face_f_number: float  # the face's own light at start_s

    @property
    def camera_ev100(self) -> float:
        return ev100(self.working_f_number, self.start_s, self.iso)


def placement_stops(inputs: SetInputs) -> float:
    """Wanted above mid-grey; an incident reading keeps the backdrop's own tone."""
    return 0.0 if inputs.base_kind == "incident" else inputs.placement_stops


def base_ev100(inputs: SetInputs, levels: Levels) -> float:
    """Where the base reading stands: in fill sets the sunny side itself."""
    if inputs.job == "fill":
        return levels.subject_ev100
    return background_ev100(inputs, levels) - placement_stops(inputs)


def fill_stops(inputs: SetInputs, levels: Levels) -> float | None:
    """What a fill lamp adds to the shadow side, in stops of the sunny side's own light.

    None when the shadow already stands at the wanted level without flash.
    Source: light adds; log2(2^wanted - 2^now).
    """
    wanted = next((light.target_stops for light in inputs.lights if light.role == "fill"), -1.0)
    missing = 2.0**wanted - 2.0 ** (levels.shade_ev100 - levels.subject_ev100)
    return math.log2(missing) if missing > 0 else None


def settle(inputs: SetInputs, levels: Levels, group: GroupSync, *, dimmest_ev100: float) -> Settled:
    """Return the camera's line: sync first, or aperture first when the light is too low for it.

    Marks become exact thirds first, then the stops under are added and rounded once more
    to the nearest third (tie: smaller aperture, slower shutter). ``dimmest_ev100`` is the
    lowest the base falls to during the set: a lens that is wide enough at the start may not
    be at the end.
    """
    base_ev = base_ev100(inputs, levels)
    fill = fill_stops(inputs, levels) if inputs.job == "fill" else None
    closed = math.log2(1.0 + 2.0**fill) if fill is not None else 0.0
    under = inputs.stops_under + closed
    iso, start_s = inputs.iso, group.sync_s
    exact = f_number_for(base_ev, start_s, iso)
    base, method = _nearest(exact), "sync first"
    working = _closed(base, under)
    dimmest = _nearest(f_number_for(min(base_ev, dimmest_ev100), start_s, iso))
    if dimmest < inputs.widest_f_number * (1 - SERIES_TOLERANCE):
        method = "aperture first"
        iso, start_s, working = _aperture_first(inputs, base_ev, group.sync_s, under)
        exact = f_number_for(base_ev, start_s, iso)
        base = _closed(working, -under)
    return Settled(
        method=method,
        group=group,
        levels=levels,
        iso=iso,
        start_s=start_s,
        base_ev100=base_ev,
        base_exact_f_number=exact,
        base_f_number=base,
        closed_for_flash_stops=closed,
        fill_stops=fill,
        working_f_number=working,
        face_f_number=f_number_for(levels.subject_ev100, start_s, iso),
    )


def _nearest(f_number: float) -> float:
    """The series member nearest to a reading; beyond the series the reading itself speaks."""
    try:
        return nearest_f_number(f_number)
    except OutOfRange:
        return f_number


def _closed(f_number: float, stops: float) -> float:
    return _nearest(f_number * 2.0 ** (stops / 2.0))


def _aperture_first(
    inputs: SetInputs, base_ev: float, sync_s: float, under: float
) -> tuple[float, float, float]:
    """Return (iso, start_s, working f-number) with the aperture and ISO given.

    Without a given ISO the lowest is doubled until hands can hold the shutter.
    """
    working = inputs.given_f_number or inputs.widest_f_number
    base = working * 2.0 ** (-under / 2.0)
    iso = inputs.given_iso or inputs.iso
    start_s = shutter_s_for(base_ev, base, iso)
    while (
        not inputs.given_iso
        and start_s > inputs.slowest_hand_held_s * (1 + SERIES_TOLERANCE)
        and iso * 2.0 <= inputs.highest_iso * (1 + SERIES_TOLERANCE)
    ):
        iso *= 2.0
        start_s /= 2.0
    start_s = nearest_shutter_s(start_s)
    if start_s < sync_s * (1 - SERIES_TOLERANCE):
        # Brighter than the given line allows at sync: the aperture gives way, not the sync.
        start_s = sync_s
        working = _closed(_nearest(f_number_for(base_ev, sync_s, iso)), under)
    return iso, start_s, working
