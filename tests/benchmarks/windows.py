"""``python -m tests.benchmarks.windows``: a year's light windows beside a look at every minute.

Both are run in full, one after the other, for one year at one place; exits with 1 where the
windows are not ``LEAST`` times faster.
"""

import sys
from datetime import UTC, datetime, timedelta
from time import process_time

from planning.lesson.windows import light_windows
from planning.physics.sun import Place, sun_position

LEAST = 20
PLACE = Place(38.72, -9.14)
START, END = datetime(2027, 1, 1, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC)
# A surveyed skyline, a point each ten degrees, from 5 to 13 degrees high.
SKYLINE = tuple((10.0 * step, 5 + 8 * abs(step * 7 % 11 - 5) / 5) for step in range(36))
ASKED = {
    "an arc and two heights": (200, 250, 5, 25, ()),
    "the same over a skyline": (200, 250, 5, 25, SKYLINE),
    "the whole sky": (0, 360, 0, 90, ()),
    "the whole sky over a skyline": (0, 360, 0, 90, SKYLINE),
}


def main() -> int:
    minutes = int((END - START) / timedelta(minutes=1))
    began = process_time()
    for minute in range(minutes):
        sun_position(PLACE, START + timedelta(minutes=minute))
    scan_s = process_time() - began
    print(f"sun_position at each of {minutes} minutes: {scan_s:.2f} s")
    ratios = []
    for name, (from_deg, to_deg, low_deg, high_deg, horizon) in ASKED.items():
        began = process_time()
        windows = light_windows(
            PLACE,
            START,
            END,
            from_deg=from_deg,
            to_deg=to_deg,
            elevation_min_deg=low_deg,
            elevation_max_deg=high_deg,
            horizon=horizon,
        )
        took_s = process_time() - began
        ratios.append(scan_s / took_s)
        print(f"{name}: {len(windows)} windows, {took_s:.3f} s, {ratios[-1]:.0f} times faster")
    return 0 if min(ratios) >= LEAST else 1


if __name__ == "__main__":
    sys.exit(main())
