"""Light windows against NREL's algorithm minute by minute, and against their own roots."""

from dataclasses import asdict
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from math import inf

import numpy as np
import pytest

from planning.lesson.windows import Window, light_windows
from planning.physics.horizon import horizon_elevation_deg
from planning.physics.sun import Place, sun_position
from tests.lesson.scan import DOUBT_DEG, Wanted, margin_deg, minutes, nrel

EDGE = timedelta(seconds=20)  # what the contract promises
COMBE = ((20.0, 12.0), (95.0, 4.0), (150.0, 9.0), (205.0, 18.0), (206.0, 3.0), (300.0, 15.0))

# Ten places: what is asked there, from when on, for how many days.
CASES = {
    "Lisbon, low afternoon sun": (Place(38.72, -9.14), Wanted(200, 250, 5, 25), (2027, 1, 1), 20),
    "London in a combe": (Place(51.5, -0.13), Wanted(90, 300, 0, 60, COMBE), (2027, 2, 20), 20),
    "Tokyo, morning": (Place(35.68, 139.69), Wanted(80, 120, 10, 40), (2027, 3, 1), 20),
    "Auckland, an arc across north": (
        Place(-36.85, 174.76), Wanted(320, 40, 20, 50), (2027, 8, 1), 20,
    ),
    "Ushuaia in a combe": (Place(-54.8, -68.3), Wanted(0, 0, 0, 90, COMBE), (2027, 9, 10), 20),
    "Singapore, either side of the zenith": (
        Place(1.35, 103.82), Wanted(90, 270, 60, 90), (2027, 3, 5), 20,
    ),
    "Honolulu under the overhead sun": (
        Place(21.31, -157.86), Wanted(180, 360, 80, 90), (2027, 5, 15), 20,
    ),
    "Quito, level with the equinox": (
        Place(-0.18, -78.47), Wanted(85, 95, 2, 88), (2027, 3, 10), 20,
    ),
    "Tromso, day and night": (Place(69.65, 18.96), Wanted(300, 60, -2, 8), (2027, 5, 1), 30),
    "Svalbard behind its hills": (
        Place(78.22, 15.65), Wanted(10, 10, -4, 30, COMBE), (2027, 3, 20), 30,
    ),
    "the Ross Sea": (Place(-77.85, 166.67), Wanted(170, 200, 5, 30), (2027, 10, 25), 30),
}  # fmt: skip


def found(place: Place, wanted: Wanted, start: datetime, end: datetime) -> list[Window]:
    return light_windows(place, start, end, **asdict(wanted))


def inside(windows: list[Window], instants: list[datetime]) -> np.ndarray:
    """Return which of the instants lie in a window."""
    starts = np.array([window.start_at.timestamp() for window in windows])
    ends = np.array([window.end_at.timestamp() for window in windows] + [-inf])
    at = np.array([one.timestamp() for one in instants])
    return at <= ends[np.searchsorted(starts, at, side="right") - 1]


def wanted_by_us(place: Place, wanted: Wanted, at: datetime) -> bool:
    """Return whether ``sun_position`` puts the sun where it is wanted."""
    sun = sun_position(place, at)
    width_deg = (wanted.to_deg - wanted.from_deg) % 360 or 360
    if (sun.azimuth_deg - wanted.from_deg) % 360 > width_deg:
        return False
    if not wanted.elevation_min_deg <= sun.elevation_deg <= wanted.elevation_max_deg:
        return False
    return not wanted.horizon or sun.elevation_deg > horizon_elevation_deg(
        wanted.horizon, sun.azimuth_deg
    )


@pytest.fixture(scope="module", params=CASES)
def case(request) -> tuple[Place, Wanted, datetime, datetime, list[Window]]:
    place, wanted, day, days = CASES[request.param]
    start = datetime(*day, tzinfo=UTC)
    end = start + timedelta(days=days)
    return place, wanted, start, end, found(place, wanted, start, end)


def test_a_minute_scan_by_nrel_misses_none_and_finds_none_more(case):
    place, wanted, start, end, windows = case
    instants = minutes(start, end)
    margin = margin_deg(wanted, *nrel(place, instants))
    decided = np.abs(margin) > DOUBT_DEG
    assert decided.mean() > 0.98
    assert 0.005 < (margin > 0).mean() < 0.995  # the case asks something
    wrong = [
        at
        for at, odd in zip(
            instants, decided & (inside(windows, instants) != (margin > 0)), strict=True
        )
        if odd
    ]
    assert not wrong


def test_nrel_sees_the_sun_come_and_go_within_twenty_seconds_of_each_edge(case):
    place, wanted, start, end, windows = case
    edges = [edge for window in windows for edge in (window.start_at, window.end_at)]
    inner = [edge for edge in edges if start < edge < end]
    early = margin_deg(wanted, *nrel(place, [edge - EDGE for edge in inner]))
    late = margin_deg(wanted, *nrel(place, [edge + EDGE for edge in inner]))
    decided = (np.abs(early) > DOUBT_DEG) & (np.abs(late) > DOUBT_DEG)
    assert decided.mean() >= 0.5  # at the equator the sun goes along due east, not across it
    assert ((early > 0) != (late > 0))[decided].all()


def test_each_edge_is_the_root_of_our_own_sun(case):
    place, wanted, start, end, windows = case
    near = timedelta(seconds=0.5)
    for window in windows:
        assert window.length > 2 * near
        for edge, inward in ((window.start_at, near), (window.end_at, -near)):
            assert wanted_by_us(place, wanted, edge + inward)
            assert edge in (start, end) or not wanted_by_us(place, wanted, edge - inward)


def test_windows_are_in_order_and_apart(case):
    windows = case[-1]
    assert all(window.start_at < window.end_at for window in windows)
    assert all(one.end_at < other.start_at for one, other in pairwise(windows))


GOLDEN = 0.6180339887498949  # its multiples fill a unit interval evenly


def spread(index: int, count: int) -> list[float]:
    """Return numbers from 0 to 1, fixed for an index and evenly spread over many of them."""
    return [(index * GOLDEN * (part + 1) ** 0.5 + part * 0.37) % 1 for part in range(count)]


@pytest.mark.slow
@pytest.mark.parametrize("index", range(1, 301))
def test_all_over_the_globe_nrel_agrees(index):
    at = spread(index, 9)
    place = Place(180 * at[0] - 90, 360 * at[1] - 180)
    low_deg, high_deg = sorted((100 * at[2] - 10, 100 * at[3] - 10))
    outline = tuple(
        (45.0 * step + 44 * at[4], 30 * spread(index + step, 7)[6] - 5) for step in range(8)
    )
    wanted = Wanted(360 * at[5], 360 * at[6], low_deg, high_deg, outline if index % 2 else ())
    start = datetime(2027, 1, 1, tzinfo=UTC) + timedelta(days=3000 * at[7])
    end = start + timedelta(days=20)
    instants = minutes(start, end)
    margin = margin_deg(wanted, *nrel(place, instants))
    got = inside(found(place, wanted, start, end), instants)
    assert (got == (margin > 0))[np.abs(margin) > DOUBT_DEG].all()
