"""A minute scan by NREL's solar position algorithm (pvlib), the referee of the light windows.

Ours and NREL's sun differ by up to 0.011 degrees in height, and in azimuth by that along the
circle: a minute nearer to a bound than ``DOUBT_DEG`` is nobody's to decide.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
import pandas as pd
import pvlib

from planning.physics.sun import Place

DOUBT_DEG = 0.015


@dataclass(frozen=True)
class Wanted:
    """What is asked of the sun, by the names of ``light_windows``."""

    from_deg: float
    to_deg: float
    elevation_min_deg: float
    elevation_max_deg: float
    horizon: tuple[tuple[float, float], ...] = ()


def nrel(place: Place, instants) -> tuple[np.ndarray, np.ndarray]:
    """Return the apparent elevation and the azimuth of the sun's centre by NREL SPA."""
    table = pvlib.solarposition.spa_python(
        pd.DatetimeIndex(instants),
        place.latitude_deg,
        place.longitude_deg,
        altitude=0,
        pressure=101_000,
        temperature=10,
        delta_t=None,
    )
    return table.apparent_elevation.to_numpy(), table.azimuth.to_numpy()


def margin_deg(wanted: Wanted, elevation_deg: np.ndarray, azimuth_deg: np.ndarray) -> np.ndarray:
    """Return how far inside the bounds the sun stands, in degrees of sky; negative outside."""
    margins = [elevation_deg - wanted.elevation_min_deg, wanted.elevation_max_deg - elevation_deg]
    across = np.cos(np.radians(elevation_deg))
    width_deg = (wanted.to_deg - wanted.from_deg) % 360
    if width_deg:
        past_deg = (azimuth_deg - wanted.from_deg) % 360
        inside_deg = np.minimum(past_deg, width_deg - past_deg)
        outside_deg = np.minimum(past_deg - width_deg, 360 - past_deg)
        arc_deg = np.where(past_deg <= width_deg, inside_deg, -outside_deg)
        margins.append(arc_deg * across)
    if wanted.horizon:
        margins.append(_over(wanted.horizon, elevation_deg, azimuth_deg, across))
    return np.min(margins, axis=0)


def _over(horizon, elevation_deg, azimuth_deg, across) -> np.ndarray:
    """Return how far over the profile the sun stands, less where a wall rises steeply beside it."""
    azimuths = [point[0] for point in horizon]
    heights = [point[1] for point in horizon]
    outline = (
        [azimuths[-1] - 360, *azimuths, azimuths[0] + 360],
        [heights[-1], *heights, heights[0]],
    )
    over_deg = elevation_deg - np.interp(azimuth_deg, *outline)
    slopes = np.abs(np.diff(outline[1]) / np.diff(outline[0]))
    slope = slopes[np.searchsorted(outline[0], azimuth_deg, side="right") - 1]
    return over_deg / np.maximum(1.0, slope / across)


def minutes(start: datetime, end: datetime) -> list[datetime]:
    """Return every minute from ``start`` to ``end``; both of one fixed zone."""
    count = int((end - start) / timedelta(minutes=1))
    return [start + timedelta(minutes=index) for index in range(count + 1)]
