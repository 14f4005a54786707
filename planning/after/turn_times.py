"""Minutes from one turn to the next, as turns were noted at their ends."""

from collections.abc import Iterable
from datetime import datetime
from itertools import pairwise

MOST_MIN = 30.0  # a longer way from one turn to the next holds a break: common practice, no source


def minutes_between_turns(turns: Iterable[tuple[str, datetime]]) -> tuple[float, ...]:
    """Return the minutes from each turn to the next at the same station, changeover with it.

    ``turns`` are (station, noted at). The first of a station has none: nobody noted its beginning.
    """
    stations: dict[str, list[datetime]] = {}
    for station, at in turns:
        stations.setdefault(station, []).append(at)
    gaps = [
        (later - earlier).total_seconds() / 60.0
        for noted in stations.values()
        for earlier, later in pairwise(sorted(noted))
    ]
    return tuple(gap for gap in gaps if 0.0 < gap <= MOST_MIN)
