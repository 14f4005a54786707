"""How far real hours stray from the daylight equations, learned from open typical years.

Run from the top of the repository to print the table that planning/physics/constants.py keeps:

    python -m tests.physics.learn_spread

Source: NREL typical meteorological years inside pvlib (public data): TMY3 703165 Sand Point,
Alaska and TMY2 12839 Miami, Florida; TMY3 723170 Greensboro, North Carolina is held out to
try the table on. Their illuminances are modelled from weather records, not metered.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from math import log2
from pathlib import Path

import pvlib

from planning.physics.constants import SPREAD_BAND_EDGES_DEG
from planning.physics.daylight import daylight, horizontal_lx
from planning.physics.sun import Place, sun_position

DATA = Path(pvlib.__file__).parent / "data"
LEARNED_FROM = ("703165TY.csv", "12839.tm2")
HELD_OUT = "723170TYA.CSV"
SKIES = ("clear", "partly", "overcast")
PERCENTILES = (0.05, 0.50, 0.95)
LEAST_HOURS = 30  # a band with fewer says nothing of its 5th percentile
DIMMEST_LM_PER_W = 20.0  # daylight gives about 110: less is a month kept in hundreds of lux


@dataclass(frozen=True)
class Hour:
    sky: str
    elevation_deg: float  # geometric, in the middle of the hour
    off_stops: float  # what fell on the level over what the equations say


def hours_of(file_name: str) -> list[Hour]:
    """Return the hours of one typical year with the sun's centre up at their middle."""
    place, rows = _tmy2(file_name) if file_name.endswith("tm2") else _tmy3(file_name)
    hours = []
    for middle, illuminance_lx, irradiance_w_m2, cloud_tenths in rows:
        if illuminance_lx <= 0 or irradiance_w_m2 <= 0:
            continue
        if illuminance_lx < DIMMEST_LM_PER_W * irradiance_w_m2:
            illuminance_lx *= 100
        elevation_deg = sun_position(place, middle).geometric_elevation_deg
        if elevation_deg >= 0:
            sky = "clear" if cloud_tenths <= 3 else "partly" if cloud_tenths <= 7 else "overcast"
            expected_lx = _hour_mean_lx(place, middle, sky)
            hours.append(Hour(sky, elevation_deg, log2(illuminance_lx / expected_lx)))
    return hours


def learned_table(sites: Iterable[list[Hour]]) -> dict[str, list[tuple[float, ...]]]:
    """Return the 5th, 50th and 95th percentile per sky and band, every site weighing alike."""
    sites = list(sites)
    table = {}
    for sky in SKIES:
        table[sky] = []
        for low, high in pairwise(SPREAD_BAND_EDGES_DEG):
            samples = [
                [h.off_stops for h in site if h.sky == sky and low <= h.elevation_deg < high]
                for site in sites
            ]
            table[sky].append(_pooled([s for s in samples if len(s) >= LEAST_HOURS]))
    return table


def _pooled(samples: list[list[float]]) -> tuple[float, ...]:
    weighed = sorted((value, 1 / len(sample)) for sample in samples for value in sample)
    answers = []
    for share in PERCENTILES:
        reached = 0.0
        for value, weight in weighed:
            reached += weight
            if reached >= share * len(samples):
                answers.append(value)
                break
    return tuple(answers)


def _hour_mean_lx(place: Place, middle: datetime, sky: str) -> float:
    # The file's figure is the hour's mean; at a low sun that is not the middle's value.
    total_lx = 0.0
    for quarter_min in (-22.5, -7.5, 7.5, 22.5):
        at = middle + timedelta(minutes=quarter_min)
        elevation_deg = sun_position(place, at).geometric_elevation_deg
        if elevation_deg >= -12:
            light = daylight(elevation_deg, sky, middle.timetuple().tm_yday)
            total_lx += horizontal_lx(light, elevation_deg) / 4
    return total_lx


def _tmy3(file_name: str):
    frame, head = pvlib.iotools.read_tmy3(DATA / file_name, map_variables=False)
    columns = ("GH illum (lx)", "GHI (W/m^2)", "TotCld (tenths)")
    middles = [stamp.to_pydatetime() - timedelta(minutes=30) for stamp in frame.index]
    values = zip(*(frame[column].astype(float) for column in columns), strict=True)
    return _place(head), [(at, *row) for at, row in zip(middles, values, strict=True)]


def _tmy2(file_name: str):
    frame, head = pvlib.iotools.read_tmy2(DATA / file_name)
    middles = [stamp.to_pydatetime() + timedelta(minutes=30) for stamp in frame.index]
    values = zip(100.0 * frame["GHillum"], frame["GHI"], frame["TotCld"], strict=True)
    return _place(head), [(at, *row) for at, row in zip(middles, values, strict=True)]


def _place(head: dict) -> Place:
    return Place(head["latitude"], head["longitude"])


if __name__ == "__main__":
    for sky, bands in learned_table(map(hours_of, LEARNED_FROM)).items():
        print(sky, [tuple(round(stops, 2) for stops in band) for band in bands])
