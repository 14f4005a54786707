"""Whether one body's clock was set anew on the day, told by the numbers of its files. Pure.

A camera numbers its files one after the other, whatever its clock shows (CIPA DC-009, DCF: four
digits at the end of the name). Where the number goes on by a few and the clock goes back, the clock
was changed; where that happens again and again, two bodies share a name, as two of one model do
that write no serial number. A clock put forward looks like a pause: that cannot be told.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

BACK, SHARED, ZONES = "back", "shared", "zones"
LEAST_BACK_S = 30.0  # below, files of one burst may be written out of order
MOST_GAP = 20  # numbers left out by what was deleted; beyond, another card or folder
SAME_DAY_S = 12 * 3600.0  # further back, the files of another day may be numbered from 1 again
MOST_BACK = 3  # of one body on a day; beyond, two bodies
_NUMBER = re.compile(r"(.*?)(\d{2,9})\D{0,12}$")


@dataclass(frozen=True)
class Shown:
    """What one file says: its name, its camera's clock, the offset beside it."""

    file_name: str
    clock_at: datetime
    offset_min: int | None


@dataclass(frozen=True)
class Jump:
    """One doubt about a body's clock; ``before`` and ``after`` are the files on its two sides."""

    kind: str  # BACK, SHARED, ZONES
    before: str = ""
    after: str = ""
    back_s: float = 0.0


def jump(frames: Iterable[Shown]) -> Jump | None:
    """Return the first thing that tells against one clock for all frames, None for nothing."""
    frames = list(frames)
    back = _steps_back(frames)
    near = [pair for pair in back if _back_s(*pair) < SAME_DAY_S]
    if len(near) > MOST_BACK:
        return Jump(SHARED)
    if near or len(back) == 1:
        before, after = (near or back)[0]
        return Jump(BACK, before.file_name, after.file_name, _back_s(before, after))
    if len({one.offset_min for one in frames} - {None}) > 1:
        return _zones(frames)
    return None


def _steps_back(frames: list[Shown]) -> list[tuple[Shown, Shown]]:
    numbered: dict[str, list[tuple[int, Shown]]] = {}
    for one in frames:
        if parts := _NUMBER.fullmatch(one.file_name.rpartition(".")[0] or one.file_name):
            numbered.setdefault(parts[1].casefold(), []).append((int(parts[2]), one))
    found = []
    for files in numbered.values():
        files.sort(key=lambda each: (each[0], each[1].clock_at))
        for (number, before), (then, after) in pairwise(files):
            if then - number <= MOST_GAP and _back_s(before, after) >= LEAST_BACK_S:
                found.append((before, after))
    return found


def _back_s(before: Shown, after: Shown) -> float:
    return (before.clock_at - after.clock_at).total_seconds()


def _zones(frames: list[Shown]) -> Jump:
    stated = sorted(
        (one for one in frames if one.offset_min is not None), key=lambda one: one.clock_at
    )
    before, after = next(
        pair for pair in pairwise(stated) if pair[0].offset_min != pair[1].offset_min
    )
    return Jump(ZONES, before.file_name, after.file_name)
